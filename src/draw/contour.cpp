#include "contour.hpp"

#include <cmath>
#include <numbers>

namespace chipledger::draw {
namespace {

using std::numbers::pi;

// Gauss-Legendre, 12 points: abscissae and weights of one half (Abramowitz and Stegun, table 25.4).
constexpr double kAbscissa[] = {0.125233408511469, 0.367831498998180, 0.587317954286617,
                                0.769902674194305, 0.904117256370475, 0.981560634246719};
constexpr double kWeight[] = {0.249147045813403, 0.233492536538355, 0.203167426723066,
                              0.160078328543346, 0.106939325995318, 0.047175336386512};

Vec2 turned(Vec2 v, double angle) {
  const double c = std::cos(angle), s = std::sin(angle);
  return {c * v.x - s * v.y, s * v.x + c * v.y};
}
Vec2 unit2(Vec2 v) {
  const double n = norm(v);
  return n > 0 ? v * (1.0 / n) : v;
}
double turn(Vec2 from, Vec2 to) { return std::atan2(cross(from, to), dot(from, to)); }

Vec2 bezier(const std::array<Vec2, 4>& b, double t) {
  const double s = 1.0 - t;
  return b[0] * (s * s * s) + b[1] * (3 * s * s * t) + b[2] * (3 * s * t * t) + b[3] * (t * t * t);
}
Vec2 bezierStep(const std::array<Vec2, 4>& b, double t) {
  const double s = 1.0 - t;
  return (b[1] - b[0]) * (3 * s * s) + (b[2] - b[1]) * (6 * s * t) + (b[3] - b[2]) * (3 * t * t);
}

// Signed curvature radius extremes of spline spans, sampled.
constexpr int kCurvatureSamples = 16;
double tightestRadius(const Piece& piece, double sign) {
  double best = std::numeric_limits<double>::infinity();
  for (const auto& b : piece.spans)
    for (int i = 0; i <= kCurvatureSamples; ++i) {
      const double t = static_cast<double>(i) / kCurvatureSamples, s = 1.0 - t;
      const Vec2 d = bezierStep(b, t);
      const Vec2 dd = (b[2] - b[1] * 2.0 + b[0]) * (6 * s) + (b[3] - b[2] * 2.0 + b[1]) * (6 * t);
      const double curvature = sign * cross(d, dd) / std::pow(norm(d), 3);
      if (curvature > 0) best = std::min(best, 1.0 / curvature);
    }
  return best;
}

double smallestRadius(const Contour& contour, double sign) {
  double best = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < contour.pieces.size(); ++i) {
    const Piece& piece = contour.pieces[i];
    const Piece& next = contour.pieces[(i + 1) % contour.pieces.size()];
    if (piece.kind == Piece::Kind::Arc && sign * piece.sweep > 0) best = std::min(best, radius(piece));
    if (piece.kind == Piece::Kind::Spline) best = std::min(best, tightestRadius(piece, sign));
    if (sign * turn(tangentAtEnd(piece), tangentAtStart(next)) > kSmoothTurn) return 0.0;
  }
  return best;
}

// How far q is inside the support of a piece, and the gradient of that.
std::pair<double, Vec2> insideBy(const Piece& piece, Vec2 q) {
  if (piece.kind == Piece::Kind::Line) {
    const Vec2 n = perp(unit2(piece.end - piece.start));
    return {dot(q - piece.start, n), n};
  }
  const Vec2 d = q - piece.centre;
  const double r = norm(d), side = piece.sweep > 0 ? 1.0 : -1.0;
  return {side * (radius(piece) - r), d * (-side / r)};
}

constexpr int kNewtonSteps = 30;
std::optional<Vec2> insetCorner(const Piece& before, const Piece& after, double inward) {
  const Vec2 t0 = tangentAtEnd(before), t1 = tangentAtStart(after);
  if (std::abs(turn(t0, t1)) < kSmoothTurn) return before.end + perp(unit2(t0 + t1)) * inward;
  Vec2 q = before.end;
  for (int i = 0; i < kNewtonSteps; ++i) {
    const auto [d0, g0] = insideBy(before, q);
    const auto [d1, g1] = insideBy(after, q);
    const double det = cross(g0, g1), r0 = inward - d0, r1 = inward - d1;
    if (std::abs(det) < 1e-12) return std::nullopt;
    const Vec2 move{(r0 * g1.y - r1 * g0.y) / det, (g0.x * r1 - g1.x * r0) / det};
    q = q + move;
    if (norm(move) < 1e-13 * (1.0 + norm(q))) return q;
  }
  return std::nullopt;
}

}  // namespace

