#pragma once
// Bodies made of axis-aligned rectangles, by hand, for tests that need no kernel: faces, samples and triangles, no
// edges.
#include <chipledger/part/part.hpp>

#include <map>
#include <tuple>

namespace chipledger::test {

class BoxBody {
public:
  /// One face of rectangles (corner + two sides, outward normal u x v).
  void face(const std::vector<std::array<Vec3, 3>>& rectangles) {
    part::Face f;
    f.id.index = static_cast<int>(body.faces.size());
    f.kind = part::SurfaceKind::Plane;
    double size = 0;
    for (const auto& [corner, u, v] : rectangles) {
      f.axis = unit(cross(u, v));
      f.origin = corner;
      size += norm(cross(u, v));
      for (int i = 0; i < 5; ++i) {
        for (int j = 0; j < 5; ++j) f.samples.push_back({corner + u * (0.1 + 0.2 * i) + v * (0.1 + 0.2 * j), f.axis});
      }
      const std::int32_t a = point(corner), b = point(corner + u), c = point(corner + u + v), d = point(corner + v);
      body.mesh.triangles.push_back({a, b, c});
      body.mesh.triangles.push_back({a, c, d});
      body.mesh.triangleFace.insert(body.mesh.triangleFace.end(), 2, f.id.index);
      for (const Vec3 p : {corner, corner + u + v}) f.box.add(p);
    }
    f.area = mm2(size);
    body.area += f.area;
    body.faces.push_back(std::move(f));
  }
  /// The upright faces of a box, looking out, or into it for a recess.
  void walls(Vec3 min, Vec3 max, bool inward = false) {
    const Vec3 s = max - min;
    const Vec3 x{s.x, 0, 0}, y{0, s.y, 0}, z{0, 0, s.z};
    const auto add = [&](Vec3 corner, Vec3 u, Vec3 v) { inward ? face({{corner, v, u}}) : face({{corner, u, v}}); };
    add(min, x, z);
    add(min + x, y, z);
    add(min + x + y, -x, z);
    add(min + y, -y, z);
  }
  void up(Vec3 min, Vec3 max) {
    face({{Vec3{min.x, min.y, max.z}, Vec3{max.x - min.x, 0, 0}, Vec3{0, max.y - min.y, 0}}});
  }
  void down(Vec3 min, Vec3 max) { face({{min, Vec3{0, max.y - min.y, 0}, Vec3{max.x - min.x, 0, 0}}}); }
  /// The rectangle `min`..`max` at height z without a rectangular hole, looking up or down: one face.
  void ring(Vec2 min, Vec2 max, Vec2 holeMin, Vec2 holeMax, double z, bool up) {
    std::vector<std::array<Vec3, 3>> parts;
    const auto add = [&](double x0, double y0, double x1, double y1) {
      const Vec3 u{x1 - x0, 0, 0}, v{0, y1 - y0, 0};
      up ? parts.push_back({Vec3{x0, y0, z}, u, v}) : parts.push_back({Vec3{x0, y0, z}, v, u});
    };
    add(min.x, min.y, max.x, holeMin.y);
    add(min.x, holeMax.y, max.x, max.y);
    add(min.x, holeMin.y, holeMin.x, holeMax.y);
    add(holeMax.x, holeMin.y, max.x, holeMax.y);
    face(parts);
  }
  part::Body body;

private:
  std::int32_t point(Vec3 p) {
    const auto [at, fresh] = index_.try_emplace({p.x, p.y, p.z}, static_cast<std::int32_t>(body.mesh.points.size()));
    if (fresh) {
      body.mesh.points.push_back(p);
      body.box.add(p);
    }
    return at->second;
  }
  std::map<std::tuple<double, double, double>, std::int32_t> index_;
};

/// The body with every place and direction moved by `frame`.
inline part::Body moved(part::Body body, const Frame& frame) {
  Box3 box;
  for (Vec3& p : body.mesh.points) box.add(p = frame.apply(p));
  body.box = box;
  for (part::Face& f : body.faces) {
    f.origin = frame.apply(f.origin);
    f.axis = frame.turn(f.axis);
    for (part::FaceSample& s : f.samples) s = {frame.apply(s.point), frame.turn(s.normal)};
  }
  for (part::Edge& e : body.edges) {
    e.centre = frame.apply(e.centre);
    e.axis = frame.turn(e.axis);
    for (Vec3& p : e.points) p = frame.apply(p);
  }
  return body;
}

}  // namespace chipledger::test
