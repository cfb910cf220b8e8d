#include "estimate/undrilled.hpp"

#include <chipledger/motion/operation_time.hpp>

#include <algorithm>

namespace chipledger::estimate {
namespace {

constexpr double kAtAxis_mm = 0.02;  // beside the hole's own radius

bool atAxis(path::OperationKind kind) {
  using K = path::OperationKind;
  return kind == K::Spot || kind == K::Drill || kind == K::Ream || kind == K::Tap || kind == K::ThreadMill;
}

bool drills(const MachinePlan& plan, int detail) {
  for (const auto& run : plan.runs)
    for (const path::Operation& op : run->plan.operations)
      if (op.kind == path::OperationKind::Drill &&
          std::any_of(op.shares.begin(), op.shares.end(), [&](const path::Share& s) { return s.detail == detail; }))
        return true;
  return false;
}

bool plainHole(const detail::Detail& d) {
  using detail::DetailKind;
  const bool hole = d.kind == DetailKind::Bore || d.kind == DetailKind::Thread || d.kind == DetailKind::Seat;
  return hole && d.side != detail::Side::Other && d.dimensions.diameter && !d.dimensions.counterDiameter &&
         !d.dimensions.counterDepth && !d.footprint.empty();
}

struct Axis {
  Vec2 at;  // setup frame
  double radius{};
};

/// Moves that end at another place than over these holes, joined up; how many holes are left out.
int leaveOut(path::Operation& op, const std::vector<Axis>& axes) {
  const auto at = [&](const path::Move& m) {
    for (std::size_t k = 0; k < axes.size(); ++k)
      if (norm(m.segment.end.xy() - axes[k].at) < axes[k].radius + kAtAxis_mm) return static_cast<int>(k);
    return -1;
  };
  std::vector<path::Move> kept;
  std::vector<char> seen(axes.size(), 0);
  bool cut = false;
  for (path::Move& m : op.moves) {
    if (const int k = at(m); k >= 0) {
      seen[static_cast<std::size_t>(k)] = 1;
      cut = true;
      continue;
    }
    // From the hole before; the way to an operation's first place belongs to the change of cutter.
    if (cut) m.segment = line(kept.empty() ? m.segment.end : kept.back().segment.end, m.segment.end);
    cut = false;
    kept.push_back(m);
  }
  op.moves = std::move(kept);
  return static_cast<int>(std::count(seen.begin(), seen.end(), 1));
}

/// Changes of cutter and spindle speed follow what was in the spindle before.
bool timeAgain(SetupRun& run, const std::vector<char>& changed, const motion::Machine& machine) {
  motion::InSpindle held;
  for (std::size_t o = 0; o < run.plan.operations.size(); ++o) {
    const path::Operation& op = run.plan.operations[o];
    OperationMinutes& minutes = run.minutes[o];
    if (changed[o] != 0) {
      const auto times = motion::operationTimes(op, machine, held);
      if (!times) return false;
      minutes = {{times->moves.lower, times->moves.likely, times->moves.upper},
                 times->change,
                 times->air.likely,
                 times->cutting.likely + times->enter.likely,
                 times->enter.likely,
                 times->link.likely,
                 times->rapid.likely};
    } else {
      minutes.change = motion::changeTime(op, machine, held);
    }
    held = {op.cutter, op.conditions.spindle};
  }
  return true;
}

}  // namespace

std::optional<MachinePlan> undrilled(const MachinePlan& drawn, const PlanRequest& request,
                                     const std::vector<int>& gone) {
  for (const int index : gone)
    if (!plainHole(request.details->list[static_cast<std::size_t>(index)]) || !drills(drawn, index))
      return std::nullopt;
  MachinePlan plan = drawn;
  plan.setups.clear();
  plan.runs.clear();
  for (std::size_t k = 0; k < drawn.runs.size(); ++k) {
    const setup::Setup& setup = drawn.setups[k];
    std::vector<Axis> axes;
    for (const int index : gone) {
      const detail::Detail& d = request.details->list[static_cast<std::size_t>(index)];
      const Vec2 middle = box(d.footprint).centre();
      const Vec3 inPart = request.setups->partToPlate.applyBack({middle.x, middle.y, d.low_mm});
      axes.push_back({setup.partToSetup.apply(inPart).xy(), 0.5 * toMm(*d.dimensions.diameter)});
    }
    auto run = std::make_shared<SetupRun>(*drawn.runs[k]);
    std::vector<char> changed;
    bool any = false;
    for (std::size_t o = 0; o < run->plan.operations.size();) {
      path::Operation& op = run->plan.operations[o];
      const int holes = setup.plateSide && atAxis(op.kind) ? leaveOut(op, axes) : 0;
      if (holes == 0) {
        changed.push_back(0);
        ++o;
        continue;
      }
      any = true;
      op.holes -= holes;
      VolumeCount less;
      std::erase_if(op.shares, [&](const path::Share& s) {
        const bool goes = std::find(gone.begin(), gone.end(), s.detail) != gone.end();
        if (goes) less += s.removed;
        return goes;
      });
      if (op.moves.empty()) {
        less = op.removed;
        run->plan.operations.erase(run->plan.operations.begin() + static_cast<std::ptrdiff_t>(o));
        run->minutes.erase(run->minutes.begin() + static_cast<std::ptrdiff_t>(o));
      } else {
        op.removed = op.removed - less;
        changed.push_back(1);
        ++o;
      }
      run->plan.removed = run->plan.removed - less;
      plan.removed = plan.removed - less;
      plan.left += less;
    }
    if (any && !timeAgain(*run, changed, request.shop->machine)) return std::nullopt;
    if (run->plan.operations.empty()) continue;
    plan.setups.push_back(setup);
    plan.runs.push_back(any ? std::move(run) : drawn.runs[k]);
  }
  if (plan.blankVolume.um3 > 0)
    plan.cutAwayShare = static_cast<double>(plan.removed.um3) / static_cast<double>(plan.blankVolume.um3);
  return plan;
}

}  // namespace chipledger::estimate
