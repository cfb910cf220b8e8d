#pragma once
// Metal a round cutter cannot take out of inside corners: from closed forms and polygons, never from the grid (which is
// 5-55 % high).
#include <chipledger/geometry/polygon.hpp>
#include <chipledger/units/quantity.hpp>

#include <cmath>
#include <numbers>

namespace chipledger::field {

/// Plan area left in a corner of inside angle `between` (below pi) with root radius rho by a cutter of radius R:
///   (R^2 - rho^2) [cot(b/2) - (pi - b)/2],  0 when rho >= R.
/// Two sides tangent to both circles; the sides must be long enough to hold the cutter.
inline Area cornerRest(Length cutterRadius, Length rootRadius, Angle between) {
  const double R = toMm(cutterRadius), rho = toMm(rootRadius), half = between.rad / 2;
  if (rho >= R) return {};
  return mm2((R * R - rho * rho) * (1.0 / std::tan(half) - (std::numbers::pi / 2 - half)));
}

/// What a cutter of that radius leaves standing of a free region: the region less its opening by the disc. Slivers
/// thinner than `least_mm` are dropped.
Region restOf(const Region& freeRegion, double cutterRadius_mm, double least_mm = 0.002);

}  // namespace chipledger::field
