#pragma once
// Rows of cells whose centres lie inside a disc, or inside the sweep of a disc along a straight line.
#include <chipledger/field/grid.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::field {

/// Cell centres nearer to the rim than this count as outside, so that a wall the cutter only touches stays whole.
inline constexpr double kTouch_mm = 1e-6;

struct Span {
  int first{}, last{-1};
  bool empty() const { return first > last; }
};

/// Rounding without a library call; places lie within some million cells of the grid.
inline int upToInt(double v) {
  const int k = static_cast<int>(v);
  return k + (static_cast<double>(k) < v ? 1 : 0);
}
inline int downToInt(double v) {
  const int k = static_cast<int>(v);
  return k - (static_cast<double>(k) > v ? 1 : 0);
}
/// Cells whose centres lie in [low, high] along an axis of `count` cells that begins at `origin`.
inline Span cellsWithin(double origin, double h, int count, double low, double high) {
  const double a = (low - origin) / h - 0.5, b = (high - origin) / h - 0.5;
  if (!(a <= b) || b < 0 || a > count - 1) return {0, -1};
  return {a <= 0 ? 0 : upToInt(a), b >= count - 1 ? count - 1 : downToInt(b)};
}

/// Columns whose centres lie in [left, right].
inline Span columns(const GridSpec& spec, double left, double right) {
  return cellsWithin(spec.x0_mm, spec.cell(), spec.nx, left, right);
}
inline Span rows(const GridSpec& spec, double low, double high) {
  return cellsWithin(spec.y0_mm, spec.cell(), spec.ny, low, high);
}

/// The sweep of a disc along a line: one span of x per row, since it is convex.
class SweptDisc {
public:
  SweptDisc(Vec2 from, Vec2 to, double radius) : from_(from), to_(to), radius_(radius) {
    const Vec2 along = to - from;
    const double run = norm(along);
    if (run > 0) side_ = perp(along) * (radius / run);
    slanted_ = std::abs(along.y) > 1e-12;
    if (slanted_) lean_ = along.x / along.y;
  }
  double low() const { return std::min(from_.y, to_.y) - radius_; }
  double high() const { return std::max(from_.y, to_.y) + radius_; }
  /// False when the row misses the sweep.
  bool at(double y, double& left, double& right) const {
    left = 1e300;
    right = -1e300;
    take(from_, y, left, right);
    take(to_, y, left, right);
    if (slanted_) {
      edge(from_ + side_, to_ + side_, y, left, right);
      edge(from_ - side_, to_ - side_, y, left, right);
    }
    return left <= right;
  }

private:
  void take(Vec2 c, double y, double& left, double& right) const {
    const double dy = y - c.y, w2 = radius_ * radius_ - dy * dy;
    if (w2 < 0) return;
    const double w = std::sqrt(w2);
    left = std::min(left, c.x - w);
    right = std::max(right, c.x + w);
  }
  void edge(Vec2 a, Vec2 b, double y, double& left, double& right) const {
    if ((y < a.y) == (y < b.y)) return;
    const double x = a.x + (y - a.y) * lean_;
    left = std::min(left, x);
    right = std::max(right, x);
  }
  Vec2 from_, to_, side_{};
  double radius_, lean_{};
  bool slanted_{};
};

}  // namespace chipledger::field
