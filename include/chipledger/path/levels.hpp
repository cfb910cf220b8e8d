#pragma once
// Heights at which roughing clears, and what metal there is to take at each.
//
// Main levels go down from the top in the axial step, snapped to floors (+ allowance). After each main level the floors
// between it and the one above are cleared upwards, only where the main level left metal standing: a high floor costs a
// pass over its own area, never a pass over the whole plate.
#include <chipledger/path/chart.hpp>

namespace chipledger::path {

struct RoughLevel {
  double z_mm{}, top_mm{};
  Region metal;     ///< without what stays (wall allowance included)
  Region obstacle;  ///< exact, without allowance
};

struct RoughSite {
  Region blank;
  double top_mm{};  ///< top of the metal now
  double floorAllowance_mm{}, wallAllowance_mm{}, finishPass_mm{};
  double margin_mm{};  ///< how far beyond the part's outline open floors are cleared
};

/// Floors that lie deep enough to be roughed.
bool worthRoughing(const RoughSite& site, double floor_mm);
/// Metal to take at tip height z for the floors at or below it.
Region metalAt(const Chart& chart, const RoughSite& site, double z_mm);
std::vector<RoughLevel> roughLevels(const Chart& chart, const RoughSite& site, double axialStep_mm);
/// One zone per floor worth roughing, for the choice of cutters; at exact size, without allowances.
struct FloorZone {
  double z_mm{};
  Region metal, obstacle;
};
std::vector<FloorZone> floorZones(const Chart& chart, const RoughSite& site);

}  // namespace chipledger::path
