#pragma once
// Where a cutter may stand without taking metal of the finished part: a direct look at the target's cells under it.
// For cutters whose passes do not come from the sections of what stays (edge breaks, holes). Setup frame, mm.
#include <chipledger/field/grid.hpp>
#include <chipledger/field/profile.hpp>
#include <chipledger/path/pass.hpp>

#include <vector>

namespace chipledger::path {

/// How deep the cutter with its tip here would stand in the target, 0 when by no more than the gouge tolerance. The
/// cutter counts as smaller by that tolerance all round, as in field::Removal. Looks no further once it has found more
/// than `enough_mm`. O(cells under the cutter).
double standsIn(const field::HeightField& target, const field::Profile& profile, Vec3 tip, double enough_mm = 1e300);

struct ClearPasses {
  std::vector<Pass> passes;  ///< what can be run, in the order given
  double lost_mm{};          ///< length that cannot
};
/// Passes without the stretches that would cut into the target; looked at every kClearLook_mm.
ClearPasses clearOf(const field::HeightField& target, const field::Profile& profile, const std::vector<Pass>& passes);
inline constexpr double kClearLook_mm = 0.2;

}  // namespace chipledger::path
