#pragma once
// Clearing a region down to one height with a flat or bull cutter in radial steps.
//
// Two patterns, the quicker one is taken per piece of metal:
//   from the wall   rings at distances R + allowance + k s from the obstacle (k = 0, 1, ...), clipped to where the disc
//                   of the cutter touches metal. Closed pockets only know this one: inside out, from a ramp or helix.
//   from the edge   rings at R - (j + 1) s inside the border of the metal, clipped to what the obstacle leaves free,
//                   then the ring along the obstacle. Only where the metal has an open side; outside in.
// Rings are joined in a tree (parent: the nearest ring one step nearer to the wall) and cut children first, so that a
// ring is cut when everything on its free side is gone. Where a ring has no child beside it and stands deep in metal it
// is a full-width cut and says so.
// Length on a rectangle without obstacles inside: the sum of the ring perimeters (time-estimation 2.1).
// Method: iso-distance rings by exact offsets; own derivation of the ordering. O(rings * vertices log vertices).
#include <chipledger/path/pass.hpp>

namespace chipledger::path {

struct ClearTask {
  Region metal;    ///< plan of the metal to take at this height; what stays is not in it
  Region keepOut;  ///< where the tip centre must not come (obstacle grown by cutter radius and allowance)
  Region blank;    ///< metal that reaches its border has an open side
  double z_mm{};
  double radius_mm{}, step_mm{};
  bool wholeOnly{};          ///< floors: the disc need not come in from outside; rings stop where the floor is covered
  double secondsPerMm{0.1};  ///< at the radial step, to weigh the two patterns
  double secondsPerBreak{0.8};  ///< one retract and return (measured on the hop closed form: 2 x 0.15 s and the way)
};

struct ClearPlan {
  std::vector<Pass> passes;  ///< in the order of cutting
  double length_mm{};
};

ClearPlan clearRegion(const ClearTask& task);

/// Where the tip centre must not come: the obstacle grown by radius + allowance, and places too narrow to pass with the
/// clearance `fit_mm` on the radius. Decided on exact geometry.
Region keepOutOf(const Region& obstacle, double radius_mm, double allowance_mm, double fit_mm);
/// What a cutter clears of `metal` when its centre stays out of `keepOut`.
Region sweptOf(const Region& metal, const Region& keepOut, double radius_mm);

}  // namespace chipledger::path
