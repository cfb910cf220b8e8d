// From plan shapes and outline families to contours.
#include "contour.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace chipledger::draw {
namespace {

using std::numbers::pi;

constexpr double kLeast_mm = 1e-4;  ///< shorter sides are taken as none: the kernel joins points closer than 1e-7 mm

Piece linePiece(Vec2 a, Vec2 b) {
  Piece p;
  p.start = a;
  p.end = b;
  return p;
}
Piece arcPiece(Vec2 a, Vec2 b, Vec2 centre, double sweep) {
  Piece p;
  p.kind = Piece::Kind::Arc;
  p.start = a;
  p.end = b;
  p.centre = centre;
  p.sweep = sweep;
  return p;
}

tl::unexpected<Fault> cannotBe(const std::string& where, std::string what, std::string next) {
  return fault(FaultCode::BadFile, where, std::move(what), std::move(next));
}

Contour circle(double r, Halves halves) {
  const Vec2 a{r, 0}, b{-r, 0};
  if (halves == Halves::Whole) return {{arcPiece(a, a, {}, 2 * pi)}};
  return {{arcPiece(a, b, {}, pi), arcPiece(b, a, {}, pi)}};
}

Contour oblong(double length, double width) {
  const double r = width / 2, x = length / 2 - r;
  return {{linePiece({-x, -r}, {x, -r}), arcPiece({x, -r}, {x, r}, {x, 0}, pi), linePiece({x, r}, {-x, r}),
           arcPiece({-x, r}, {-x, -r}, {-x, 0}, pi)}};
}

Vec2 unit2(Vec2 v) { return v * (1.0 / norm(v)); }

// One border of a band: the middle line moved to its right by `h`.
void appendBorder(const std::vector<Vec2>& line, double bend, double h, std::vector<Piece>& out) {
  Vec2 from = line[0] - perp(unit2(line[1] - line[0])) * h;
  for (std::size_t i = 1; i + 1 < line.size(); ++i) {
    const Vec2 d0 = unit2(line[i] - line[i - 1]), d1 = unit2(line[i + 1] - line[i]);
    const double turn = std::atan2(cross(d0, d1), dot(d0, d1));
    if (std::abs(turn) < kSmoothTurn) continue;
    const double setBack = bend * std::tan(std::abs(turn) / 2), side = turn > 0 ? 1.0 : -1.0;
    const Vec2 centre = line[i] - d0 * setBack + perp(d0) * (side * bend);
    const Vec2 a = line[i] - d0 * setBack - perp(d0) * h, b = line[i] + d1 * setBack - perp(d1) * h;
    if (norm(a - from) > kLeast_mm)
      out.push_back(linePiece(from, a));
    else if (!out.empty())
      out.back().end = a;
    out.push_back(arcPiece(out.empty() ? from : out.back().end, b, centre, turn));
    from = b;
  }
  const Vec2 d = unit2(line.back() - line[line.size() - 2]);
  const Vec2 end = line.back() - perp(d) * h;
  if (norm(end - from) > kLeast_mm) out.push_back(linePiece(from, end));
}

Result<Contour> band(const Band& b, const std::string& where) {
  const double h = toMm(b.width) / 2;
  if (b.line_mm.size() < 2)
    return cannotBe(where + ".line", "the line has fewer than two points.", "Give at least two.");
  if (h <= 0) return cannotBe(where + ".width", "the width is not above 0.", "Give the width of the band.");
  double used = 0.0;
  for (std::size_t i = 0; i + 1 < b.line_mm.size(); ++i) {
    const double side = norm(b.line_mm[i + 1] - b.line_mm[i]);
    if (side < kLeast_mm) return cannotBe(where + ".line", "two points of the line are the same.", "Leave one out.");
    double next = 0.0;
    if (i + 2 < b.line_mm.size()) {
      const Vec2 d0 = unit2(b.line_mm[i + 1] - b.line_mm[i]), d1 = unit2(b.line_mm[i + 2] - b.line_mm[i + 1]);
      const double turn = std::abs(std::atan2(cross(d0, d1), dot(d0, d1)));
      if (turn > kSmoothTurn && toMm(b.bendRadius) <= h)
        return cannotBe(where + ".bend_radius", "the bend radius is not above half the width.",
                        "Give a bend radius of more than half the width.");
      next = toMm(b.bendRadius) * std::tan(turn / 2);
    }
    if (used + next > side + kLeast_mm)
      return cannotBe(where + ".bend_radius", "the bends do not fit between the points of the line.",
                      "Make the bend radius smaller or the sides longer.");
    used = next;
  }
  Contour c;
  appendBorder(b.line_mm, toMm(b.bendRadius), h, c.pieces);
  const Vec2 dEnd = unit2(b.line_mm.back() - b.line_mm[b.line_mm.size() - 2]);
  c.pieces.push_back(
      arcPiece(b.line_mm.back() - perp(dEnd) * h, b.line_mm.back() + perp(dEnd) * h, b.line_mm.back(), pi));
  std::vector<Vec2> back(b.line_mm.rbegin(), b.line_mm.rend());
  appendBorder(back, toMm(b.bendRadius), h, c.pieces);
  const Vec2 dStart = unit2(b.line_mm[1] - b.line_mm[0]);
  c.pieces.push_back(arcPiece(b.line_mm[0] + perp(dStart) * h, b.line_mm[0] - perp(dStart) * h, b.line_mm[0], pi));
  for (std::size_t i = 0; i < c.pieces.size(); ++i) c.pieces[(i + 1) % c.pieces.size()].start = c.pieces[i].end;
  return c;
}

Result<Contour> rectangle(double length, double width, double corner, const std::string& where) {
  if (length <= 0) return cannotBe(where + ".length", "the length is not above 0.", "Give a length.");
  if (width <= 0) return cannotBe(where + ".width", "the width is not above 0.", "Give a width.");
  const double x = length / 2, y = width / 2;
  const Length r = mm(corner);
  return roundedPolyline({{{-x, -y}, r, 0}, {{x, -y}, r, 0}, {{x, y}, r, 0}, {{-x, y}, r, 0}}, where);
}

Result<Contour> obround(double length, double width, const std::string& where) {
  if (width <= 0) return cannotBe(where + ".width", "the width is not above 0.", "Give a width.");
  if (length < width + kLeast_mm)
    return cannotBe(where + ".length", "the length is not above the width.", "Make it longer, or use a round shape.");
  return oblong(length, width);
}

struct Ends {
  Vec2 head, tail;  ///< centres of the end circles
  double r1, r2;
};
Result<Ends> endsOf(double length, double head, double tail, const std::string& where) {
  if (head <= 0) return cannotBe(where + ".head", "the head width is not above 0.", "Give the width of the head.");
  if (tail <= 0) return cannotBe(where + ".tail", "the tail width is not above 0.", "Give the width of the tail.");
  if (length <= std::max(head, tail) + std::abs(head - tail))
    return cannotBe(where + ".length", "the two round ends leave no sides.", "Make the handle longer.");
  return Ends{{-length / 2 + head / 2, 0}, {length / 2 - tail / 2, 0}, head / 2, tail / 2};
}

double wrapped(double angle) { return angle < 0 ? angle + 2 * pi : angle; }
double angleOf(Vec2 v) { return std::atan2(v.y, v.x); }

Result<Contour> handle(const HandleOutline& o, const std::string& where) {
  auto ends = endsOf(toMm(o.length), toMm(o.head), toMm(o.tail), where);
  if (!ends) return tl::make_unexpected(ends.error());
  const auto [head, tail, r1, r2] = *ends;
  const double apart = tail.x - head.x, h = toMm(o.waist) / 2;
  Vec2 onHead, onTail, centre;  // lower side: tangent points, and the centre of its arc
  if (h <= 0) {
    const double lean = std::asin((r1 - r2) / apart);  // the common tangent falls by this angle
    const Vec2 out{std::sin(lean), -std::cos(lean)};
    onHead = head + out * r1;
    onTail = tail + out * r2;
  } else {
    if (h >= std::min(r1, r2))
      return cannotBe(where + ".waist", "the waist is not narrower than both ends.",
                      "Make it narrower, or 0 for straight.");
    // The arc of radius R touches both end circles from outside and the line y = -h: its centre lies R + r from each
    // end and R + h below the axis. The two distances along x must add up to `apart`; they grow with R.
    const auto reach = [&](double R, double r) { return std::sqrt(std::max(0.0, (r - h) * (r + h + 2 * R))); };
    double low = 0.0, high = 1.0;
    while (reach(high, r1) + reach(high, r2) < apart) high *= 2;
    for (int i = 0; i < 200; ++i) {
      const double R = (low + high) / 2;
      (reach(R, r1) + reach(R, r2) < apart ? low : high) = R;
    }
    const double R = (low + high) / 2;
    centre = {head.x + reach(R, r1), -(R + h)};
    onHead = head + (centre - head) * (r1 / (R + r1));
    onTail = tail + (centre - tail) * (r2 / (R + r2));
  }
  const auto up = [](Vec2 p) { return Vec2{p.x, -p.y}; };
  const double tailSweep = wrapped(angleOf(up(onTail) - tail) - angleOf(onTail - tail));
  const double headSweep = wrapped(angleOf(onHead - head) - angleOf(up(onHead) - head));
  Contour c;
  if (h <= 0) {
    c.pieces = {linePiece(onHead, onTail), arcPiece(onTail, up(onTail), tail, tailSweep),
                linePiece(up(onTail), up(onHead)), arcPiece(up(onHead), onHead, head, headSweep)};
  } else {
    const double side = -std::abs(angleOf(onTail - centre) - angleOf(onHead - centre));
    c.pieces = {arcPiece(onHead, onTail, centre, side), arcPiece(onTail, up(onTail), tail, tailSweep),
                arcPiece(up(onTail), up(onHead), up(centre), side), arcPiece(up(onHead), onHead, head, headSweep)};
  }
  return c;
}

Result<Contour> splineHandle(const SplineHandleOutline& o, const std::string& where) {
  auto ends = endsOf(toMm(o.length), toMm(o.head), toMm(o.tail), where);
  if (!ends) return tl::make_unexpected(ends.error());
  const auto [head, tail, r1, r2] = *ends;
  const Vec2 tailTop = tail + Vec2{0, r2}, headTop = head + Vec2{0, r1};
  const auto up = [](Vec2 p) { return Vec2{p.x, -p.y}; };
  std::vector<Vec2> upper{tailTop};
  upper.insert(upper.end(), o.upper_mm.begin(), o.upper_mm.end());
  upper.push_back(headTop);
  std::vector<Vec2> lower{up(headTop)};
  if (o.lower_mm.empty()) {
    for (auto p = o.upper_mm.rbegin(); p != o.upper_mm.rend(); ++p) lower.push_back(up(*p));
  } else {
    lower.insert(lower.end(), o.lower_mm.begin(), o.lower_mm.end());
  }
  lower.push_back(up(tailTop));
  for (std::size_t i = 0; i + 1 < upper.size(); ++i)
    if (upper[i + 1].x >= upper[i].x - kLeast_mm)
      return cannotBe(where + ".upper", "the points do not run from tail to head.", "Give them with falling x.");
  for (std::size_t i = 0; i + 1 < lower.size(); ++i)
    if (lower[i + 1].x <= lower[i].x + kLeast_mm)
      return cannotBe(where + ".lower", "the points do not run from head to tail.", "Give them with rising x.");
  Contour c;
  c.pieces = {splineThrough(lower, {1, 0}, {1, 0}), arcPiece(up(tailTop), tailTop, tail, pi),
              splineThrough(upper, {-1, 0}, {-1, 0}), arcPiece(headTop, up(headTop), head, pi)};
  return c;
}

}  // namespace

