#pragma once
// Between the kernel's points and ours.
#include <chipledger/geometry/vec.hpp>

#include <gp_Dir.hxx>
#include <gp_Pnt.hxx>
#include <gp_Vec.hxx>

namespace chipledger::part {

inline Vec3 vec(const gp_Pnt& p) { return {p.X(), p.Y(), p.Z()}; }
inline Vec3 vec(const gp_Vec& v) { return {v.X(), v.Y(), v.Z()}; }
inline Vec3 vec(const gp_Dir& d) { return {d.X(), d.Y(), d.Z()}; }

/// An axis has no sense of its own: its largest component is made positive.
inline Vec3 signedAxis(Vec3 a) {
  const double x = std::abs(a.x), y = std::abs(a.y), z = std::abs(a.z);
  const double largest = x >= y && x >= z ? a.x : (y >= z ? a.y : a.z);
  return largest < 0 ? -a : a;
}

}  // namespace chipledger::part
