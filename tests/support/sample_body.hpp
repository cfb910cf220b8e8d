#pragma once
// A plate part built by hand for renderers: rounded outline, two islands, bores and a slot, with exact edges and a
// watertight-enough mesh. No kernel is needed to make it.
#include <chipledger/geometry/polygon.hpp>
#include <chipledger/part/part.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

namespace chipledger::support {

inline constexpr double kSampleThickness_mm = 2.0;
inline constexpr double kSampleIslandTop_mm = 5.2;

inline Ring roundedRectangle(Vec2 centre, double length, double width, double radius, int chordsPerQuarter = 12) {
  Ring ring;
  const double hx = length / 2 - radius, hy = width / 2 - radius;
  const Vec2 corners[] = {{hx, hy}, {-hx, hy}, {-hx, -hy}, {hx, -hy}};
  for (int q = 0; q < 4; ++q) {
    for (int i = 0; i <= chordsPerQuarter; ++i) {
      const double a = std::numbers::pi / 2 * (q + static_cast<double>(i) / chordsPerQuarter);
      const Vec2 p = centre + corners[q] + Vec2{radius * std::cos(a), radius * std::sin(a)};
      if (ring.empty() || norm(p - ring.back()) > 1e-9) ring.push_back(p);
    }
  }
  if (norm(ring.front() - ring.back()) < 1e-9) ring.pop_back();
  return ring;
}

inline Ring circleRing(Vec2 centre, double radius, int chords = 48) {
  Ring ring;
  for (int i = 0; i < chords; ++i) {
    const double a = 2 * std::numbers::pi * i / chords;
    ring.push_back(centre + Vec2{radius * std::cos(a), radius * std::sin(a)});
  }
  return ring;
}

inline Ring reversed(Ring ring) {
  std::reverse(ring.begin(), ring.end());
  return ring;
}

/// Triangles of a plane region at height z by vertical strips between neighbouring vertices (even-odd rule).
inline void addPlane(part::Mesh& mesh, const std::vector<Ring>& rings, double z, bool up, int face) {
  std::vector<double> xs;
  for (const Ring& ring : rings)
    for (const Vec2& p : ring) xs.push_back(p.x);
  std::sort(xs.begin(), xs.end());
  xs.erase(std::unique(xs.begin(), xs.end(), [](double a, double b) { return b - a < 1e-9; }), xs.end());
  struct Cut {
    double middle, left, right;
  };
  const auto put = [&](Vec2 a, Vec2 b, Vec2 c) {
    const auto base = static_cast<std::int32_t>(mesh.points.size());
    for (const Vec2& p : {a, b, c}) mesh.points.push_back({p.x, p.y, z});
    if (up) {
      mesh.triangles.push_back({base, base + 1, base + 2});
    } else {
      mesh.triangles.push_back({base, base + 2, base + 1});
    }
    mesh.triangleFace.push_back(face);
  };
  for (std::size_t s = 0; s + 1 < xs.size(); ++s) {
    const double x0 = xs[s], x1 = xs[s + 1], xm = (x0 + x1) / 2;
    std::vector<Cut> cuts;
    for (const Ring& ring : rings) {
      for (std::size_t i = 0; i < ring.size(); ++i) {
        Vec2 a = ring[i], b = ring[(i + 1) % ring.size()];
        if (a.x > b.x) std::swap(a, b);
        if (a.x > xm || b.x <= xm) continue;
        const double slope = (b.y - a.y) / (b.x - a.x);
        cuts.push_back({a.y + slope * (xm - a.x), a.y + slope * (x0 - a.x), a.y + slope * (x1 - a.x)});
      }
    }
    std::sort(cuts.begin(), cuts.end(), [](const Cut& a, const Cut& b) { return a.middle < b.middle; });
    for (std::size_t c = 0; c + 1 < cuts.size(); c += 2) {
      put({x0, cuts[c].left}, {x1, cuts[c].right}, {x1, cuts[c + 1].right});
      put({x0, cuts[c].left}, {x1, cuts[c + 1].right}, {x0, cuts[c + 1].left});
    }
  }
}

inline void addWall(part::Mesh& mesh, const Ring& ring, double low, double high, int face) {
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Vec2 a = ring[i], b = ring[(i + 1) % ring.size()];
    const auto base = static_cast<std::int32_t>(mesh.points.size());
    mesh.points.push_back({a.x, a.y, low});
    mesh.points.push_back({b.x, b.y, low});
    mesh.points.push_back({b.x, b.y, high});
    mesh.points.push_back({a.x, a.y, high});
    mesh.triangles.push_back({base, base + 1, base + 2});
    mesh.triangles.push_back({base, base + 2, base + 3});
    mesh.triangleFace.push_back(face);
    mesh.triangleFace.push_back(face);
  }
}

struct SampleHole {
  std::string name;
  Vec2 centre;
  double diameter{};
};

