#include "detail/plan_shape.hpp"

#include <numbers>

namespace chipledger::detail {
namespace {

constexpr double kRoundSlack = 0.003;  // relative: chords of a circle lose 0.1 % of its area
constexpr double kGrooveSlack = 0.02;  // relative: area and border of a band against length times width
constexpr double kGrooveSlenderness = 3.0;
constexpr double kBandFill = 0.85;

std::vector<Vec2> hull(std::vector<Vec2> points) {
  std::sort(points.begin(), points.end(), [](Vec2 a, Vec2 b) { return std::pair{a.x, a.y} < std::pair{b.x, b.y}; });
  points.erase(std::unique(points.begin(), points.end()), points.end());
  if (points.size() < 3) return points;
  std::vector<Vec2> chain;
  for (int pass = 0; pass < 2; ++pass) {
    const std::size_t start = chain.size();
    for (const Vec2 p : points) {
      while (chain.size() >= start + 2 && cross(chain.back() - chain[chain.size() - 2], p - chain.back()) <= 0)
        chain.pop_back();
      chain.push_back(p);
    }
    chain.pop_back();
    std::reverse(points.begin(), points.end());
  }
  return chain;
}

/// Is the largest disc in the region one of diameter w (within `slack`)?
bool widthIs(const Region& region, double w, double slack) {
  constexpr double kCoarse = 0.02;  // mm: chords of the offset; the answer is yes or no
  return !offset(region, -0.5 * (w - slack), kCoarse).empty() && offset(region, -0.5 * (w + slack), kCoarse).empty();
}

}  // namespace

double distanceTo(const Ring& ring, Vec2 p) {
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Vec2 a = ring[i], d = ring[(i + 1) % ring.size()] - a;
    const double along = dot(d, d) > 0 ? std::clamp(dot(p - a, d) / dot(d, d), 0.0, 1.0) : 0.0;
    least = std::min(least, norm(p - a - d * along));
  }
  return least;
}

Vec2 centroid(const Ring& ring) {
  const Vec2 base = ring.empty() ? Vec2{} : ring.front();
  Vec2 sum;
  double twice = 0;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Vec2 a = ring[i] - base, b = ring[(i + 1) % ring.size()] - base;
    twice += cross(a, b);
    sum = sum + (a + b) * cross(a, b);
  }
  return std::abs(twice) > 1e-12 ? base + sum * (1.0 / (3 * twice)) : base;
}

Region filled(const Region& region) {
  Region result;
  for (const Ring& ring : region.rings) {
    if (signedArea(ring) > 0) result.rings.push_back(ring);
  }
  return result.rings.size() > 1 ? clean(result.rings) : result;
}

Region hullOf(const Region& region) {
  std::vector<Vec2> points;
  for (const Ring& ring : region.rings) points.insert(points.end(), ring.begin(), ring.end());
  Ring ring = hull(std::move(points));
  return ring.size() < 3 ? Region{} : Region{{std::move(ring)}};
}

double gapBetween(const Region& a, const Region& b) {
  double least = std::numeric_limits<double>::infinity();
  for (const auto& [from, to] : {std::pair{&a, &b}, std::pair{&b, &a}}) {
    for (const Ring& ring : from->rings) {
      for (const Vec2 p : ring) {
        for (const Ring& other : to->rings) least = std::min(least, distanceTo(other, p));
      }
    }
  }
  return least;
}

PlanShape measure(const Region& region) {
  PlanShape shape;
  const std::vector<Region> parts = pieces(region);
  if (parts.empty()) return shape;
  const Region piece = filled(parts.front());
  const Ring& ring = piece.rings.front();
  const std::vector<Vec2> points = hull(ring);
  double best = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Vec2 edge = points[(i + 1) % points.size()] - points[i];
    if (norm(edge) < 1e-9) continue;
    const Vec2 d = edge * (1.0 / norm(edge));
    Box2 box;
    for (const Vec2 p : points) box.add({dot(d, p), dot(perp(d), p)});
    const Vec2 size = box.size();
    if (size.x * size.y >= best) continue;
    best = size.x * size.y;
    shape.length = std::max(size.x, size.y);
    shape.width = std::min(size.x, size.y);
    shape.centre = d * box.centre().x + perp(d) * box.centre().y;
    shape.along = size.x >= size.y ? d : perp(d);
  }
  const double size = std::abs(signedArea(ring)), border = perimeter(ring);
  const double diameter = std::sqrt(4 * size / std::numbers::pi);
  if (std::abs(shape.length - shape.width) < kRoundSlack * shape.length &&
      std::abs(diameter - shape.length) < kRoundSlack * shape.length) {
    shape.round = true;
    shape.length = shape.width = border / std::numbers::pi;
    // Chords lie inside the circle by up to their sagitta; its diameter is read off opposite corners instead.
    double most = 0;
    const Vec2 middle = centroid(ring);
    for (const Vec2 p : ring) most = std::max(most, norm(p - middle));
    shape.length = shape.width = 2 * most;
    shape.centre = middle;
    return shape;
  }
  // A straight band whatever its ends are like: full width along most of its rectangle. An ellipse fills less of it.
  if (shape.length > kGrooveSlenderness * shape.width && size > kBandFill * shape.length * shape.width &&
      widthIs(piece, shape.width, kGrooveSlack * shape.width + 0.005)) {
    shape.groove = shape.straight = true;
    return shape;
  }
  // A band of width w and middle length m has area w m + pi w^2/4 and border 2 m + pi w with round ends, w m and
  // 2 m + 2 w with square ones: both give w from area and border alone.
  const double roundRoot = border * border / 4 - std::numbers::pi * size, squareRoot = border * border / 4 - 4 * size;
  for (const bool roundEnds : {true, false}) {
    const double root = roundEnds ? roundRoot : squareRoot;
    if (root < 0) continue;
    const double w =
        roundEnds ? (border / 2 - std::sqrt(root)) * 2 / std::numbers::pi : (border / 2 - std::sqrt(root)) / 2;
    const double middle = roundEnds ? (border - std::numbers::pi * w) / 2 : (border - 2 * w) / 2;
    const double overall = roundEnds ? middle + w : middle;
    if (overall <= kGrooveSlenderness * w || !widthIs(piece, w, kGrooveSlack * w + 0.005)) continue;
    shape.groove = true;
    shape.straight = std::abs(shape.width - w) < 0.05 * w + 0.01;
    if (!shape.straight) {
      shape.width = w;
      shape.length = overall;
    }
    break;
  }
  return shape;
}

Region roundedRectangle(const PlanShape& shape, double radius) {
  constexpr double kChord = 0.002;  // mm
  const double r = std::clamp(radius, 0.0, 0.5 * shape.width);
  const double x = 0.5 * shape.length - r, y = 0.5 * shape.width - r;
  const int steps =
      r > kChord ? std::max(2, static_cast<int>(std::ceil(0.5 * std::numbers::pi / (2 * std::acos(1 - kChord / r)))))
                 : 0;
  Ring ring;
  for (int corner = 0; corner < 4; ++corner) {
    const double cx = corner == 0 || corner == 3 ? x : -x, cy = corner < 2 ? y : -y;
    for (int k = 0; k <= steps; ++k) {
      const double a = 0.5 * std::numbers::pi * (corner + (steps ? static_cast<double>(k) / steps : 0.0));
      const Vec2 local{cx + r * std::cos(a), cy + r * std::sin(a)};
      ring.push_back(shape.centre + shape.along * local.x + perp(shape.along) * local.y);
    }
  }
  return clean({ring});
}

}  // namespace chipledger::detail
