#include "setup/depth_map.hpp"

#include <limits>

namespace chipledger::setup {
namespace {

// A sample is moved off its own face by this many cells before its column is looked up, so that the face's own rim
// (known to half a cell) does not hide it.
constexpr double kStandOffCells = 1.5;
constexpr double kWallCosine = 0.02;      // faces within about a degree of upright are walls
constexpr double kLooksAwayShare = 0.10;  // chamfered and rounded borders may turn a few samples away
constexpr double kFreeShare = 0.80;       // a clamp-sized overhang hides fewer

Vec3 anySquareTo(Vec3 d) {
  const Vec3 helper = std::abs(d.x) < 0.9 ? Vec3{1, 0, 0} : Vec3{0, 1, 0};
  return unit(cross(d, helper));
}

}  // namespace

DepthMap::DepthMap(const part::Mesh& mesh, Vec3 towards, double cell_mm)
    : across_(anySquareTo(towards)), along_(cross(towards, across_)), towards_(towards), cell_(cell_mm) {
  std::vector<Vec3> moved;
  moved.reserve(mesh.points.size());
  Box3 box;
  for (const Vec3 p : mesh.points) {
    moved.push_back({dot(across_, p), dot(along_, p), dot(towards_, p)});
    box.add(moved.back());
  }
  if (box.empty()) return;
  x0_ = box.min.x;
  y0_ = box.min.y;
  top_ = box.max.z;
  nx_ = static_cast<int>((box.max.x - box.min.x) / cell_) + 1;
  ny_ = static_cast<int>((box.max.y - box.min.y) / cell_) + 1;
  height_.assign(static_cast<std::size_t>(nx_) * static_cast<std::size_t>(ny_),
                 -std::numeric_limits<float>::infinity());
  for (const auto& t : mesh.triangles) {
    const Vec3 a = moved[static_cast<std::size_t>(t[0])], b = moved[static_cast<std::size_t>(t[1])],
               c = moved[static_cast<std::size_t>(t[2])];
    const double twice = cross(b.xy() - a.xy(), c.xy() - a.xy());
    if (std::abs(twice) < 1e-12) continue;  // upright triangle: its upper edge belongs to a neighbour
    const double low = std::min({a.y, b.y, c.y}), high = std::max({a.y, b.y, c.y});
    const int j0 = std::max(0, static_cast<int>(std::ceil((low - y0_) / cell_ - 0.5)));
    const int j1 = std::min(ny_ - 1, static_cast<int>(std::floor((high - y0_) / cell_ - 0.5)));
    const double slopeX = ((b.z - a.z) * (c.y - a.y) - (c.z - a.z) * (b.y - a.y)) / twice;
    const double slopeY = ((c.z - a.z) * (b.x - a.x) - (b.z - a.z) * (c.x - a.x)) / twice;
    const Vec3 corner[3] = {a, b, c};
    for (int j = j0; j <= j1; ++j) {
      const double y = y0_ + (j + 0.5) * cell_;
      double left = std::numeric_limits<double>::infinity(), right = -left;
      for (int k = 0; k < 3; ++k) {
        const Vec3 p = corner[k], q = corner[(k + 1) % 3];
        if ((p.y <= y) == (q.y <= y)) continue;
        const double x = p.x + (q.x - p.x) * (y - p.y) / (q.y - p.y);
        left = std::min(left, x);
        right = std::max(right, x);
      }
      if (left > right) continue;
      const int i0 = std::max(0, static_cast<int>(std::ceil((left - x0_) / cell_ - 0.5)));
      const int i1 = std::min(nx_ - 1, static_cast<int>(std::floor((right - x0_) / cell_ - 0.5)));
      for (int i = i0; i <= i1; ++i) {
        const double x = x0_ + (i + 0.5) * cell_;
        float& h = height_[static_cast<std::size_t>(j) * static_cast<std::size_t>(nx_) + static_cast<std::size_t>(i)];
        h = std::max(h, static_cast<float>(a.z + slopeX * (x - a.x) + slopeY * (y - a.y)));
      }
    }
  }
}

bool DepthMap::free(Vec3 p) const {
  const int i = static_cast<int>(std::floor((dot(across_, p) - x0_) / cell_));
  const int j = static_cast<int>(std::floor((dot(along_, p) - y0_) / cell_));
  if (i < 0 || j < 0 || i >= nx_ || j >= ny_) return true;
  const float above =
      height_[static_cast<std::size_t>(j) * static_cast<std::size_t>(nx_) + static_cast<std::size_t>(i)];
  return static_cast<double>(above) <= dot(towards_, p) + cell_;
}

std::vector<FaceView> lookAt(const part::Body& body, Vec3 towards, double cell_mm, double reach_mm) {
  const DepthMap map(body.mesh, towards, cell_mm);
  std::vector<FaceView> views;
  views.reserve(body.faces.size());
  for (const part::Face& face : body.faces) {
    FaceView view;
    std::size_t away = 0, open = 0, upright = 0;
    double lowest = map.top();
    for (const part::FaceSample& s : face.samples) {
      const double facing = dot(s.normal, towards);
      if (facing < -kWallCosine) ++away;
      if (std::abs(facing) <= kWallCosine) ++upright;
      if (map.free(s.point + s.normal * (kStandOffCells * cell_mm))) ++open;
      lowest = std::min(lowest, dot(towards, s.point));
    }
    const double count = static_cast<double>(face.samples.size());
    if (count > 0) {
      view.seen =
          static_cast<double>(away) <= kLooksAwayShare * count && static_cast<double>(open) >= kFreeShare * count;
      view.wall = upright == face.samples.size();
    }
    // A bore is drilled, not swept with the flank of a cutter.
    const bool bore =
        face.kind == part::SurfaceKind::Cylinder && face.hollow && std::abs(dot(face.axis, towards)) > 0.999;
    const double depth = map.top() - lowest;
    view.weight = view.wall && !bore && depth > reach_mm ? (reach_mm / depth) * (reach_mm / depth) : 1.0;
    views.push_back(view);
  }
  return views;
}

}  // namespace chipledger::setup
