#pragma once
// Cutting the part out of the blank: round the outside in full-width steps, tabs left standing in the last ones, then a
// finishing pass. The part stays held by the tabs until the bench cuts them.
#include <chipledger/path/pass.hpp>

namespace chipledger::path {

struct OutlineTask {
  Region part;                   ///< outline with its windows filled
  double top_mm{}, bottom_mm{};  ///< top of the metal; lowest height of the tip
  double partLow_mm{};           ///< underside of the part; tabs stand on it
  double radius_mm{}, slotStep_mm{};
  double allowance_mm{};
  int tabs{};
  double tabWidth_mm{}, tabHeight_mm{};
};

/// Rough passes, from the top down; the ones below the tabs' top go over the tabs.
std::vector<Pass> outlineRough(const OutlineTask& task);
/// One finishing pass at full depth over the tabs.
std::vector<Pass> outlineFinish(const OutlineTask& task, double guard_mm);
/// Where tabs stand: evenly along the ring (arc length of the ring's own points).
Pass overTabs(const Pass& pass, const OutlineTask& task);

/// Plan of where tabs stand, with the room that the cutter which goes round leaves beside them.
Region tabPlaces(const OutlineTask& task);

}  // namespace chipledger::path
