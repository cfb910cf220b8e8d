#include <chipledger/path/chamfer.hpp>

#include <chipledger/path/wall.hpp>

#include <cmath>

namespace chipledger::path {

std::vector<Pass> chamferPasses(const ChamferTask& task) {
  std::vector<Pass> passes;
  const double reach = task.tipRadius_mm + task.over_mm * std::tan(0.5 * task.pointAngle.rad);
  constexpr double kBeside_mm = 0.1;
  constexpr double kLeastPass_mm = 0.1;
  const Region path = offset(task.wall, reach + kFinishGuard_mm);
  const Region limit = offset(task.near, reach + kBeside_mm);
  for (const Ring& ring : path.rings)
    for (Pass& pass : clipRing(ring, limit, task.foot_mm - task.over_mm, 0))
      if (planLength(pass) >= kLeastPass_mm) passes.push_back(std::move(pass));
  return passes;
}

}  // namespace chipledger::path
