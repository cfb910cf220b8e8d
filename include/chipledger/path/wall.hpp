#pragma once
// Finishing passes along walls: the boundary of the obstacle grown by the cutter radius, where a floor lies beside it.
#include <chipledger/path/pass.hpp>

#include <chipledger/geometry/polygon.hpp>

namespace chipledger::path {

struct WallTask {
  Region obstacle;  ///< what stands at the height of the foot
  Region beside;    ///< floor or opening beside the wall
  double z_mm{};
  double radius_mm{};
  double allowance_mm{}, passStep_mm{};  ///< left by roughing; radial depth of one pass
  int springPasses{};
  double fit_mm{};
  double lead_mm{};  ///< the way in and out, away from the wall
  Region closed;     ///< tip centres where shank or holder would touch
};

/// Radial distances from the wall of the passes, falling to 0; spring passes repeat 0.
std::vector<double> wallDistances(double allowance_mm, double passStep_mm, int springPasses);
std::vector<Pass> wallPasses(const WallTask& task);
/// The pass with a straight way in and out on its free (left) side; closed passes become open ones that end where they
/// began. Left out where the way would enter `keepOut`.
Pass withLead(Pass pass, const Region& keepOut, double lead_mm);

/// Finishing passes keep this much off the exact wall: covers the fitting tolerance of curves.
inline constexpr double kFinishGuard_mm = 0.006;
inline constexpr double kFinishFit_mm = 0.006;

}  // namespace chipledger::path
