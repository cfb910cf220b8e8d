#include <chipledger/detail/carved_over.hpp>
#include <chipledger/estimate/replan.hpp>

#include <algorithm>
#include <map>
#include <mutex>
#include <set>

#include "estimate/causes.hpp"
#include "estimate/undrilled.hpp"

namespace chipledger::estimate {

int coarser(int cell_um) {
  constexpr int kCoarser = 2, kCoarsest_um = 100;
  return std::max(cell_um, std::min(kCoarsest_um, kCoarser * cell_um));
}

/// Answers by the details that are gone. The same group gives the same answer, whoever asked first.
class KnownGroups {
public:
  std::optional<Replanned> find(const std::vector<int>& gone) const {
    const std::lock_guard lock(mutex_);
    const auto it = known_.find(gone);
    return it == known_.end() ? std::nullopt : std::optional(it->second);
  }
  void keep(const std::vector<int>& gone, const Replanned& answer) {
    const std::lock_guard lock(mutex_);
    known_.emplace(gone, answer);
  }

private:
  mutable std::mutex mutex_;
  std::map<std::vector<int>, Replanned> known_;
};

Stack stackOf(const ledger::Ledger& book) {
  Stack stack{};
  for (std::size_t l = 0; l < kLineCount; ++l) stack[l] = book.cost(ledger::kLines[l]);
  return stack;
}

TimeCount machineTime(const MachinePlan& plan) {
  TimeCount sum;
  for (const auto& run : plan.runs)
    for (const OperationMinutes& m : run->minutes) sum += m.moves.likely + m.change;
  return sum;
}

namespace {

Difference minus(const Stack& with, const Stack& without, int size) {
  Difference d;
  d.size = size;
  for (std::size_t l = 0; l < kLineCount; ++l) {
    d.lines[l] = with[l] - without[l];
    d.money += d.lines[l];
  }
  return d;
}

PriceInput priceInput(const PlanRequest& request, const MachinePlan& plan, std::vector<char> dropped) {
  PriceInput input;
  input.plan = &plan;
  input.details = request.details;
  input.dropped = std::move(dropped);
  input.holes = request.holes;
  input.shop = request.shop;
  return input;
}

}  // namespace

Result<Replanner> Replanner::make(const PlanRequest& drawn, std::vector<int> batches) {
  Replanner replanner;
  replanner.drawn_ = &drawn;
  replanner.batches_ = std::move(batches);
  replanner.memory_ = makePlanMemory();
  replanner.known_ = std::make_shared<KnownGroups>();
  auto base = planPart(drawn, replanner.memory_.get(), true);
  if (!base) return tl::make_unexpected(base.error());
  replanner.base_ = std::make_shared<const MachinePlan>(std::move(*base));
  const PriceInput input = priceInput(drawn, *replanner.base_, {});
  ledger::Ledger book;
  for (int size : replanner.batches_) {
    book = bookPiece(input, size);
    replanner.with_.push_back(stackOf(book));
  }
  replanner.drawnCauses_ = std::make_shared<const CauseSide>(causeSide(input, book));
  return replanner;
}

void takeAway(const PlanRequest& drawn, const std::vector<int>& group, Variant& variant) {
  // A part changed before has no triangles of its changes.
  if (drawn.solid->changes().empty()) {
    if (auto over = detail::carvedOver(*drawn.body, drawn.setups->partToPlate, *drawn.details, group)) {
      variant.metal = std::make_shared<const field::Solid>(std::move(over->solid));
      variant.changes = std::move(over->changes);
      return;
    }
  }
  variant.changes = detail::without(*drawn.details, group);
}

Replanned Replanner::without(const std::vector<int>& group) const {
  std::set<int> all;
  for (int index : group)
    for (int child : detail::withChildren(*drawn_->details, index)) all.insert(child);
  const std::vector<int> gone(all.begin(), all.end());
  if (const auto known = known_->find(gone)) return *known;
  Variant variant;
  variant.dropped.assign(drawn_->details->list.size(), 0);
  for (int index : gone) variant.dropped[static_cast<std::size_t>(index)] = 1;
  Replanned answer;
  if (const auto plan = undrilled(*base_, *drawn_, gone)) {
    answer = against(*plan, priceInput(*drawn_, *plan, variant.dropped));
  } else {
    takeAway(*drawn_, group, variant);
    answer = changed(variant);
  }
  if (!answer.differences.empty() && answer.differences.back().money < Money{})
    answer.why =
        (answer.carving_min < 0 ? "the part is cheaper with it: where it is, no carved face is milled; "
                                : "the part is cheaper with it: what it takes the place of would cost more; ") +
        answer.why;
  known_->keep(gone, answer);
  return answer;
}

Replanned Replanner::changed(const std::vector<field::Change>& changes, std::vector<char> dropped) const {
  Variant variant;
  variant.changes = changes;
  variant.dropped = std::move(dropped);
  return changed(variant);
}

Replanned Replanner::changed(const Variant& variant) const {
  const field::Solid solid = (variant.metal ? *variant.metal : *drawn_->solid).changed(variant.changes);
  PlanRequest request = *drawn_;
  request.solid = &solid;
  request.dropped = variant.dropped;
  if (variant.details) request.details = variant.details.get();
  request.holes.insert(request.holes.end(), variant.moreHoles.begin(), variant.moreHoles.end());
  Replanned answer;
  const auto plan = planPart(request, memory_.get(), false);
  if (!plan) {
    answer.failure = plan.error().what;
    return answer;
  }
  PriceInput input = priceInput(request, *plan, variant.dropped);
  input.bosses = variant.bosses;
  return against(*plan, input);
}

Replanned Replanner::against(const MachinePlan& plan, const PriceInput& input) const {
  Replanned answer;
  ledger::Ledger book;
  for (std::size_t b = 0; b < batches_.size(); ++b) {
    book = bookPiece(input, batches_[b]);
    answer.differences.push_back(minus(with_[b], stackOf(book), batches_[b]));
  }
  answer.machine = {machineTime(*base_).ns - machineTime(plan).ns};
  answer.carving_min = carvingMinutes(*base_) - carvingMinutes(plan);
  answer.why = causes(*drawnCauses_, causeSide(input, book));
  return answer;
}

}  // namespace chipledger::estimate