bool Contour::hasSpline() const {
  for (const Piece& piece : pieces)
    if (piece.kind == Piece::Kind::Spline) return true;
  return false;
}

double radius(const Piece& piece) { return norm(piece.start - piece.centre); }

Vec2 at(const Piece& piece, double f) {
  switch (piece.kind) {
    case Piece::Kind::Line:
      return piece.start + (piece.end - piece.start) * f;
    case Piece::Kind::Arc:
      return piece.centre + turned(piece.start - piece.centre, piece.sweep * f);
    case Piece::Kind::Spline: {
      const double t = piece.knots.front() + f * (piece.knots.back() - piece.knots.front());
      std::size_t i = 0;
      while (i + 1 < piece.spans.size() && t > piece.knots[i + 1]) ++i;
      return bezier(piece.spans[i], (t - piece.knots[i]) / (piece.knots[i + 1] - piece.knots[i]));
    }
  }
  return piece.start;
}

Vec2 tangentAtStart(const Piece& piece) {
  switch (piece.kind) {
    case Piece::Kind::Line:
      return unit2(piece.end - piece.start);
    case Piece::Kind::Arc:
      return unit2(perp(piece.start - piece.centre) * (piece.sweep > 0 ? 1.0 : -1.0));
    case Piece::Kind::Spline:
      return unit2(piece.spans.front()[1] - piece.spans.front()[0]);
  }
  return {};
}

Vec2 tangentAtEnd(const Piece& piece) {
  switch (piece.kind) {
    case Piece::Kind::Line:
      return unit2(piece.end - piece.start);
    case Piece::Kind::Arc:
      return unit2(perp(piece.end - piece.centre) * (piece.sweep > 0 ? 1.0 : -1.0));
    case Piece::Kind::Spline:
      return unit2(piece.spans.back()[3] - piece.spans.back()[2]);
  }
  return {};
}

std::vector<QuadratureNode> nodes(const Piece& piece) {
  std::vector<QuadratureNode> out;
  const auto panel = [&](auto point, auto step) {
    for (int i = 0; i < 6; ++i)
      for (double side : {-1.0, 1.0}) {
        const double t = 0.5 * (1.0 + side * kAbscissa[i]);
        out.push_back({point(t), step(t) * (0.5 * kWeight[i])});
      }
  };
  if (piece.kind == Piece::Kind::Line) {
    panel([&](double t) { return at(piece, t); }, [&](double) { return piece.end - piece.start; });
  } else if (piece.kind == Piece::Kind::Arc) {
    const int panels = std::max(2, static_cast<int>(std::ceil(std::abs(piece.sweep) / (pi / 4))));
    for (int k = 0; k < panels; ++k) {
      const auto f = [&](double t) { return (k + t) / panels; };
      panel([&](double t) { return at(piece, f(t)); },
            [&](double t) { return perp(at(piece, f(t)) - piece.centre) * (piece.sweep / panels); });
    }
  } else {
    for (const auto& b : piece.spans)
      panel([&](double t) { return bezier(b, t); }, [&](double t) { return bezierStep(b, t); });
  }
  return out;
}

double area(const Contour& contour) {
  double sum = 0.0;
  for (const Piece& piece : contour.pieces) {
    sum += 0.5 * cross(piece.start, piece.end);
    if (piece.kind == Piece::Kind::Arc) {
      const double r = radius(piece);
      sum += 0.5 * r * r * (piece.sweep - std::sin(piece.sweep));
      if (piece.start == piece.end) continue;
    } else if (piece.kind == Piece::Kind::Spline) {
      // Area between chord and curve: Green's theorem about the start point.
      for (const QuadratureNode& n : nodes(piece)) sum += 0.5 * cross(n.point - piece.start, n.step);
    }
  }
  return sum;
}

