#include <chipledger/path/pass.hpp>

#include <algorithm>

namespace chipledger::path {

namespace {
constexpr double kSamePoint = 1e-4;  // mm: ten counts of the polygon library

// Begun on side `side`, a share `t` along it.
Pass begunOn(Pass pass, std::size_t side, double t) {
  const Vec3 a = pass.points[side], b = pass.points[(side + 1) % pass.points.size()];
  const Vec3 start = a + (b - a) * t;
  std::vector<Vec3> points{start};
  for (std::size_t n = 0; n < pass.points.size(); ++n) {
    const Vec3 p = pass.points[(side + 1 + n) % pass.points.size()];
    if (norm(p - points.back()) > kSamePoint) points.push_back(p);
  }
  if (points.size() > 1 && norm(points.back() - points.front()) <= kSamePoint) points.pop_back();
  pass.points = std::move(points);
  return pass;
}
}  // namespace

Pass levelPass(const Line& line, double z_mm, bool closed, int level) {
  Pass pass;
  pass.closed = closed;
  pass.level = level;
  pass.points.reserve(line.size());
  for (Vec2 p : line) pass.points.push_back({p.x, p.y, z_mm});
  return pass;
}

double planLength(const Pass& pass) {
  double sum = 0.0;
  for (std::size_t i = 1; i < pass.points.size(); ++i) sum += norm((pass.points[i] - pass.points[i - 1]).xy());
  if (pass.closed && pass.points.size() > 1) sum += norm((pass.points.front() - pass.points.back()).xy());
  return sum;
}

std::vector<Pass> atHeight(std::vector<Pass> passes, double z_mm) {
  for (Pass& pass : passes)
    for (Vec3& p : pass.points) p.z = z_mm;
  return passes;
}

double planLength(const std::vector<Pass>& passes) {
  double sum = 0.0;
  for (const Pass& pass : passes) sum += planLength(pass);
  return sum;
}

Pass begunNear(Pass pass, Vec2 place) {
  if (!pass.closed || pass.keepStart || pass.points.size() < 2) return pass;
  // The foot of the perpendicular on the nearest side, not only the nearest corner: long sides have few points.
  std::size_t best = 0;
  double bestGap = 1e300, bestT = 0.0;
  for (std::size_t i = 0; i < pass.points.size(); ++i) {
    const Vec2 a = pass.points[i].xy(), d = pass.points[(i + 1) % pass.points.size()].xy() - a;
    const double l2 = dot(d, d);
    const double t = l2 > 0 ? std::clamp(dot(place - a, d) / l2, 0.0, 1.0) : 0.0;
    const double gap = norm(place - (a + d * t));
    if (gap < bestGap - 1e-9) {
      bestGap = gap;
      best = i;
      bestT = t;
    }
  }
  return begunOn(std::move(pass), best, bestT);
}

Pass begunAt(Pass pass, double along_mm) {
  if (!pass.closed || pass.keepStart || pass.points.size() < 2) return pass;
  for (std::size_t i = 0; i < pass.points.size(); ++i) {
    const double l = norm((pass.points[(i + 1) % pass.points.size()] - pass.points[i]).xy());
    if (along_mm <= l && l > 0) return begunOn(std::move(pass), i, std::max(0.0, along_mm / l));
    along_mm -= l;
  }
  return pass;
}

std::vector<Pass> clipRing(const Ring& ring, const Region& region, double z_mm, int level) {
  if (ring.size() < 3) return {};
  Line line(ring.rbegin(), ring.rend());
  line.push_back(line.front());
  std::vector<Line> parts = clipInside(line, region);
  if (parts.empty()) return {};
  const double whole = perimeter(ring);
  double kept = 0.0;
  for (const Line& part : parts)
    for (std::size_t i = 1; i < part.size(); ++i) kept += norm(part[i] - part[i - 1]);
  if (kept >= whole - kSamePoint * static_cast<double>(1 + parts.size())) {
    line.pop_back();
    return {levelPass(line, z_mm, true, level)};
  }
  // The ring was cut open where it begins: join the two ends again.
  if (parts.size() > 1 && norm(parts.back().back() - parts.front().front()) <= kSamePoint) {
    Line joined = std::move(parts.back());
    parts.pop_back();
    joined.insert(joined.end(), parts.front().begin() + 1, parts.front().end());
    parts.front() = std::move(joined);
  }
  std::vector<Pass> passes;
  for (const Line& part : parts)
    if (part.size() > 1) passes.push_back(levelPass(part, z_mm, false, level));
  return passes;
}

}  // namespace chipledger::path
