#pragma once
// What an operation takes on a machine: its moves, sorted by what the cutter does, and the change of cutter before it.
// Counted in whole nanoseconds: the shares add up to the moves exactly, so a ledger can book them.
//   change  another cutter: chip-to-chip + spindle from rest + coolant;  the same cutter: the change of spindle speed
//   a tap   turns the spindle round at the bottom and again at the top of each hole: 2 x (stop + start), likely and
//   upper
#include <chipledger/motion/planner.hpp>
#include <chipledger/units/counts.hpp>

#include <string>

namespace chipledger::motion {

struct CountedTimes {
  TimeCount lower, likely, upper;
  constexpr bool operator==(const CountedTimes&) const = default;
  constexpr CountedTimes& operator+=(const CountedTimes& o) {
    lower += o.lower;
    likely += o.likely;
    upper += o.upper;
    return *this;
  }
};
CountedTimes counted(const Times& times);

struct OperationTimes {
  CountedTimes cutting;  ///< cutter in metal
  CountedTimes air;      ///< cutting moves that meet no metal
  CountedTimes enter;    ///< ramps and helices into the metal
  CountedTimes link;     ///< low moves between cuts
  CountedTimes rapid;
  CountedTimes dwell;  ///< standing still, turning a tap round
  CountedTimes moves;  ///< sum of the above
  TimeCount change;    ///< cutter change and spindle start before the first move; machine time like any other
};

/// What is in the spindle before an operation. Default: nothing, at rest.
struct InSpindle {
  std::string cutter;
  SpindleSpeed speed{};
};

/// Fails: Usage when a move has no feed (says which operation and move).
Result<OperationTimes> operationTimes(const path::Operation& operation, const Machine& machine,
                                      const InSpindle& before);

TimeCount changeTime(const path::Operation& operation, const Machine& machine, const InSpindle& before);

/// A hole drilled with pecks, from `clearance` above the metal: feed to each depth, rapid out to the clearance, rapid
/// back to `returnGap` above the last depth. peck <= 0 or >= depth: one stroke.
struct DrillCycle {
  Length depth{}, peck{}, clearance{mm(1)}, returnGap{mm(0.3)};
  Speed feed{};
  Duration dwell{};  ///< at the bottom
};
std::vector<path::Move> drillMoves(const DrillCycle& cycle);

}  // namespace chipledger::motion