inline std::vector<SampleHole> sampleHoles() {
  return {{"bore-1", {-41, 0}, 5.0},       {"bore-2", {-33, -7}, 4.0},    {"thread-1", {-44, 9.5}, 2.05},
          {"thread-2", {-44, -9.5}, 2.05}, {"thread-3", {44, 9.5}, 2.05}, {"thread-4", {44, -9.5}, 2.05},
          {"seat-1", {36, 2}, 1.6}};
}
inline Ring sampleOutline() { return roundedRectangle({0, 0}, 98, 26, 6); }
inline Ring sampleIsland(int index) {
  return index == 0 ? roundedRectangle({-20, 3}, 14, 6, 3) : roundedRectangle({6, 3}, 9, 6, 3);
}
inline Ring sampleSlot() { return roundedRectangle({12, -6}, 45, 1.2, 0.6, 6); }

/// Faces in order: back, floor, outline wall, island tops (2), island walls (2), slot wall, one wall per hole.
inline part::Body sampleBody() {
  part::Body body;
  body.name = "show plate";
  const std::vector<SampleHole> holes = sampleHoles();
  const auto face = [&](const std::string& name, part::SurfaceKind kind) {
    part::Face f;
    f.id = {static_cast<int>(body.faces.size())};
    f.name = name;
    f.kind = kind;
    body.faces.push_back(f);
    return f.id;
  };
  const auto back = face("back", part::SurfaceKind::Plane);
  const auto floor = face("floor", part::SurfaceKind::Plane);
  const auto wall = face("", part::SurfaceKind::Spline);
  const part::FaceId tops[] = {face("top <1> & \"show\"", part::SurfaceKind::Plane),
                               face("top 2", part::SurfaceKind::Plane)};
  const part::FaceId sides[] = {face("", part::SurfaceKind::Extrusion), face("", part::SurfaceKind::Extrusion)};
  const auto slot = face("", part::SurfaceKind::Extrusion);
  std::vector<part::FaceId> bores;
  for (const SampleHole& hole : holes) {
    bores.push_back(face(hole.name, part::SurfaceKind::Cylinder));
    part::Face& f = body.faces.back();
    f.radius = mm(hole.diameter / 2);
    f.hollow = true;
    f.axis = {0, 0, 1};
    f.origin = {hole.centre.x, hole.centre.y, 0};
  }

  const auto edge = [&](const Ring& ring, double z, part::FaceId left, part::FaceId right, part::Sense sense) {
    part::Edge e;
    e.id = {static_cast<int>(body.edges.size())};
    e.left = left;
    e.right = right;
    e.sense = sense;
    e.length = mm(perimeter(ring));
    for (const Vec2& p : ring) e.points.push_back({p.x, p.y, z});
    e.points.push_back(e.points.front());
    body.edges.push_back(e);
  };
  const double t = kSampleThickness_mm, h = kSampleIslandTop_mm;
  std::vector<Ring> through{sampleOutline(), reversed(sampleSlot())};
  edge(sampleOutline(), 0, back, wall, part::Sense::Convex);
  edge(sampleOutline(), t, floor, wall, part::Sense::Convex);
  edge(sampleSlot(), 0, back, slot, part::Sense::Convex);
  edge(sampleSlot(), t, floor, slot, part::Sense::Convex);
  for (std::size_t i = 0; i < holes.size(); ++i) {
    const Ring ring = circleRing(holes[i].centre, holes[i].diameter / 2);
    through.push_back(reversed(ring));
    edge(ring, 0, back, bores[i], part::Sense::Convex);
    edge(ring, t, floor, bores[i], part::Sense::Convex);
    addWall(body.mesh, reversed(ring), 0, t, bores[i].index);
  }
  addPlane(body.mesh, through, 0, false, back.index);
  std::vector<Ring> upper = through;
  for (int i = 0; i < 2; ++i) {
    const Ring ring = sampleIsland(i);
    upper.push_back(reversed(ring));
    edge(ring, t, floor, sides[i], part::Sense::Concave);
    edge(ring, h, tops[i], sides[i], part::Sense::Convex);
    addPlane(body.mesh, {ring}, h, true, tops[i].index);
    addWall(body.mesh, ring, t, h, sides[i].index);
  }
  addPlane(body.mesh, upper, t, true, floor.index);
  addWall(body.mesh, sampleOutline(), 0, t, wall.index);
  addWall(body.mesh, reversed(sampleSlot()), 0, t, slot.index);
  body.mesh.deflection_mm = 0.002;

  double plan = 0, tall = 0;
  for (const Ring& ring : through) plan += signedArea(ring);
  for (int i = 0; i < 2; ++i) tall += signedArea(sampleIsland(i));
  body.volume = mm3(plan * t + tall * (h - t));
  body.area = mm2(2 * plan + perimeter(sampleOutline()) * t);
  body.box.add({-49, -13, 0});
  body.box.add({49, 13, h});
  body.fingerprint = "5f0c2b9e7a41d836";
  return body;
}

inline part::Part samplePart() {
  part::Part part;
  part.file = "medlar-islands.step";
  part.schema = "AP214";
  part.unit = "mm";
  part.bodies = {sampleBody()};
  part.declaredBodies = 1;
  return part;
}

}  // namespace chipledger::support
