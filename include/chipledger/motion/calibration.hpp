#pragma once
// Fits a machine's jerk to one stopwatch reading. The owner runs a small flat path in air, about a minute long, and
// clocks it from the first movement to the last; the path is nearly all short legs and hard corners, so its time hangs
// on jerk: on the generic machines half the jerk is 18 to 23 % more time, twice the acceleration none at all.
//   one scalar s by bisection:  jerk of every axis -> s j,  corner factor -> k s^(1/3)  (clamped to its range), until
//   the likely time of planTimes() is the reading; ramps and corners go with the cube root of jerk
// Frame: mm, 0 <= x, y <= 60, z = 0 throughout; joined end to end, one feed.
// Holds: the time never grows with s (laws of the planner), so the solution is unique wherever the time answers to s;
// where it does not, s nearest to 1 is taken. One reading cannot tell x from y, nor jerk from corner factor (whose part
// in it is small: 0.8 to 1.6 % of the time for half or twice the jerk). z does not move and follows in the same ratio.
// Tolerance, acceleration and block time stay as they are.
// The shape is our own, after the hard-cornered test path of Beudaert, Lavernhe, Tournier, Int J Mach Tools Manuf 57
// (2012) 73-82, Fig. 7; the fit by one scalar is our own.
#include <chipledger/motion/planner.hpp>

#include <vector>

namespace chipledger::motion {

/// Combs with teeth of 1 to 4 mm, a wave of half circles of 1 to 5 mm, squares one inside another from 30 to 2 mm.
std::vector<path::Move> calibrationPath();
Speed calibrationFeed();

/// What the machine as described takes for it. Fails as checked() does.
Result<Times> calibrationTime(const Machine& machine);

/// The machine with jerk and corner factor that give the reading within 0.1 %; they are marked Clocked, the reading
/// named. Fails: Usage when the machine cannot be (checked()), or no jerk in range gives the reading: says what could.
Result<Machine> calibrated(const Machine& machine, Duration stopwatch);

}  // namespace chipledger::motion