Result<Contour> roundedPolyline(const std::vector<Corner>& corners, const std::string& where) {
  const std::size_t n = corners.size();
  if (n < 3 && !(n == 2 && corners[0].bulge != 0 && corners[1].bulge != 0))
    return cannotBe(where + ".corners", "there are fewer than three corners.", "Give at least three.");
  const auto next = [&](std::size_t i) { return (i + 1) % n; };
  std::vector<double> setBack(n, 0.0);
  for (std::size_t i = 0; i < n; ++i) {
    const Corner &a = corners[(i + n - 1) % n], &b = corners[i], &c = corners[next(i)];
    if (norm(c.at_mm - b.at_mm) < kLeast_mm)
      return cannotBe(where + ".corners", "two neighbouring corners are the same point.", "Leave one out.");
    if (toMm(b.radius) < 0) return cannotBe(where + ".radius", "a corner radius is below 0.", "Give 0 or more.");
    if (toMm(b.radius) == 0) continue;
    if (a.bulge != 0 || b.bulge != 0)
      return cannotBe(where + ".radius", "a corner radius next to an arc is not drawn.",
                      "Give the radius between straight sides only, or end the arc tangent to the next side.");
    const Vec2 d0 = unit2(b.at_mm - a.at_mm), d1 = unit2(c.at_mm - b.at_mm);
    setBack[i] = toMm(b.radius) * std::tan(std::abs(std::atan2(cross(d0, d1), dot(d0, d1))) / 2);
  }
  for (std::size_t i = 0; i < n; ++i)
    if (setBack[i] + setBack[next(i)] > norm(corners[next(i)].at_mm - corners[i].at_mm) + kLeast_mm)
      return cannotBe(where + ".radius", "the corner radii do not fit on a side.",
                      "Make them smaller or the side longer.");
  Contour contour;
  for (std::size_t i = 0; i < n; ++i) {
    const Corner &a = corners[(i + n - 1) % n], &b = corners[i], &c = corners[next(i)];
    const Vec2 d1 = unit2(c.at_mm - b.at_mm);
    if (setBack[i] > 0) {
      const Vec2 d0 = unit2(b.at_mm - a.at_mm);
      const double turn = std::atan2(cross(d0, d1), dot(d0, d1)), side = turn > 0 ? 1.0 : -1.0;
      const Vec2 from = b.at_mm - d0 * setBack[i];
      contour.pieces.push_back(
          arcPiece(from, b.at_mm + d1 * setBack[i], from + perp(d0) * (side * toMm(b.radius)), turn));
    }
    const Vec2 from = b.at_mm + d1 * setBack[i], to = c.at_mm - d1 * setBack[next(i)];
    if (b.bulge != 0) {
      const double sweep = 4 * std::atan(b.bulge), chord = norm(to - from);
      const Vec2 middle = (from + to) * 0.5;
      const double rise = chord / 2 / std::tan(sweep / 2);
      contour.pieces.push_back(arcPiece(from, to, middle + perp(d1) * rise, sweep));
    } else if (norm(to - from) > kLeast_mm) {
      contour.pieces.push_back(linePiece(from, to));
    }
  }
  for (std::size_t i = 0; i < contour.pieces.size(); ++i)
    contour.pieces[(i + 1) % contour.pieces.size()].start = contour.pieces[i].end;
  if (area(contour) < 0) {
    std::reverse(contour.pieces.begin(), contour.pieces.end());
    for (Piece& p : contour.pieces) {
      std::swap(p.start, p.end);
      p.sweep = -p.sweep;
    }
  }
  return contour;
}

