#include "elements.hpp"

#include <limits>

namespace chipledger::motion {

namespace {

// Directions of pieces split from one line differ by rounding only; a kink this small is no corner.
constexpr double kNoTurn = 1e-6;
// Coordinates rounded to a fine grid turn more than that, but lie on a circle far wider than any machine's travel.
constexpr double kSmallTurn = 0.0035;
constexpr double kFlatRadius_mm = 2000.0;
// Arcs cut in two share centre and radius up to the rounding of coordinates.
constexpr double kSameCircle_mm = 1e-6;
// A sampled curve turns little at each point and its chords lie close to it; anything coarser is a polygon with
// corners.
constexpr double kCurveTurn = 0.175;  // 10 degrees
constexpr double kCurveSagitta_mm = 0.01;
// Curvature bands: one per factor of four, the fewest that follow a curve, as acceleration starts anew at their ends.
// Wider curves than this (21 mm) limit no cutting feed of a machine with 5 m/s3 or more: told apart from nothing.
constexpr int kFlattestBand = -2;
constexpr double kBandShift = 1.3;  // keeps radii that people draw (1, 4, 16 mm) off the borders

Vec3 reciprocal(double x, double y, double z) { return {1.0 / x, 1.0 / y, 1.0 / z}; }

double rise(const Segment& s, double run) { return run > 0.0 ? (s.end.z - s.start.z) / run : 0.0; }

}  // namespace

AxisTable axisTable(const Machine& m) {
  const auto top = [](const AxisLimits& a) { return toMmPerSecond(a.top); };
  const auto acc = [](const AxisLimits& a) { return toMmPerSecond2(a.acceleration); };
  const auto jerk = [](const AxisLimits& a) { return toMmPerSecond3(a.jerk); };
  const double rapid = toMmPerSecond(m.rapid);
  AxisTable t;
  t.perTop = reciprocal(top(m.x), top(m.y), top(m.z));
  t.perRapid = reciprocal(std::min(rapid, top(m.x)), std::min(rapid, top(m.y)), std::min(rapid, top(m.z)));
  t.perAcceleration = reciprocal(acc(m.x), acc(m.y), acc(m.z));
  t.perJerk = reciprocal(jerk(m.x), jerk(m.y), jerk(m.z));
  t.planeTop = std::min(top(m.x), top(m.y));
  t.planeAcceleration = std::min(acc(m.x), acc(m.y));
  t.planeJerk = std::min(jerk(m.x), jerk(m.y));
  t.tolerance = toMm(m.cornerTolerance);
  t.cornerFactor = m.cornerFactor;
  t.blockTime = toSeconds(m.blockTime);
  t.inPosition = toSeconds(m.inPosition);
  return t;
}

Element element(const path::Move& move, std::size_t index, double length, const AxisTable& t) {
  const Segment& s = move.segment;
  Element e;
  e.first = e.last = index;
  e.length = length;
  e.rapid = move.kind == path::MoveKind::Rapid;
  e.arc = s.shape != Segment::Shape::Line;
  if (!e.arc) {
    const Vec3 d = (s.end - s.start) * (1.0 / length);
    e.startDirection = e.endDirection = d;
    e.acceleration = along(d, t.perAcceleration);
    e.jerk = along(d, t.perJerk);
    e.feed = e.rapid ? along(d, t.perRapid) : toMmPerSecond(move.feed);
    e.lower = length / e.feed;
    e.top = std::min(e.feed, along(d, t.perTop));
    return e;
  }
  const double r = radius(s), plane = r * sweep(s) / length;  // cosine of the helix angle
  const double climb = (s.end.z - s.start.z) / length;
  const double sign = s.shape == Segment::Shape::ArcCcw ? plane / r : -plane / r;
  const Vec2 a = perp(s.start.xy() - s.centre) * sign, b = perp(s.end.xy() - s.centre) * sign;
  e.startDirection = unit({a.x, a.y, climb});
  e.endDirection = unit({b.x, b.y, climb});
  // Along the helix every direction of the plane comes up with share `plane`, z with share `climb`.
  const auto both = [&](double inPlane, double perZ) {
    return 1.0 / std::max(plane / inPlane, std::abs(climb) * perZ);
  };
  e.acceleration = both(t.planeAcceleration, t.perAcceleration.z);
  e.jerk = both(t.planeJerk, t.perJerk.z);
  e.feed = e.rapid ? both(std::min(t.planeTop, 1.0 / t.perRapid.x), t.perRapid.z) : toMmPerSecond(move.feed);
  const double round = std::min(std::sqrt(t.planeAcceleration * r), std::cbrt(t.planeJerk * r * r)) / plane;
  e.lower = length / e.feed;
  e.top = std::min({e.feed, both(t.planeTop, t.perTop.z), round});
  return e;
}

bool continues(const path::Move& a, const Element& ea, const path::Move& b, const Element& eb) {
  if (ea.rapid != eb.rapid || ea.arc != eb.arc) return false;
  if (!ea.rapid && a.feed != b.feed) return false;
  const double turn = norm(eb.startDirection - ea.endDirection);
  if (ea.arc) {
    const Segment &s = a.segment, &u = b.segment;
    return turn <= kNoTurn && s.shape == u.shape && norm(s.centre - u.centre) <= kSameCircle_mm &&
           std::abs(rise(s, sweep(s)) - rise(u, sweep(u))) <= kSameCircle_mm;
  }
  return turn <= kNoTurn || (turn <= kSmallTurn && std::min(ea.length, eb.length) >= kFlatRadius_mm * turn);
}

Joint joint(const Element& a, const Element& b) {
  Joint j;
  j.kind = Joint::Kind::Corner;
  j.change = b.startDirection - a.endDirection;
  if (a.arc || b.arc || a.feed != b.feed) return j;
  const double twice = norm(j.change);
  if (twice > kCurveTurn) return j;
  if (twice * std::max(a.length, b.length) > 8.0 * kCurveSagitta_mm) return j;
  j.kind = Joint::Kind::Curve;
  j.turn = twice;  // within 0.13 % of the angle at 10 degrees
  j.run = 0.5 * (a.length + b.length);
  j.band = twice > 0.0 ? std::max(kFlattestBand, std::ilogb(kBandShift * j.turn / j.run) >> 1) : kFlattestBand;
  return j;
}

bool Joint::ownsChordWith(const Joint& other) const {
  if (other.kind != Kind::Curve || band > other.band) return true;
  if (band < other.band) return false;
  return band == kFlattestBand || dot(change, other.change) > 0.0;
}

Corner corner(Vec3 change, double shorter, const AxisTable& t) {
  const double twice = norm(change);
  if (twice <= kNoTurn) return {std::numeric_limits<double>::infinity(), false};
  const Vec3 bisector = change * (1.0 / twice);
  const double a = along(bisector, t.perAcceleration), j = along(bisector, t.perJerk);
  const double s = std::min(1.0, 0.5 * twice), c = std::sqrt(std::max(0.0, 1.0 - s * s));  // of half the turn
  const double k = t.cornerFactor, e = t.tolerance;
  const double circle = 0.5 * shorter * c / s;  // radius that fits the shorter side
  // As squares over a and cubes over j, so that one root each is enough.
  const double room3 = 4.5 * e * e * k * k * k;
  const double corner3 = room3 / (s * s * s), circle3 = std::max(circle * circle, room3);
  const double room2 = 2.0 * e * k * k;
  const double corner2 = 0.5 * room2 * c * (1.0 + c) / (s * s), circle2 = std::max(circle, room2);
  const double byJerk = std::cbrt(j * std::min(corner3, circle3));
  const double byAcceleration = std::sqrt(a * std::min(corner2, circle2));
  return byJerk <= byAcceleration ? Corner{byJerk, circle3 < corner3} : Corner{byAcceleration, circle2 < corner2};
}

}  // namespace chipledger::motion
