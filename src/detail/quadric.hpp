#pragma once
// z(x, y) = a + b u + c v + d u^2 + e u v + f v^2 with u, v measured from a middle, by weighted least squares.
#include <chipledger/geometry/vec.hpp>

#include <array>
#include <optional>
#include <vector>

namespace chipledger::detail {

struct Quadric {
  Vec2 middle;
  std::array<double, 6> terms{};  ///< a, b, c, d, e, f
  double at(Vec2 p) const;
  /// How far it leaves its tangent plane at most within `reach` of the middle.
  double sag(double reach) const;
};

/// Points count by 1 / (1 + (distance / reach)^4). Empty when they do not fix a quadric.
std::optional<Quadric> quadricThrough(const std::vector<Vec3>& points, Vec2 middle, double reach);

}  // namespace chipledger::detail
