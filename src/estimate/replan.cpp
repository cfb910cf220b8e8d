#include <chipledger/estimate/replan.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace chipledger::estimate {

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

TimeCount roughingTime(const MachinePlan& plan) {
  TimeCount sum;
  for (const auto& run : plan.runs)
    for (std::size_t o = 0; o < run->minutes.size(); ++o) {
      const path::OperationKind kind = run->plan.operations[o].kind;
      if (kind == path::OperationKind::Rough || kind == path::OperationKind::RestRough ||
          kind == path::OperationKind::Skim)
        sum += run->minutes[o].moves.likely;
    }
  return sum;
}

std::vector<std::string> cuttersOf(const MachinePlan& plan) {
  std::vector<std::string> ids;
  for (const auto& run : plan.runs)
    for (const path::Operation& op : run->plan.operations) ids.push_back(op.cutter);
  std::sort(ids.begin(), ids.end());
  ids.erase(std::unique(ids.begin(), ids.end()), ids.end());
  return ids;
}

double minutesOf(TimeCount t) { return toMinutes(toDuration(t)); }

/// "6.35 plate instead of 2.54; +14.8 min roughing; +1 setup"
std::string why(const MachinePlan& with, const MachinePlan& without) {
  std::vector<std::string> causes;
  if (with.blank.step != without.blank.step)
    causes.push_back(fmt::format("{:.2f} plate instead of {:.2f}", toMm(with.blank.step), toMm(without.blank.step)));
  const double rough = minutesOf(roughingTime(with)) - minutesOf(roughingTime(without));
  const double all = minutesOf(machineTime(with)) - minutesOf(machineTime(without));
  if (std::abs(rough) >= 0.05) causes.push_back(fmt::format("{:+.1f} min roughing", rough));
  if (std::abs(all - rough) >= 0.05) causes.push_back(fmt::format("{:+.1f} min finishing", all - rough));
  std::vector<std::string> more;
  const auto a = cuttersOf(with), b = cuttersOf(without);
  std::set_difference(a.begin(), a.end(), b.begin(), b.end(), std::back_inserter(more));
  for (const std::string& id : more) causes.push_back("needs " + id);
  const int setups = static_cast<int>(with.runs.size()) - static_cast<int>(without.runs.size());
  if (setups != 0) causes.push_back(fmt::format("{:+d} setup{}", setups, std::abs(setups) == 1 ? "" : "s"));
  if (causes.empty()) return "hand work and scrap only";
  std::string text = causes.front();
  for (std::size_t i = 1; i < causes.size(); ++i) text += "; " + causes[i];
  return text;
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
  auto base = planPart(drawn, replanner.memory_.get(), true);
  if (!base) return tl::make_unexpected(base.error());
  replanner.base_ = std::make_shared<const MachinePlan>(std::move(*base));
  for (int size : replanner.batches_)
    replanner.with_.push_back(stackOf(bookPiece(priceInput(drawn, *replanner.base_, {}), size)));
  return replanner;
}

Replanned Replanner::without(const std::vector<int>& group) const {
  std::vector<char> dropped(drawn_->details->list.size(), 0);
  for (int index : group)
    for (int child : detail::withChildren(*drawn_->details, index)) dropped[static_cast<std::size_t>(child)] = 1;
  return changed(detail::without(*drawn_->details, group), std::move(dropped));
}

Replanned Replanner::changed(const std::vector<field::Change>& changes, std::vector<char> dropped) const {
  const field::Solid solid = drawn_->solid->changed(changes);
  PlanRequest request = *drawn_;
  request.solid = &solid;
  request.dropped = dropped;
  Replanned answer;
  const auto plan = planPart(request, memory_.get(), false);
  if (!plan) {
    answer.failure = plan.error().what;
    return answer;
  }
  const PriceInput input = priceInput(*drawn_, *plan, std::move(dropped));
  for (std::size_t b = 0; b < batches_.size(); ++b)
    answer.differences.push_back(minus(with_[b], stackOf(bookPiece(input, batches_[b])), batches_[b]));
  answer.machine = {machineTime(*base_).ns - machineTime(*plan).ns};
  answer.why = why(*base_, *plan);
  return answer;
}

}  // namespace chipledger::estimate
