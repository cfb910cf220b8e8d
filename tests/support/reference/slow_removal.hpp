#pragma once
// Removal the obvious way: every cell against closely spaced places of the cutter. Plain double heights, no spans, no
// crescents, no shared code with the walker but the curve's own points.
#include <chipledger/field/grid.hpp>
#include <chipledger/field/profile.hpp>
#include <chipledger/geometry/curve.hpp>

#include <algorithm>
#include <cmath>

namespace reference {

/// Height of the cutter's underside at `distance` from the axis, written from the definition of each shape.
inline double undersideAt(const chipledger::field::Profile& p, double distance) {
  if (distance >= p.radius_mm) return 1e300;
  if (distance <= p.flat_mm) return 0.0;
  const double out = distance - p.flat_mm;
  if (p.corner_mm > 0) return p.corner_mm - std::sqrt(std::max(0.0, p.corner_mm * p.corner_mm - out * out));
  return out * p.rise;
}

/// Lowest underside over a cell while the cutter runs along the segment, mm. `grow` widens the cutter.
inline double lowestOver(chipledger::Vec2 cell, const chipledger::Segment& s, chipledger::field::Profile p,
                         double spacing, double grow = 0.0) {
  p.radius_mm += grow;
  p.flat_mm += grow;
  const int n = std::max(1, static_cast<int>(std::ceil(chipledger::length(s) / spacing)));
  double lowest = 1e300;
  for (int k = 0; k <= n; ++k) {
    const chipledger::Vec3 tip = chipledger::pointAt(s, static_cast<double>(k) / n);
    lowest = std::min(lowest, tip.z + undersideAt(p, std::hypot(cell.x - tip.x, cell.y - tip.y)));
  }
  return lowest;
}

}  // namespace reference