double perimeter(const Contour& contour) {
  double sum = 0.0;
  for (const Piece& piece : contour.pieces) {
    if (piece.kind == Piece::Kind::Line) sum += norm(piece.end - piece.start);
    if (piece.kind == Piece::Kind::Arc) sum += radius(piece) * std::abs(piece.sweep);
    if (piece.kind == Piece::Kind::Spline)
      for (const QuadratureNode& n : nodes(piece)) sum += norm(n.step);
  }
  return sum;
}

Ring ring(const Contour& contour, double chord) {
  Ring out;
  for (const Piece& piece : contour.pieces) {
    int n = 1;
    if (piece.kind == Piece::Kind::Arc) {
      const double r = radius(piece);
      n = std::max(2, static_cast<int>(std::ceil(std::abs(piece.sweep) /
                                                 (2.0 * std::acos(1.0 - std::min(1.0, chord / std::max(r, chord)))))));
    } else if (piece.kind == Piece::Kind::Spline) {
      // A span's sagitta is at most |second difference| * 3/4 / n^2; the largest of all spans sets one n for all.
      double bend = 0.0;
      for (const auto& b : piece.spans)
        bend = std::max({bend, norm(b[2] - b[1] * 2.0 + b[0]), norm(b[3] - b[2] * 2.0 + b[1])});
      const int each = std::max(2, static_cast<int>(std::ceil(std::sqrt(0.75 * bend / chord))));
      for (const auto& b : piece.spans)
        for (int i = 0; i < each; ++i) out.push_back(bezier(b, static_cast<double>(i) / each));
      continue;
    }
    for (int i = 0; i < n; ++i) out.push_back(at(piece, static_cast<double>(i) / n));
  }
  return out;
}

bool smooth(const Contour& contour) {
  if (contour.fullCircle()) return true;
  for (std::size_t i = 0; i < contour.pieces.size(); ++i)
    if (std::abs(turn(tangentAtEnd(contour.pieces[i]),
                      tangentAtStart(contour.pieces[(i + 1) % contour.pieces.size()]))) > kSmoothTurn)
      return false;
  return true;
}

double smallestConvexRadius(const Contour& contour) { return smallestRadius(contour, 1.0); }
double smallestHollowRadius(const Contour& contour) { return smallestRadius(contour, -1.0); }

std::optional<Contour> inset(const Contour& contour, double inward) {
  if (contour.hasSpline()) return std::nullopt;
  if (inward == 0.0) return contour;
  Contour out = contour;
  if (contour.fullCircle()) {
    Piece& piece = out.pieces[0];
    if (radius(piece) - inward <= 0) return std::nullopt;
    piece.start = piece.end = piece.centre + (piece.start - piece.centre) * ((radius(piece) - inward) / radius(piece));
    return out;
  }
  const std::size_t n = contour.pieces.size();
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t j = (i + 1) % n;
    const auto corner = insetCorner(contour.pieces[i], contour.pieces[j], inward);
    if (!corner) return std::nullopt;
    out.pieces[i].end = out.pieces[j].start = *corner;
  }
  for (std::size_t i = 0; i < n; ++i) {
    const Piece& old = contour.pieces[i];
    Piece& piece = out.pieces[i];
    if (old.kind == Piece::Kind::Line) {
      if (dot(piece.end - piece.start, old.end - old.start) <= 0) return std::nullopt;
    } else {
      if ((old.sweep > 0 ? radius(old) - inward : radius(old) + inward) <= 0) return std::nullopt;
      const double first = turn(old.start - old.centre, piece.start - piece.centre);
      const double last = turn(old.end - old.centre, piece.end - piece.centre);
      piece.sweep = old.sweep - first + last;
      if (piece.sweep * old.sweep <= 0) return std::nullopt;
    }
  }
  return out;
}

Contour placed(const Contour& contour, Vec2 centre, Angle angle) {
  Contour out = contour;
  const auto move = [&](Vec2 p) { return centre + (angle.rad == 0.0 ? p : turned(p, angle.rad)); };
  for (Piece& piece : out.pieces) {
    piece.start = move(piece.start);
    piece.end = move(piece.end);
    piece.centre = move(piece.centre);
    for (auto& b : piece.spans)
      for (Vec2& p : b) p = move(p);
  }
  return out;
}

}  // namespace chipledger::draw
