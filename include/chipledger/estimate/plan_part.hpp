#pragma once
// The machine side of an estimate: blank, setups, operations and their minutes, for the part as drawn or for the same
// part without some details. No money except what choosing a cutter needs.
#include <chipledger/detail/detail.hpp>
#include <chipledger/field/solid.hpp>
#include <chipledger/ledger/ledger.hpp>
#include <chipledger/path/plan.hpp>
#include <chipledger/setup/setup.hpp>
#include <chipledger/shop/shop.hpp>
#include <chipledger/stock/stock.hpp>

#include <memory>
#include <utility>
#include <vector>

namespace chipledger::estimate {

/// Minutes of one operation; tool change and spindle start are in `change`.
struct OperationMinutes {
  ledger::Minutes moves;
  TimeCount change;
  TimeCount air;                 ///< share of the likely time spent cutting air
  TimeCount cutting;             ///< share of the likely time with the cutter in metal: what wears it
  TimeCount enter, link, rapid;  ///< shares of the likely time: ways in, low moves between cuts, retracts and the like
};

struct SetupRun {
  int setup{};  ///< index into MachinePlan::setups
  path::SetupPlan plan;
  std::vector<OperationMinutes> minutes;  ///< per operation
  /// Setups that follow from this one: slots sawn with the part on edge.
  std::vector<std::pair<setup::Setup, std::shared_ptr<const SetupRun>>> sawing;
};

struct MachinePlan {
  stock::Blank blank;
  std::vector<setup::Setup> setups;  ///< those that have work to do, in order
  std::vector<std::shared_ptr<const SetupRun>> runs;
  VolumeCount blankVolume, partVolume, removed, left, gouged;  ///< on the grid; blank = part + removed + left
  VolumeCount leftOnPart;  ///< of `left`: on and under the part and in its openings, not the frame round it
  double cutAwayShare{};   ///< removed / blank
  int cell_um{};
  Notes notes;
};

struct PlanRequest {
  const part::Body* body{};
  const setup::Plan* setups{};
  const detail::Details* details{};  ///< as found on the part as drawn
  const field::Solid* solid{};       ///< with changes when details are taken away
  std::vector<char> dropped;         ///< per detail: taken away; may be empty
  std::vector<path::HoleOrder> holes;
  const shop::Shop* shop{};
  const cutting::Material* material{};
  int cell_um{50};
  double gridShift{};  ///< in cells: moves the grid against the part, for the numeric doubt
};

/// Setups already planned, for re-plans in which a setup sees the same metal and the same work. For one shop, material
/// and body.
class PlanMemory;
std::shared_ptr<PlanMemory> makePlanMemory();

/// Deterministic for any number of threads. `memory` may be null; entries are only read when `fill` is false.
Result<MachinePlan> planPart(const PlanRequest& request, PlanMemory* memory = nullptr, bool fill = false);

}  // namespace chipledger::estimate
