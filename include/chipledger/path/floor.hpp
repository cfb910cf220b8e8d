#pragma once
// Finishing passes over level floors: the same rings as roughing, at the floor's radial step, in passes of equal depth.
#include <chipledger/path/roughing.hpp>

namespace chipledger::path {

struct FloorTask {
  Region floor;              ///< what is to be level
  Region obstacle;           ///< what stands above it
  double from_mm{}, z_mm{};  ///< height left by roughing, height of the floor
  double passDepth_mm{};
  double radius_mm{}, step_mm{};
  double wallAllowance_mm{};
  double fit_mm{};
};

/// Number of passes: ceil((from - z) / passDepth).
int floorPasses(const FloorTask& task);
/// The passes of one layer at height z.
std::vector<Pass> floorLayer(const FloorTask& task, double z_mm);

}  // namespace chipledger::path
