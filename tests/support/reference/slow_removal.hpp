#pragma once
// Removal the obvious way: every cell against closely spaced places of the cutter. Plain double heights, no spans, no
// crescents, no shared code with the walker but the curve's own points.
#include <chipledger/field/grid.hpp>
#include <chipledger/field/profile.hpp>
#include <chipledger/geometry/curve.hpp>

#include <algorithm>
#include <cmath>
#include <vector>

namespace reference {

/// Height of the cutter's underside at `distance` from the axis, written from the definition of each shape.
inline double undersideAt(const chipledger::field::Profile& p, double distance) {
  if (distance >= p.radius_mm) return 1e300;
  if (distance <= p.flat_mm) return 0.0;
  const double out = distance - p.flat_mm;
  if (p.corner_mm > 0) return p.corner_mm - std::sqrt(std::max(0.0, p.corner_mm * p.corner_mm - out * out));
  return out * p.rise;
}

/// Places of the tip along a segment, at most `spacing` apart.
inline std::vector<chipledger::Vec3> placesAlong(const chipledger::Segment& s, double spacing) {
  const int n = std::max(1, static_cast<int>(std::ceil(chipledger::length(s) / spacing)));
  std::vector<chipledger::Vec3> places;
  for (int k = 0; k <= n; ++k) places.push_back(chipledger::pointAt(s, static_cast<double>(k) / n));
  return places;
}

/// Lowest underside over a cell with the tip at any of the places, mm. `grow` widens the cutter.
inline double lowestOver(chipledger::Vec2 cell, const std::vector<chipledger::Vec3>& places,
                         chipledger::field::Profile p, double grow = 0.0) {
  p.radius_mm += grow;
  p.flat_mm += grow;
  double lowest = 1e300;
  for (const chipledger::Vec3& tip : places) {
    const double dx = cell.x - tip.x, dy = cell.y - tip.y, d2 = dx * dx + dy * dy;
    if (d2 < p.radius_mm * p.radius_mm) lowest = std::min(lowest, tip.z + undersideAt(p, std::sqrt(d2)));
  }
  return lowest;
}

}  // namespace reference
