#include <chipledger/motion/operation_time.hpp>

#include <fmt/format.h>

namespace chipledger::motion {

namespace {

// Drills, reamers and taps carry no radial width: all their feed moves are in metal.
bool isHole(path::OperationKind kind) {
  using enum path::OperationKind;
  switch (kind) {
    case Spot:
    case Drill:
    case Ream:
    case Counterbore:
    case Countersink:
    case Tap:
      return true;
    default:
      return false;
  }
}

CountedTimes OperationTimes::*share(const path::Move& move, path::OperationKind kind) {
  switch (move.kind) {
    case path::MoveKind::Rapid:
      return &OperationTimes::rapid;
    case path::MoveKind::Enter:
      return &OperationTimes::enter;
    case path::MoveKind::Link:
      return &OperationTimes::link;
    case path::MoveKind::Cut:
      break;
  }
  return move.width > mm(0) || isHole(kind) ? &OperationTimes::cutting : &OperationTimes::air;
}

constexpr CountedTimes OperationTimes::*kShares[] = {&OperationTimes::cutting, &OperationTimes::air,
                                                     &OperationTimes::enter,   &OperationTimes::link,
                                                     &OperationTimes::rapid,   &OperationTimes::dwell};

}  // namespace

CountedTimes counted(const Times& times) {
  return {countTime(times.lower), countTime(times.likely), countTime(times.upper)};
}

TimeCount changeTime(const path::Operation& operation, const Machine& machine, const InSpindle& before) {
  const SpindleSpeed speed = operation.conditions.spindle;
  if (operation.cutter == before.cutter) return countTime(spindleChange(machine, before.speed, speed));
  return countTime(machine.toolChange + spindleChange(machine, rpm(0), speed) + machine.coolantDelay);
}

Result<OperationTimes> operationTimes(const path::Operation& operation, const Machine& machine,
                                      const InSpindle& before) {
  std::vector<Times> each;
  if (auto planned = planTimes(operation.moves, machine, each); !planned) {
    Fault problem = planned.error();
    problem.where = fmt::format("operation {}, {}", operation.id, problem.where);
    return tl::make_unexpected(std::move(problem));
  }
  // Summed as reals per share and rounded once, so that millions of tiny moves lose nothing.
  Times sums[std::size(kShares)];
  const auto sumOf = [&](CountedTimes OperationTimes::*member) -> Times& {
    for (std::size_t i = 0; i < std::size(kShares); ++i)
      if (kShares[i] == member) return sums[i];
    return sums[0];
  };
  Times& still = sumOf(&OperationTimes::dwell);
  for (std::size_t i = 0; i < each.size(); ++i) {
    const Duration dwell = operation.moves[i].dwell;
    const Times moving{each[i].lower - dwell, each[i].likely - dwell, each[i].upper - dwell};
    sumOf(share(operation.moves[i], operation.kind)) += moving;
    still += {dwell, dwell, dwell};
  }
  if (operation.kind == path::OperationKind::Tap) {
    const Duration turnRound = 2.0 * spindleChange(machine, rpm(0), operation.conditions.spindle);
    const Duration all = turnRound * (2.0 * operation.holes);
    still += {seconds(0), all, all};
  }
  OperationTimes out;
  for (std::size_t i = 0; i < std::size(kShares); ++i) {
    out.*kShares[i] = counted(sums[i]);
    out.moves += out.*kShares[i];
  }
  out.change = changeTime(operation, machine, before);
  return out;
}

std::vector<path::Move> drillMoves(const DrillCycle& cycle) {
  std::vector<path::Move> moves;
  const double clear = toMm(cycle.clearance), depth = toMm(cycle.depth), peck = toMm(cycle.peck);
  double z = clear;
  const auto go = [&](double to, path::MoveKind kind) {
    path::Move m;
    m.kind = kind;
    m.segment = line({0, 0, z}, {0, 0, to});
    if (kind != path::MoveKind::Rapid) m.feed = cycle.feed;
    moves.push_back(m);
    z = to;
  };
  const int strokes = peck > 0 && peck < depth ? static_cast<int>(std::ceil(depth / peck - 1e-9)) : 1;
  for (int i = 1; i <= strokes; ++i) {
    go(i == strokes ? -depth : -peck * i, path::MoveKind::Cut);
    if (i == strokes) moves.back().dwell = cycle.dwell;
    go(clear, path::MoveKind::Rapid);
    if (i < strokes) go(std::min(clear, -peck * i + toMm(cycle.returnGap)), path::MoveKind::Rapid);
  }
  return moves;
}

}  // namespace chipledger::motion
