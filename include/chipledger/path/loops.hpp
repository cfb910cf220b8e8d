#pragma once
// Trochoidal loops: a channel cleared by circles along its middle, each a step further, instead of full-width layers.
//
//   r = w/2 - R          radius of the tip's loops in a channel of width w
//   cos f = 1 - ae/R     angle of engagement that the radial step ae of the cutter stands for
//   c = -R cos f - r + sqrt((r + R)^2 - R^2 sin^2 f)     step between loops at which the angle is f at the loop's front
//   L = n (2 pi r + c)   with n loops over the channel's middle of length n c
// From the law of cosines in the triangle loop centre before, loop's front, last edge of the metal there; c -> ae as
// the channel gets wide. The back half of a loop is air and is run at travel feed where it is long enough. Holds: no
// loop leaves the channel. Fails: no loops (nullopt) where r is below a share of R: it would turn on the spot.
#include <chipledger/path/pass.hpp>

#include <optional>

namespace chipledger::path {

/// Loops need this much of the cutter's radius: a channel of 1.2 diameters. Common practice, no source.
inline constexpr double kLeastLoopShare = 0.2;

/// Step between loops; 0 when the channel is too narrow for loops.
double loopStep(double loopRadius_mm, double cutterRadius_mm, double radialStep_mm);

struct LoopTask {
  Line middle;
  double loopRadius_mm{}, cutterRadius_mm{}, radialStep_mm{};
  double z_mm{};
};
/// One open pass from one end of the middle to the other: a circle counter-clockwise (climb), a step on at its back,
/// the next circle.
std::optional<Pass> loopPass(const LoopTask& task);
/// Seconds of loops over `length_mm` in one layer: fronts at the cutting feed, backs at the travel feed.
double loopSeconds(double length_mm, double loopRadius_mm, double step_mm, double feed_mm_s, double travel_mm_s);

}  // namespace chipledger::path
