// Cubic splines through points: the tridiagonal system for the slopes of a C2 curve (standard, e.g. de Boor, A
// Practical Guide to Splines, ch. IV), each span then given by its Bezier poles.
#include "contour.hpp"

#include <cmath>

namespace chipledger::draw {
namespace {

// Solves a tridiagonal system in place; `low`, `mid`, `high` are the bands, `rhs` becomes the answer.
void solveBands(std::vector<double> low, std::vector<double> mid, const std::vector<double>& high,
                std::vector<Vec2>& rhs) {
  const std::size_t n = rhs.size();
  for (std::size_t i = 1; i < n; ++i) {
    const double f = low[i] / mid[i - 1];
    mid[i] -= f * high[i - 1];
    rhs[i] = rhs[i] - rhs[i - 1] * f;
  }
  rhs[n - 1] = rhs[n - 1] * (1.0 / mid[n - 1]);
  for (std::size_t i = n - 1; i-- > 0;) rhs[i] = (rhs[i] - rhs[i + 1] * high[i]) * (1.0 / mid[i]);
}

std::vector<double> chordParameters(const std::vector<Vec2>& points) {
  std::vector<double> t(points.size(), 0.0);
  for (std::size_t i = 1; i < points.size(); ++i) t[i] = t[i - 1] + norm(points[i] - points[i - 1]);
  return t;
}

Piece hermite(const std::vector<Vec2>& points, const std::vector<double>& t, const std::vector<Vec2>& slope) {
  Piece piece;
  piece.kind = Piece::Kind::Spline;
  piece.start = points.front();
  piece.end = points.back();
  piece.knots = t;
  for (std::size_t i = 0; i + 1 < points.size(); ++i) {
    const double third = (t[i + 1] - t[i]) / 3.0;
    piece.spans.push_back(
        {points[i], points[i] + slope[i] * third, points[i + 1] - slope[i + 1] * third, points[i + 1]});
  }
  return piece;
}

// Slopes of the C2 curve with given slopes at both ends.
std::vector<Vec2> clampedSlopes(const std::vector<Vec2>& p, const std::vector<double>& t, Vec2 first, Vec2 last) {
  const std::size_t n = p.size();
  std::vector<double> low(n, 0.0), mid(n, 1.0), high(n, 0.0);
  std::vector<Vec2> rhs(n);
  rhs[0] = first;
  rhs[n - 1] = last;
  for (std::size_t i = 1; i + 1 < n; ++i) {
    const double h0 = t[i] - t[i - 1], h1 = t[i + 1] - t[i];
    low[i] = h1;
    mid[i] = 2.0 * (h0 + h1);
    high[i] = h0;
    rhs[i] = ((p[i] - p[i - 1]) * (h1 / h0) + (p[i + 1] - p[i]) * (h0 / h1)) * 3.0;
  }
  solveBands(low, mid, high, rhs);
  return rhs;
}

}  // namespace

Piece splineThrough(const std::vector<Vec2>& points, Vec2 startTangent, Vec2 endTangent) {
  const std::vector<double> t = chordParameters(points);
  return hermite(points, t, clampedSlopes(points, t, startTangent, endTangent));
}

Contour closedSpline(const std::vector<Vec2>& points) {
  // The periodic curve is the clamped one of the ring opened at its first point, with the end slope that makes it C2
  // there. That slope enters linearly: three clamped solves (zero, unit, data) give it.
  std::vector<Vec2> p = points;
  p.push_back(points.front());
  const std::vector<double> t = chordParameters(p);
  const std::size_t n = p.size();
  const auto base = clampedSlopes(p, t, {}, {});
  const auto one = clampedSlopes(std::vector<Vec2>(n), t, {1, 0}, {1, 0});
  const double h0 = t[n - 1] - t[n - 2], h1 = t[1] - t[0];
  const Vec2 rhs = ((p[n - 1] - p[n - 2]) * (h1 / h0) + (p[1] - p[0]) * (h0 / h1)) * 3.0;
  const double factor = h1 * one[n - 2].x + 2.0 * (h0 + h1) + h0 * one[1].x;
  const Vec2 slope = (rhs - base[n - 2] * h1 - base[1] * h0) * (1.0 / factor);
  const auto slopes = clampedSlopes(p, t, slope, slope);
  const auto part = [&](std::size_t from, std::size_t to) {
    const auto cut = [&](const auto& v) {
      return std::decay_t<decltype(v)>(v.begin() + static_cast<std::ptrdiff_t>(from),
                                       v.begin() + static_cast<std::ptrdiff_t>(to) + 1);
    };
    return hermite(cut(p), cut(t), cut(slopes));
  };
  const std::size_t half = (n - 1) / 2;
  return {{part(0, half), part(half, n - 1)}};
}

}  // namespace chipledger::draw
