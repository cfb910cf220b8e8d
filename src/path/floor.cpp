#include <chipledger/path/floor.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::path {

int floorPasses(const FloorTask& task) {
  return std::max(0, static_cast<int>(std::ceil((task.from_mm - task.z_mm) / task.passDepth_mm - 1e-9)));
}

std::vector<Pass> floorLayer(const FloorTask& task, double z_mm) {
  ClearTask clear;
  clear.metal = task.floor;
  if (!task.obstacle.empty())
    clear.keepOut = keepOutOf(task.obstacle, task.radius_mm, task.wallAllowance_mm, task.fit_mm);
  clear.blank = task.floor;
  clear.z_mm = z_mm;
  clear.radius_mm = task.radius_mm;
  clear.step_mm = task.step_mm;
  clear.wholeOnly = true;
  return clearRegion(clear).passes;
}

}  // namespace chipledger::path
