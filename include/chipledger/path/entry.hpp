#pragma once
// Ways into the metal. Closed forms (time-estimation 2.1), D_h helix diameter, p drop per turn, h depth:
//   helix  L = (h / p) sqrt((pi D_h)^2 + p^2) + pi D_h   (the last turn is level), p = pi D_h tan(ramp angle)
//   ramp   L = h / sin(ramp angle), to and fro or round a closed pass
#include <chipledger/geometry/curve.hpp>
#include <chipledger/path/pass.hpp>
#include <chipledger/units/quantity.hpp>

#include <vector>

namespace chipledger::path {

/// Helix of `radius_mm` round `centre`, from `top_mm` to `bottom_mm`, ending at angle `endAngle` (radians), with a
/// level last turn; counter-clockwise, so that the wall of the hole is on the right.
std::vector<Segment> helixEntry(Vec2 centre, double radius_mm, double top_mm, double bottom_mm, Angle ramp,
                                double endAngle);
/// Down along a pass: round and round a closed one, to and fro on an open one; ends where the pass begins.
/// `dropPerTurn_mm` limits what one turn or stroke takes (0: no limit).
std::vector<Segment> rampEntry(const Pass& pass, double top_mm, Angle ramp, double dropPerTurn_mm);
double pathLength(const std::vector<Segment>& segments);

/// Helix radius as a share of the cutter diameter: below 0.5 so that no core is left (common practice, no source).
inline constexpr double kHelixShare = 0.45;
/// Helices tighter than this share of the diameter are no helices: ramp or plunge instead.
inline constexpr double kLeastHelixShare = 0.10;

}  // namespace chipledger::path
