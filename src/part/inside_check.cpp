#include "inside_check.hpp"

#include <algorithm>
#include <cmath>

namespace chipledger::part {
namespace {

/// Samples are looked at this many deflections before and behind the face: beyond the mesh's error, within any wall.
constexpr double kStep = 3.0;
constexpr std::size_t kSamplesPerFace = 3;
/// Slivers of less than this many steps squared have no room before and behind them.
constexpr double kSliver = 100.0;
constexpr int kMostCells = 128;

/// Counts how often the mesh winds round a point, along a slanting ray that is parallel to no face of a milled part.
class Winding {
public:
  explicit Winding(const Mesh& mesh) : mesh_(mesh) {
    const Vec3 w = unit({0.1234, 0.2345, 0.9642}), u = unit(cross(w, Vec3{0.3, 1.0, 0.2})), v = cross(w, u);
    frame_ = Frame{u, v, w, {}};
    points_.reserve(mesh.points.size());
    for (const Vec3 p : mesh.points) {
      points_.push_back(frame_.turn(p));
      box_.add(points_.back().xy());
    }
    const double side = std::sqrt(static_cast<double>(mesh.triangles.size())) / 2.0;
    cells_ = std::clamp(static_cast<int>(side), 1, kMostCells);
    start_.assign(static_cast<std::size_t>(cells_) * static_cast<std::size_t>(cells_) + 1, 0);
    each([&](std::size_t cell, std::uint32_t) { ++start_[cell + 1]; });
    for (std::size_t i = 1; i < start_.size(); ++i) start_[i] += start_[i - 1];
    list_.resize(start_.back());
    std::vector<std::uint32_t> fill(start_.begin(), start_.end() - 1);
    each([&](std::size_t cell, std::uint32_t triangle) { list_[fill[cell]++] = triangle; });
  }

  int at(Vec3 point) const {
    const Vec3 p = frame_.turn(point);
    if (p.x < box_.min.x || p.y < box_.min.y || p.x > box_.max.x || p.y > box_.max.y) return 0;
    const std::size_t cell =
        static_cast<std::size_t>(row(p.y)) * static_cast<std::size_t>(cells_) + static_cast<std::size_t>(column(p.x));
    int winding = 0;
    for (std::uint32_t i = start_[cell]; i < start_[cell + 1]; ++i) winding += crossing(list_[i], p);
    return winding;
  }

private:
  template <class Visit>
  void each(const Visit& visit) const {
    for (std::size_t t = 0; t < mesh_.triangles.size(); ++t) {
      Box2 b;
      for (const std::int32_t corner : mesh_.triangles[t]) b.add(points_[static_cast<std::size_t>(corner)].xy());
      for (int r = row(b.min.y); r <= row(b.max.y); ++r)
        for (int c = column(b.min.x); c <= column(b.max.x); ++c)
          visit(static_cast<std::size_t>(r) * static_cast<std::size_t>(cells_) + static_cast<std::size_t>(c),
                static_cast<std::uint32_t>(t));
    }
  }
  int cellOf(double at, double from, double to) const {
    const double f = to > from ? (at - from) / (to - from) * cells_ : 0.0;
    return std::clamp(static_cast<int>(f), 0, cells_ - 1);
  }
  int row(double y) const { return cellOf(y, box_.min.y, box_.max.y); }
  int column(double x) const { return cellOf(x, box_.min.x, box_.max.x); }

  /// +1 where the ray upward from p leaves the solid through the triangle, -1 where it enters.
  int crossing(std::uint32_t triangle, Vec3 p) const {
    const auto& t = mesh_.triangles[triangle];
    const Vec3 a = points_[static_cast<std::size_t>(t[0])] - p, b = points_[static_cast<std::size_t>(t[1])] - p,
               c = points_[static_cast<std::size_t>(t[2])] - p;
    const double ab = cross(a.xy(), b.xy()), bc = cross(b.xy(), c.xy()), ca = cross(c.xy(), a.xy());
    const bool left = ab > 0 && bc > 0 && ca > 0, right = ab < 0 && bc < 0 && ca < 0;
    if (!left && !right) return 0;
    const double height = (a.z * bc + b.z * ca + c.z * ab) / (ab + bc + ca);
    if (height <= 0) return 0;
    return left ? 1 : -1;
  }

  const Mesh& mesh_;
  Frame frame_;
  std::vector<Vec3> points_;
  Box2 box_;
  int cells_{1};
  std::vector<std::uint32_t> start_, list_;
};

}  // namespace

std::vector<FaceId> misplacedFaces(const Body& body) {
  std::vector<FaceId> bad;
  if (body.mesh.triangles.empty()) return bad;
  const Winding winding(body.mesh);
  const double step = kStep * body.mesh.deflection_mm;
  for (const Face& face : body.faces) {
    const std::size_t n = face.samples.size();
    if (n == 0 || toMm2(face.area) < kSliver * step * step) continue;
    bool sound = false;
    for (std::size_t k = 0; k < kSamplesPerFace && !sound; ++k) {
      const FaceSample& s = face.samples[(2 * k + 1) * n / (2 * kSamplesPerFace)];
      sound = winding.at(s.point + s.normal * step) == 0 && winding.at(s.point - s.normal * step) == 1;
    }
    if (!sound) bad.push_back(face.id);
  }
  return bad;
}

}  // namespace chipledger::part
