#include <chipledger/motion/closed_forms.hpp>

#include "ramps.hpp"

#include <limits>

namespace chipledger::motion {

namespace {
ramps::Limits limits(Acceleration a, Jerk j) { return {toMmPerSecond2(a), toMmPerSecond3(j)}; }
double halfSine(Angle turn) { return std::sin(0.5 * turn.rad); }
constexpr double kNoLimit = std::numeric_limits<double>::infinity();
}  // namespace

Duration rampTime(Speed change, Acceleration a, Jerk j) {
  return seconds(ramps::rampTime(toMmPerSecond(change), limits(a, j)));
}

Length rampLength(Speed from, Speed to, Acceleration a, Jerk j) {
  return mm(ramps::rampLength(toMmPerSecond(from), toMmPerSecond(to), limits(a, j)));
}

Speed reachableSpeed(Speed from, Length length, Acceleration a, Jerk j) {
  return mmPerSecond(ramps::reach(toMmPerSecond(from), toMm(length), limits(a, j)));
}

Duration restToRest(Length d, Speed top, Acceleration a, Jerk j) {
  return seconds(ramps::restToRest(toMm(d), toMmPerSecond(top), limits(a, j)));
}

Duration segmentTime(Length length, Speed v0, Speed v1, Speed top, Acceleration a, Jerk j) {
  return seconds(ramps::run(toMm(length), toMmPerSecond(v0), toMmPerSecond(v1), toMmPerSecond(top), limits(a, j)).time);
}

Duration trapezoidRestToRest(Length d, Speed top, Acceleration a) {
  const double v = toMmPerSecond(top), acc = toMmPerSecond2(a), length = toMm(d);
  return seconds(length >= v * v / acc ? length / v + v / acc : 2.0 * std::sqrt(length / acc));
}

Duration stopLoss(Speed v, Acceleration a, Jerk j) { return rampTime(v, a, j); }

Speed cornerSpeedByJunction(Angle turn, Length tolerance, Acceleration a) {
  const double s = std::cos(0.5 * turn.rad);
  if (s >= 1.0) return mmPerSecond(kNoLimit);
  return mmPerSecond(std::sqrt(toMmPerSecond2(a) * toMm(tolerance) * std::max(0.0, s) / (1.0 - s)));
}

Speed cornerSpeedByParabola(Angle turn, Length tolerance, Acceleration a) {
  const double s = halfSine(turn);
  return mmPerSecond(s > 0.0 ? std::sqrt(2.0 * toMmPerSecond2(a) * toMm(tolerance)) / s : kNoLimit);
}

Speed cornerSpeedByJerk(Angle turn, Length tolerance, Jerk j) {
  const double s = halfSine(turn), e = toMm(tolerance);
  return mmPerSecond(s > 0.0 ? std::cbrt(4.5 * e * e * toMmPerSecond3(j)) / s : kNoLimit);
}

Length junctionTolerance(Speed squareCorner, Acceleration a) {
  const double v = toMmPerSecond(squareCorner);
  return mm(v * v * (std::numbers::sqrt2 - 1.0) / toMmPerSecond2(a));
}

const char* word(CornerLimit limit) { return limit == CornerLimit::Jerk ? "jerk" : "acceleration"; }

CornerSpeed cornerSpeed(Angle turn, Length tolerance, Acceleration a, Jerk j) {
  const Speed byJunction = cornerSpeedByJunction(turn, tolerance, a), byJerk = cornerSpeedByJerk(turn, tolerance, j);
  return byJerk <= byJunction ? CornerSpeed{byJerk, CornerLimit::Jerk}
                              : CornerSpeed{byJunction, CornerLimit::Acceleration};
}

Speed arcSpeedByAcceleration(Length radius, Acceleration a) {
  return mmPerSecond(std::sqrt(toMmPerSecond2(a) * toMm(radius)));
}

Speed arcSpeedByJerk(Length radius, Jerk j) {
  return mmPerSecond(std::cbrt(toMmPerSecond3(j) * toMm(radius) * toMm(radius)));
}

Speed blockSpeed(Length segment, Duration block) { return segment / block; }

Length chordLength(Length radius, Length tolerance) {
  const double r = toMm(radius), e = toMm(tolerance);
  return mm(2.0 * std::sqrt(2.0 * r * e - e * e));
}

Duration trochoidLoopTime(Length slotWidth, Length cutter, Length step, Speed feed, Speed returnFeed) {
  const Length half = 0.5 * std::numbers::pi * (slotWidth - cutter);
  return half / feed + (half + step) / returnFeed;
}

Length helicalEntryLength(Length diameter, Length depth, Length pitch) {
  const double turn = std::numbers::pi * toMm(diameter), p = toMm(pitch);
  return mm(toMm(depth) / p * std::hypot(turn, p) + turn);
}

}  // namespace chipledger::motion
