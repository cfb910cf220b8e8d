#pragma once
// One stroke of the cutter at work: the way of its tip centre while it cuts, before entries and links are added.
// Setup frame, mm. A pass is run in the order of its points, with the metal on its right (climb milling with a spindle
// that turns clockwise seen from above).
#include <chipledger/geometry/curve.hpp>
#include <chipledger/geometry/polygon.hpp>
#include <chipledger/geometry/vec.hpp>

#include <vector>

namespace chipledger::path {

struct Pass {
  std::vector<Vec3> points;  ///< closed passes do not repeat the first point
  bool closed{};
  int level{};       ///< steps away from the wall that is left at the end; higher levels are cut first
  bool fullWidth{};  ///< metal on both sides: goes down in the steps of a slot
  bool keepStart{};  ///< must begin where it begins (tabs, holes); else a closed pass may begin anywhere
  double lead_mm{};  ///< closed passes: the way in and out on the free (left) side, put on where the walk begins them
};

Pass levelPass(const Line& line, double z_mm, bool closed, int level);
double planLength(const Pass& pass);
/// The same passes at another height.
std::vector<Pass> atHeight(std::vector<Pass> passes, double z_mm);
double planLength(const std::vector<Pass>& passes);
/// The same closed pass begun at its point nearest to `place`; open passes are returned as they are.
Pass begunNear(Pass pass, Vec2 place);
/// The same closed pass begun so far along its way.
Pass begunAt(Pass pass, double along_mm);

/// Parts of a closed ring inside `region`, run against the sense of the ring (so that the side to the left of the ring,
/// where the wall stands, comes to the right). One closed pass when the whole ring is inside.
std::vector<Pass> clipRing(const Ring& ring, const Region& region, double z_mm, int level);

}  // namespace chipledger::path
