#pragma once
// Closed forms of motion under limited acceleration a and jerk j. Ramps start and end with no acceleration.
//   ramp over a change of speed c:  t = 2 sqrt(c / j)  when c < a^2/j,  else  c/a + a/j;  length = mean speed * t
//   rest to rest over d at top speed v: cruise  d/v + t(v);  no cruise  2 (vp/a + a/j), vp = (sqrt(a^4/j^2 + 4 a d) -
//   a^2/j)/2; acceleration limit never touched  4 (d / 2j)^(1/3)
// Every limit must be > 0, lengths and speeds >= 0. Nothing here fails.
// Source: Biagiotti & Melchiorri, Trajectory Planning for Automatic Machines and Robots, 2008 (from memory),
// recomputed; corner and arc forms as named below. Checked row by row in tests/motion/data/time-checks.tsv.
#include <chipledger/units/quantity.hpp>

namespace chipledger::motion {

Duration rampTime(Speed change, Acceleration a, Jerk j);
Length rampLength(Speed from, Speed to, Acceleration a, Jerk j);
/// Highest speed within `length` by one who passes the start at `from` or slower (a slow start can end faster: the
/// acceleration has more time to build up).
Speed reachableSpeed(Speed from, Length length, Acceleration a, Jerk j);
Duration restToRest(Length d, Speed top, Acceleration a, Jerk j);
/// From speed v0 to v1 over `length` at no more than `top`; v0 and v1 must be reachable from each other.
Duration segmentTime(Length length, Speed v0, Speed v1, Speed top, Acceleration a, Jerk j);
/// Without a jerk limit: d/v + v/a, or 2 sqrt(d/a) when v is not reached.
Duration trapezoidRestToRest(Length d, Speed top, Acceleration a);
/// What one full stop on a path at speed v costs over running through: ramp time of v.
Duration stopLoss(Speed v, Acceleration a, Jerk j);

/// Corner of turn angle phi passed within tolerance e by a circle tangent to both sides: v^2 = a e S/(1-S), S =
/// cos(phi/2). 0 at a full reversal. Source: Jeon 2011, onehossshay.wordpress.com, "cornering algorithm".
Speed cornerSpeedByJunction(Angle turn, Length tolerance, Acceleration a);
/// The same tolerance by a parabola: v = sqrt(2 a e)/sin(phi/2). Never lower than the junction form.
Speed cornerSpeedByParabola(Angle turn, Length tolerance, Acceleration a);
/// The same tolerance under limited jerk: v = (4.5 e^2 j)^(1/3)/sin(phi/2), j along the bisector.
Speed cornerSpeedByJerk(Angle turn, Length tolerance, Jerk j);
/// Junction tolerance at which a square corner is passed at v: e = v^2 (sqrt 2 - 1)/a.
Length junctionTolerance(Speed squareCorner, Acceleration a);

enum class CornerLimit { Acceleration, Jerk };
const char* word(CornerLimit limit);
struct CornerSpeed {
  Speed speed{};
  CornerLimit governs{CornerLimit::Jerk};
};
/// The lower of the junction form and the jerk form, and which one it was. Jerk governs every corner of titanium work
/// on ordinary machines (a = 2000, e = 0.01, j = 20000, 90 degrees: 176 against 417 mm/min).
CornerSpeed cornerSpeed(Angle turn, Length tolerance, Acceleration a, Jerk j);

Speed arcSpeedByAcceleration(Length radius, Acceleration a);  ///< sqrt(a r)
Speed arcSpeedByJerk(Length radius, Jerk j);                  ///< (j r^2)^(1/3); the tighter one whenever r < a^3/j^2
Speed blockSpeed(Length segment, Duration block);             ///< a control that needs `block` for each segment
Length chordLength(Length radius, Length tolerance);          ///< 2 sqrt(2 r e - e^2)

/// One loop of circle-plus-step slotting: half a loop of radius r = (w - D)/2 in the cut, half in the air, and the
/// step.
Duration trochoidLoopTime(Length slotWidth, Length cutter, Length step, Speed feed, Speed returnFeed);
/// Helix of diameter d and pitch p over depth z, and one flat turn at the bottom: (z/p) sqrt((pi d)^2 + p^2) + pi d.
Length helicalEntryLength(Length diameter, Length depth, Length pitch);

}  // namespace chipledger::motion