Result<Contour> contourOf(const PlanShape& shape, Place place, Halves halves, const std::string& where) {
  struct Visit {
    Halves halves;
    const std::string& where;
    Result<Contour> operator()(const Round& s) const {
      if (toMm(s.diameter) <= kLeast_mm)
        return cannotBe(where + ".diameter", "the diameter is not above 0.", "Give a diameter.");
      return circle(toMm(s.diameter) / 2, halves);
    }
    Result<Contour> operator()(const Oblong& s) const { return obround(toMm(s.length), toMm(s.width), where); }
    Result<Contour> operator()(const Rectangle& s) const {
      return rectangle(toMm(s.length), toMm(s.width), toMm(s.cornerRadius), where);
    }
    Result<Contour> operator()(const Polygon& s) const {
      std::vector<Corner> corners;
      for (Vec2 p : s.corners_mm) corners.push_back({p, s.cornerRadius, 0});
      return roundedPolyline(corners, where);
    }
    Result<Contour> operator()(const Band& s) const { return band(s, where); }
  };
  auto contour = std::visit(Visit{halves, where}, shape);
  if (!contour) return contour;
  return placed(*contour, place.centre_mm, place.angle);
}

Result<Contour> contourOf(const Outline& outline, const std::string& where) {
  struct Visit {
    const std::string& where;
    Result<Contour> operator()(const RectangleOutline& o) const {
      return rectangle(toMm(o.length), toMm(o.width), toMm(o.cornerRadius), where);
    }
    Result<Contour> operator()(const ObroundOutline& o) const { return obround(toMm(o.length), toMm(o.width), where); }
    Result<Contour> operator()(const HandleOutline& o) const { return handle(o, where); }
    Result<Contour> operator()(const SplineHandleOutline& o) const { return splineHandle(o, where); }
    Result<Contour> operator()(const SplineOutline& o) const {
      if (o.through_mm.size() < 4)
        return cannotBe(where + ".through", "a closed curve needs at least four points.", "Give more points.");
      Ring points = o.through_mm;
      if (signedArea(points) < 0) std::reverse(points.begin(), points.end());
      return closedSpline(points);
    }
    Result<Contour> operator()(const PolylineOutline& o) const { return roundedPolyline(o.corners, where); }
  };
  return std::visit(Visit{where}, outline);
}

}  // namespace chipledger::draw
