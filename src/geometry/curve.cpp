#include <chipledger/geometry/curve.hpp>

#include <numbers>

namespace chipledger {

namespace {
constexpr double kTwoPi = 2.0 * std::numbers::pi;
bool isArc(const Segment& s) { return s.shape != Segment::Shape::Line; }
}  // namespace

double sweep(const Segment& s) {
  if (!isArc(s)) return 0.0;
  const Vec2 a = s.start.xy() - s.centre, b = s.end.xy() - s.centre;
  double angle = std::atan2(cross(a, b), dot(a, b));
  if (s.shape == Segment::Shape::ArcCw) angle = -angle;
  if (angle < -1e-12) angle += kTwoPi;
  return std::max(0.0, angle) + kTwoPi * s.turns;
}

double radius(const Segment& s) {
  return isArc(s) ? norm(s.start.xy() - s.centre) : std::numeric_limits<double>::infinity();
}

double length(const Segment& s) {
  if (!isArc(s)) return norm(s.end - s.start);
  return std::hypot(sweep(s) * radius(s), s.end.z - s.start.z);
}

Vec3 pointAt(const Segment& s, double fraction) {
  if (!isArc(s)) return s.start + (s.end - s.start) * fraction;
  const double turn = (s.shape == Segment::Shape::ArcCcw ? 1.0 : -1.0) * sweep(s) * fraction;
  const Vec2 a = s.start.xy() - s.centre;
  const double c = std::cos(turn), n = std::sin(turn);
  return {s.centre.x + a.x * c - a.y * n, s.centre.y + a.x * n + a.y * c, s.start.z + (s.end.z - s.start.z) * fraction};
}

Vec3 directionAt(const Segment& s, double fraction) {
  if (!isArc(s)) return unit(s.end - s.start);
  const Vec2 a = pointAt(s, fraction).xy() - s.centre;
  const Vec2 t = s.shape == Segment::Shape::ArcCcw ? perp(a) : -perp(a);
  const double run = sweep(s);
  return unit({t.x, t.y, run > 0 ? (s.end.z - s.start.z) / run : 0.0});
}

Segment line(Vec3 from, Vec3 to) { return {from, to, Segment::Shape::Line, {}, 0.0}; }
Segment arc(Vec3 from, Vec3 to, Vec2 centre, Segment::Shape shape, double turns) {
  return {from, to, shape, centre, turns};
}

namespace {

struct Circle {
  Vec2 centre;
  double radius{};
  bool ok{};
};

Circle through(Vec2 a, Vec2 b, Vec2 c) {
  const Vec2 u = b - a, v = c - a;
  const double d = 2.0 * cross(u, v);
  if (std::abs(d) < 1e-12) return {};
  const double uu = dot(u, u), vv = dot(v, v);
  const Vec2 o{(v.y * uu - u.y * vv) / d, (u.x * vv - v.x * uu) / d};
  return {a + o, norm(o), true};
}

// True when points[first..last] lie on one arc within the tolerance, turning one way, with short chords.
bool fitsArc(const std::vector<Vec3>& p, std::size_t first, std::size_t last, double tolerance, Circle& circle,
             bool& ccw) {
  if (last < first + 3) return false;
  circle = through(p[first].xy(), p[first + (last - first) / 2].xy(), p[last].xy());
  if (!circle.ok || circle.radius > 2000.0) return false;
  double swept = 0.0;
  int sign = 0;
  for (std::size_t i = first; i <= last; ++i) {
    if (std::abs(p[i].z - p[first].z) > 1e-9) return false;
    if (std::abs(norm(p[i].xy() - circle.centre) - circle.radius) > tolerance) return false;
    if (i == first) continue;
    const Vec2 a = p[i - 1].xy() - circle.centre, b = p[i].xy() - circle.centre;
    const double step = std::atan2(cross(a, b), dot(a, b));
    if (step == 0.0) continue;
    const int s = step > 0 ? 1 : -1;
    if (sign != 0 && s != sign) return false;
    sign = s;
    swept += std::abs(step);
    const double sagitta = circle.radius * (1.0 - std::cos(0.5 * step));
    if (sagitta > 2.5 * tolerance) return false;
  }
  ccw = sign > 0;
  return sign != 0 && swept < kTwoPi * 0.98;
}

bool fitsLine(const std::vector<Vec3>& p, std::size_t first, std::size_t last, double tolerance) {
  const Vec3 d = p[last] - p[first];
  const double l2 = dot(d, d);
  for (std::size_t i = first + 1; i < last; ++i) {
    const double t = l2 > 0 ? dot(p[i] - p[first], d) / l2 : 0.0;
    if (norm(p[i] - (p[first] + d * t)) > tolerance || t < -1e-9 || t > 1.0 + 1e-9) return false;
  }
  return true;
}

template <class Fits>
std::size_t farthest(std::size_t first, std::size_t end, std::size_t least, Fits fits) {
  // Grow by doubling, then close in: O(n log n) over a whole polyline.
  std::size_t good = first, step = least;
  while (first + step <= end && fits(first + step)) {
    good = first + step;
    step *= 2;
  }
  std::size_t bad = std::min(end + 1, first + step);
  if (good == first) return first;
  while (good + 1 < bad) {
    const std::size_t middle = good + (bad - good) / 2;
    if (fits(middle))
      good = middle;
    else
      bad = middle;
  }
  return good;
}

}  // namespace

std::vector<Segment> fitCurve(const std::vector<Vec3>& points, double tolerance, double cornerAngle) {
  std::vector<Vec3> p;
  p.reserve(points.size());
  for (const Vec3& q : points)
    if (p.empty() || norm(q - p.back()) > 1e-7) p.push_back(q);
  std::vector<Segment> out;
  if (p.size() < 2) return out;

  std::size_t begin = 0;
  while (begin + 1 < p.size()) {
    // A run ends at the next sharp corner.
    std::size_t end = begin + 1;
    while (end + 1 < p.size()) {
      const Vec3 a = unit(p[end] - p[end - 1]), b = unit(p[end + 1] - p[end]);
      if (std::acos(std::clamp(dot(a, b), -1.0, 1.0)) > cornerAngle) break;
      ++end;
    }
    std::size_t at = begin;
    while (at < end) {
      Circle circle;
      bool ccw = false;
      const std::size_t byLine =
          std::max(at + 1, farthest(at, end, 1, [&](std::size_t last) { return fitsLine(p, at, last, tolerance); }));
      const std::size_t byArc = farthest(at, end, 3, [&](std::size_t last) {
        Circle c;
        bool sense = false;
        return fitsArc(p, at, last, tolerance, c, sense);
      });
      if (byArc > byLine && fitsArc(p, at, byArc, tolerance, circle, ccw)) {
        out.push_back(arc(p[at], p[byArc], circle.centre, ccw ? Segment::Shape::ArcCcw : Segment::Shape::ArcCw));
        at = byArc;
      } else {
        out.push_back(line(p[at], p[byLine]));
        at = byLine;
      }
    }
    begin = end;
  }
  return out;
}

}  // namespace chipledger
