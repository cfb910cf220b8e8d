#pragma once
// How far the price moves with the cells it was counted on: the same part planned on coarser cells, and on coarser
// cells that lie elsewhere against it. A change of the drawing that saves less than this saves nothing that can be
// told.
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/estimate/plan_part.hpp>

#include <string>
#include <vector>

namespace chipledger::estimate {

/// Far from a whole and from half a cell, so that edges that lie on the lattice come to lie off it (engine notes 9).
inline constexpr double kGridShift = 0.3;

/// One plan of the same part and what a piece costs by it.
struct CountedOn {
  std::string cells;  ///< "0.05 mm", "0.10 mm, shifted"
  double machineMinutes{};
  Money price;
};
/// Spread over the plans, the first of which is the estimate's own.
Doubt numericDoubt(const std::vector<CountedOn>& plans);

}  // namespace chipledger::estimate
