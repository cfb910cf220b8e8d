#pragma once
// Edge breaks: one pass of a chamfer cutter along an upper edge.
//
// The flank of a cutter of full angle a stands at r(t) = tip flat + t tan(a / 2) at height t over the tip. With the tip
// `over_mm` below the foot of the chamfer, the axis runs at distance r(over) outside the wall below the chamfer.
#include <chipledger/path/pass.hpp>

#include <chipledger/units/quantity.hpp>

namespace chipledger::path {

struct ChamferTask {
  Region wall;       ///< section just below the chamfer
  Region near;       ///< the chamfer's footprint: only edges beside it are cut
  double foot_mm{};  ///< height of the chamfer's lower edge
  double over_mm{};  ///< how far the tip goes below it
  double tipRadius_mm{};
  Angle pointAngle{};
};
std::vector<Pass> chamferPasses(const ChamferTask& task);

}  // namespace chipledger::path
