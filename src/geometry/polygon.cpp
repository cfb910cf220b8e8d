#include <chipledger/geometry/polygon.hpp>

#include <algorithm>
#include <cstdint>
#include <numbers>

#include "geometry/library_paths.hpp"
#include "geometry/shape_memory.hpp"

namespace chipledger {
namespace {

using namespace library;

Region combineAnew(cl::ClipType type, const Region& a, const Region& b) {
  const bool swapped = liesAlongX(box(a.empty() ? b : a));
  cl::Clipper clipper;
  if (!a.empty()) clipper.AddPaths(toPaths(a, swapped), cl::ptSubject, true);
  if (!b.empty()) clipper.AddPaths(toPaths(b, swapped), cl::ptClip, true);
  cl::Paths out;
  clipper.Execute(type, out, cl::pftNonZero, cl::pftNonZero);
  return toRegion(out, swapped);
}

Region combine(cl::ClipType type, const Region& a, const Region& b) {
  return remembered(shapeKey(static_cast<std::uint64_t>(type), {&a, &b}), [&] { return combineAnew(type, a, b); });
}

std::vector<Line> clipLine(const Line& line, const Region& region, cl::ClipType type) {
  if (line.size() < 2) return {};
  if (region.empty()) return type == cl::ctDifference ? std::vector<Line>{line} : std::vector<Line>{};
  const bool swapped = liesAlongX(box(region));
  cl::Clipper clipper;
  clipper.AddPath(toPath(line, swapped), cl::ptSubject, false);
  clipper.AddPaths(toPaths(region, swapped), cl::ptClip, true);
  cl::PolyTree tree;
  clipper.Execute(type, tree, cl::pftNonZero, cl::pftNonZero);
  cl::Paths open;
  cl::OpenPathsFromPolyTree(tree, open);

  // The library may return pieces reversed and in any order: restore both from the place along the input line.
  std::vector<double> along(line.size(), 0.0);
  for (std::size_t i = 1; i < line.size(); ++i) along[i] = along[i - 1] + norm(line[i] - line[i - 1]);
  const auto place = [&](Vec2 p) {
    double best = 1e300, where = 0.0;
    for (std::size_t i = 1; i < line.size(); ++i) {
      const Vec2 d = line[i] - line[i - 1];
      const double l2 = dot(d, d);
      const double t = l2 > 0 ? std::clamp(dot(p - line[i - 1], d) / l2, 0.0, 1.0) : 0.0;
      const double gap = norm(p - (line[i - 1] + d * t));
      if (gap < best - 1e-9) {
        best = gap;
        where = along[i - 1] + t * std::sqrt(l2);
      }
    }
    return where;
  };
  std::vector<std::pair<double, Line>> found;
  for (const cl::Path& path : open) {
    if (path.size() < 2) continue;
    Line piece;
    for (const cl::IntPoint& p : path) piece.push_back(toMm(p, swapped));
    // Direction: compare the places of a point near the start and the next one along the piece.
    const double first = place((piece[0] * 2.0 + piece[1]) * (1.0 / 3.0));
    const double second = place((piece[0] + piece[1] * 2.0) * (1.0 / 3.0));
    if (second < first) std::reverse(piece.begin(), piece.end());
    found.emplace_back(std::min(first, second), std::move(piece));
  }
  std::stable_sort(found.begin(), found.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  std::vector<Line> pieces;
  pieces.reserve(found.size());
  for (auto& f : found) pieces.push_back(std::move(f.second));
  return pieces;
}

void dropNear(const std::vector<Vec2>& p, std::size_t a, std::size_t b, double tolerance, std::vector<char>& keep) {
  if (b <= a + 1) return;
  double worst = -1.0;
  std::size_t at = a;
  const Vec2 d = p[b] - p[a];
  const double l2 = dot(d, d);
  for (std::size_t i = a + 1; i < b; ++i) {
    const double t = l2 > 0 ? std::clamp(dot(p[i] - p[a], d) / l2, 0.0, 1.0) : 0.0;
    const double gap = norm(p[i] - (p[a] + d * t));
    if (gap > worst) {
      worst = gap;
      at = i;
    }
  }
  if (worst <= tolerance) return;
  keep[at] = 1;
  dropNear(p, a, at, tolerance, keep);
  dropNear(p, at, b, tolerance, keep);
}

}  // namespace

double signedArea(const Ring& ring) {
  if (ring.size() < 3) return 0.0;
  double sum = 0.0;
  const Vec2 o = ring.front();
  for (std::size_t i = 1; i + 1 < ring.size(); ++i) sum += cross(ring[i] - o, ring[i + 1] - o);
  return 0.5 * sum;
}

double perimeter(const Ring& ring) {
  double sum = 0.0;
  for (std::size_t i = 0; i < ring.size(); ++i) sum += norm(ring[(i + 1) % ring.size()] - ring[i]);
  return sum;
}

double area(const Region& region) {
  double sum = 0.0;
  for (const Ring& ring : region.rings) sum += signedArea(ring);
  return sum;
}

double perimeter(const Region& region) {
  double sum = 0.0;
  for (const Ring& ring : region.rings) sum += perimeter(ring);
  return sum;
}

Box2 box(const Ring& ring) {
  Box2 b;
  for (Vec2 p : ring) b.add(p);
  return b;
}

Box2 box(const Region& region) {
  Box2 b;
  for (const Ring& ring : region.rings)
    for (Vec2 p : ring) b.add(p);
  return b;
}

bool contains(const Region& region, Vec2 p) {
  bool inside = false;
  for (const Ring& ring : region.rings) {
    for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
      const Vec2 a = ring[i], b = ring[j];
      if ((a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x) inside = !inside;
    }
  }
  return inside;
}

double wallDistance(const Region& region, Vec2 p) {
  double best = std::numeric_limits<double>::infinity();
  for (const Ring& ring : region.rings) {
    for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
      const Vec2 a = ring[j], d = ring[i] - a;
      const double l2 = dot(d, d);
      const double t = l2 > 0 ? std::clamp(dot(p - a, d) / l2, 0.0, 1.0) : 0.0;
      best = std::min(best, norm(p - (a + d * t)));
    }
  }
  return contains(region, p) ? best : -best;
}

Region unite(const Region& a, const Region& b) { return combine(cl::ctUnion, a, b); }

Region unite(const std::vector<Region>& regions) {
  Region all;
  for (const Region& region : regions) all.rings.insert(all.rings.end(), region.rings.begin(), region.rings.end());
  return combine(cl::ctUnion, all, {});
}

Region intersect(const Region& a, const Region& b) {
  if (a.empty() || b.empty()) return {};
  return combine(cl::ctIntersection, a, b);
}

Region subtract(const Region& a, const Region& b) {
  if (a.empty()) return {};
  return combine(cl::ctDifference, a, b);
}

Region clean(const std::vector<Ring>& rings) { return combine(cl::ctUnion, Region{rings}, {}); }

std::vector<Line> clipInside(const Line& line, const Region& region) {
  return clipLine(line, region, cl::ctIntersection);
}
std::vector<Line> clipOutside(const Line& line, const Region& region) {
  return clipLine(line, region, cl::ctDifference);
}

std::vector<Region> pieces(const Region& region) {
  const bool swapped = liesAlongX(box(region));
  cl::Clipper clipper;
  clipper.AddPaths(toPaths(region, swapped), cl::ptSubject, true);
  cl::PolyTree tree;
  clipper.Execute(cl::ctUnion, tree, cl::pftNonZero, cl::pftNonZero);
  std::vector<Region> found;
  for (const cl::PolyNode* node = tree.GetFirst(); node != nullptr; node = node->GetNext()) {
    if (node->IsHole()) continue;
    cl::Paths paths{node->Contour};
    for (const cl::PolyNode* hole : node->Childs) paths.push_back(hole->Contour);
    Region piece = toRegion(paths, swapped);
    if (!piece.empty()) found.push_back(std::move(piece));
  }
  std::stable_sort(found.begin(), found.end(), [](const Region& a, const Region& b) {
    const double aa = area(a), ab = area(b);
    if (aa != ab) return aa > ab;
    const Box2 ba = box(a), bb = box(b);
    return ba.min.x != bb.min.x ? ba.min.x < bb.min.x : ba.min.y < bb.min.y;
  });
  return found;
}

Region rectangle(Vec2 min, Vec2 max) { return {{{min, {max.x, min.y}, max, {min.x, max.y}}}}; }

Region disc(Vec2 centre, double radius, double arcTolerance) {
  const double ratio = std::clamp(arcTolerance / std::max(radius, 1e-9), 1e-9, 0.5);
  const int n = std::max(12, static_cast<int>(std::ceil(std::numbers::pi / std::acos(1.0 - ratio))));
  const double step = 2.0 * std::numbers::pi / n;
  const double r = radius * std::sqrt(step / std::sin(step));  // a polygon of the circle's own area
  Ring ring;
  ring.reserve(static_cast<std::size_t>(n));
  for (int i = 0; i < n; ++i) ring.push_back(centre + Vec2{r * std::cos(i * step), r * std::sin(i * step)});
  return {{ring}};
}

Line simplifyLine(const Line& line, double tolerance) {
  if (line.size() < 3) return line;
  std::vector<char> keep(line.size(), 0);
  keep.front() = keep.back() = 1;
  dropNear(line, 0, line.size() - 1, tolerance, keep);
  Line out;
  for (std::size_t i = 0; i < line.size(); ++i)
    if (keep[i]) out.push_back(line[i]);
  return out;
}

Ring simplify(const Ring& ring, double tolerance) {
  if (ring.size() < 4) return ring;
  // Cut the ring at two far points so that the line simplifier has honest ends.
  std::size_t far = 0;
  for (std::size_t i = 1; i < ring.size(); ++i)
    if (norm(ring[i] - ring[0]) > norm(ring[far] - ring[0])) far = i;
  Line first(ring.begin(), ring.begin() + static_cast<std::ptrdiff_t>(far) + 1);
  Line second(ring.begin() + static_cast<std::ptrdiff_t>(far), ring.end());
  second.push_back(ring[0]);
  first = simplifyLine(first, tolerance);
  second = simplifyLine(second, tolerance);
  Ring out(first.begin(), first.end());
  out.insert(out.end(), second.begin() + 1, second.end() - 1);
  return out;
}

Region mirrorX(const Region& region) {
  Region out = region;
  for (Ring& ring : out.rings) {
    for (Vec2& p : ring) p.x = -p.x;
    std::reverse(ring.begin(), ring.end());
  }
  return out;
}

}  // namespace chipledger
