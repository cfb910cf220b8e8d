#pragma once
// Plain vectors, boxes and frames. Coordinates are millimetres unless a name says otherwise.
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace chipledger {

struct Vec2 {
  double x{}, y{};
  constexpr bool operator==(const Vec2&) const = default;
  constexpr Vec2 operator+(Vec2 o) const { return {x + o.x, y + o.y}; }
  constexpr Vec2 operator-(Vec2 o) const { return {x - o.x, y - o.y}; }
  constexpr Vec2 operator-() const { return {-x, -y}; }
  constexpr Vec2 operator*(double f) const { return {x * f, y * f}; }
};
constexpr double dot(Vec2 a, Vec2 b) { return a.x * b.x + a.y * b.y; }
constexpr double cross(Vec2 a, Vec2 b) { return a.x * b.y - a.y * b.x; }
inline double norm(Vec2 a) { return std::hypot(a.x, a.y); }
constexpr Vec2 perp(Vec2 a) { return {-a.y, a.x}; }  ///< a quarter turn to the left

struct Vec3 {
  double x{}, y{}, z{};
  constexpr bool operator==(const Vec3&) const = default;
  constexpr Vec3 operator+(Vec3 o) const { return {x + o.x, y + o.y, z + o.z}; }
  constexpr Vec3 operator-(Vec3 o) const { return {x - o.x, y - o.y, z - o.z}; }
  constexpr Vec3 operator-() const { return {-x, -y, -z}; }
  constexpr Vec3 operator*(double f) const { return {x * f, y * f, z * f}; }
  constexpr Vec2 xy() const { return {x, y}; }
};
constexpr double dot(Vec3 a, Vec3 b) { return a.x * b.x + a.y * b.y + a.z * b.z; }
constexpr Vec3 cross(Vec3 a, Vec3 b) { return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x}; }
inline double norm(Vec3 a) { return std::sqrt(dot(a, a)); }
inline Vec3 unit(Vec3 a) {
  const double n = norm(a);
  return n > 0 ? a * (1.0 / n) : a;
}

struct Box2 {
  Vec2 min{std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};
  Vec2 max{-std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()};
  bool empty() const { return min.x > max.x; }
  void add(Vec2 p) {
    min = {std::min(min.x, p.x), std::min(min.y, p.y)};
    max = {std::max(max.x, p.x), std::max(max.y, p.y)};
  }
  Vec2 size() const { return empty() ? Vec2{} : max - min; }
  Vec2 centre() const { return (min + max) * 0.5; }
};

struct Box3 {
  Vec3 min{std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity(),
           std::numeric_limits<double>::infinity()};
  Vec3 max{-std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity(),
           -std::numeric_limits<double>::infinity()};
  bool empty() const { return min.x > max.x; }
  void add(Vec3 p) {
    min = {std::min(min.x, p.x), std::min(min.y, p.y), std::min(min.z, p.z)};
    max = {std::max(max.x, p.x), std::max(max.y, p.y), std::max(max.z, p.z)};
  }
  Vec3 size() const { return empty() ? Vec3{} : max - min; }
  Vec3 centre() const { return (min + max) * 0.5; }
};

/// A rigid motion: p' = (dot(x,p), dot(y,p), dot(z,p)) + shift. Rows x, y, z are orthonormal and right-handed.
struct Frame {
  Vec3 x{1, 0, 0}, y{0, 1, 0}, z{0, 0, 1};
  Vec3 shift{};
  Vec3 apply(Vec3 p) const { return Vec3{dot(x, p), dot(y, p), dot(z, p)} + shift; }
  Vec3 turn(Vec3 d) const { return {dot(x, d), dot(y, d), dot(z, d)}; }
  Vec3 turnBack(Vec3 d) const { return x * d.x + y * d.y + z * d.z; }
  Vec3 applyBack(Vec3 p) const { return turnBack(p - shift); }
  /// The 4x4 matrix, row-major.
  std::array<double, 16> matrix() const {
    return {x.x, x.y, x.z, shift.x, y.x, y.y, y.z, shift.y, z.x, z.y, z.z, shift.z, 0, 0, 0, 1};
  }
};

}  // namespace chipledger
