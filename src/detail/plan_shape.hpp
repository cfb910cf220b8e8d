#pragma once
// Sizes of a plan shape: the rectangle round it, round or of constant width.
#include <chipledger/geometry/polygon.hpp>

namespace chipledger::detail {

struct PlanShape {
  double length{}, width{};  ///< of the smallest rectangle round it, length >= width
  Vec2 centre;               ///< of that rectangle
  bool round{};              ///< a circle: length is its diameter
  /// Constant width with round or square ends (a groove): `width` is the groove's, `length` the overall length of its
  /// middle line plus one width.
  bool groove{};
  bool straight{true};
  Vec2 along{1, 0};  ///< unit, of the rectangle's long side
};

/// Measures the outer ring of `region` (its largest piece).
PlanShape measure(const Region& region);
/// The rectangle of a shape with corners of this radius (at most half its width).
Region roundedRectangle(const PlanShape& shape, double radius);
/// The region without its holes.
Region filled(const Region& region);
/// The smallest convex region round it.
Region hullOf(const Region& region);
/// Shortest distance between two borders.
double gapBetween(const Region& a, const Region& b);
/// Distance of p to the nearest border of the ring.
double distanceTo(const Ring& ring, Vec2 p);
Vec2 centroid(const Ring& ring);

}  // namespace chipledger::detail
