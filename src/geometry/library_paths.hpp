#pragma once
// Between regions in mm and the paths of the polygon library in counts.
#include <chipledger/geometry/polygon.hpp>

#include <polyclipping/clipper.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::library {

namespace cl = ClipperLib;
inline constexpr double kScale = 1e5;  // 1e-5 mm per count: 46 m fit into the library's safe 62-bit range

// The library sweeps from low to high y and slows down with the count of edges that a sweep line meets. Plates lie
// along x, with long chains of nearly level chords: there it is quicker to exchange the axes (a whole estimate of a
// chassis: 3.2 -> 2.5 s). Exchanging turns the sense of rings round, so their points are taken in reverse as well.
inline bool liesAlongX(const Box2& b) { return b.size().x > b.size().y; }

inline cl::IntPoint toCount(Vec2 p, bool swapped) {
  const auto x = static_cast<cl::cInt>(std::llround(p.x * kScale)),
             y = static_cast<cl::cInt>(std::llround(p.y * kScale));
  return swapped ? cl::IntPoint(y, x) : cl::IntPoint(x, y);
}
inline Vec2 toMm(const cl::IntPoint& p, bool swapped) {
  const double x = static_cast<double>(p.X) / kScale, y = static_cast<double>(p.Y) / kScale;
  return swapped ? Vec2{y, x} : Vec2{x, y};
}

inline cl::Path toPath(const std::vector<Vec2>& points, bool swapped) {
  cl::Path path;
  path.reserve(points.size());
  for (Vec2 p : points) path.push_back(toCount(p, swapped));
  if (swapped) std::reverse(path.begin(), path.end());
  return path;
}
inline cl::Paths toPaths(const Region& region, bool swapped) {
  cl::Paths paths;
  paths.reserve(region.rings.size());
  for (const Ring& ring : region.rings) paths.push_back(toPath(ring, swapped));
  return paths;
}
inline Region toRegion(const cl::Paths& paths, bool swapped) {
  Region region;
  region.rings.reserve(paths.size());
  for (const cl::Path& path : paths) {
    if (path.size() < 3) continue;
    Ring ring;
    ring.reserve(path.size());
    for (const cl::IntPoint& p : path) ring.push_back(toMm(p, swapped));
    if (swapped) std::reverse(ring.begin(), ring.end());
    region.rings.push_back(std::move(ring));
  }
  return region;
}

}  // namespace chipledger::library
