#include <chipledger/vary/sweep.hpp>

#include <fmt/format.h>
#include <chipledger/detail/change.hpp>
#include <chipledger/estimate/doubt.hpp>
#include <chipledger/estimate/drawn_part.hpp>
#include <chipledger/estimate/price.hpp>
#include <chipledger/estimate/replan.hpp>
#include <chipledger/parallel/parallel.hpp>

#include <algorithm>
#include <atomic>
#include <map>
#include <mutex>

#include "vary/run_key.hpp"
#include "vary/target.hpp"

namespace chipledger::vary {

struct Sweep::Plan {
  estimate::DrawnPart drawn;
  const shop::Shop* shop{};
  std::vector<Target> planned, priced;
};

namespace {

/// Values of a run through `axes` at place `index`, the last axis fastest.
std::vector<double> valuesAt(const std::vector<Target>& axes, std::size_t index) {
  std::vector<double> values(axes.size());
  for (std::size_t a = axes.size(); a-- > 0;) {
    const std::vector<double>& list = axes[a].axis.values;
    values[a] = list[index % list.size()];
    index /= list.size();
  }
  return values;
}

std::size_t countOf(const std::vector<Target>& axes) {
  std::size_t count = 1;
  for (const Target& t : axes) count *= t.axis.values.size();
  return count;
}

/// The metal and the details with every change of a point made.
struct Metal {
  detail::Details details;
  std::shared_ptr<const field::Solid> solid;
};

Result<Metal> changedMetal(const estimate::DrawnPart& drawn, const std::vector<Target>& axes,
                           const std::vector<double>& values) {
  Metal metal{drawn.details, drawn.solid};
  for (std::size_t a = 0; a < axes.size(); ++a) {
    if (axes[a].kind != Target::Kind::Detail) continue;
    const detail::Standing standing{drawn.body, drawn.setups.partToPlate, metal.solid.get(), &metal.details};
    auto changed = detail::withDimension(standing, axes[a].detail, axes[a].dimension, mm(values[a]));
    if (!changed) return tl::make_unexpected(changed.error());
    if (!changed->changes.empty())
      metal.solid = std::make_shared<const field::Solid>(metal.solid->changed(std::move(changed->changes)));
    metal.details = std::move(changed->details);
  }
  return metal;
}

std::vector<std::string> cuttersOf(const estimate::MachinePlan& plan) {
  std::vector<std::string> ids;
  for (const auto& run : plan.runs)
    for (const path::Operation& op : run->plan.operations) ids.push_back(op.cutter);
  std::sort(ids.begin(), ids.end());
  ids.erase(std::unique(ids.begin(), ids.end()), ids.end());
  return ids;
}

}  // namespace

Result<Sweep> Sweep::make(const part::Part& part, const part::Body& body, const shop::Shop& shop,
                          const estimate::Options& options, const std::vector<Axis>& axes) {
  if (axes.empty())
    return fault(FaultCode::Usage, "vary", "Nothing is varied.",
                 "Say what and through which values: --set island-1.height=2:5:0.25.");
  auto drawn = estimate::drawnPart(body, shop, options);
  if (!drawn) return tl::make_unexpected(drawn.error());
  auto shared = std::make_shared<Plan>();
  shared->drawn = std::move(*drawn);
  shared->shop = &shop;
  Sweep sweep;
  Table& table = sweep.table_;
  table.batches = options.batches;
  const detail::Standing standing{&body, shared->drawn.setups.partToPlate, shared->drawn.solid.get(),
                                  &shared->drawn.details};
  for (std::size_t a = 0; a < axes.size(); ++a) {
    for (std::size_t b = 0; b < a; ++b)
      if (axes[a].key == axes[b].key)
        return fault(FaultCode::Usage, "--set " + axes[a].key, "It is varied twice.", "Give all its values at once.");
    auto target = targetOf(axes[a], standing, shop, options.material);
    if (!target) return tl::make_unexpected(target.error());
    if (target->kind == Target::Kind::Batch) {
      table.batches.clear();
      for (const double v : axes[a].values) table.batches.push_back(static_cast<int>(v));
    } else {
      (target->axis.planned ? shared->planned : shared->priced).push_back(std::move(*target));
    }
  }
  for (const std::vector<Target>* list : {&shared->planned, &shared->priced})
    for (const Target& t : *list) table.axes.push_back(t.axis);
  if (table.size() > kMostRows)
    return fault(FaultCode::Limit, "--set",
                 fmt::format("The grid has {} points; at most {} are taken.", table.size(), kMostRows),
                 "Take wider steps or fewer values.");
  table.file = part.file;
  table.body = body.name;
  table.currency = shop.currency;
  for (const Notes* notes : std::initializer_list<const Notes*>{&part.notes, &shared->drawn.setups.notes,
                                                                &shared->drawn.details.notes, &shared->drawn.notes})
    table.notes.insert(table.notes.end(), notes->begin(), notes->end());
  table.questions = shared->drawn.details.questions;
  table.run = runKey(shared->drawn, shop, table);
  sweep.shared_ = std::move(shared);
  return sweep;
}

std::vector<Row> Sweep::rowsOf(std::size_t planned) const {
  const Plan& plan = *shared_;
  const std::vector<double> at = valuesAt(plan.planned, planned);
  shop::Shop shop = *plan.shop;
  for (std::size_t a = 0; a < at.size(); ++a)
    if (plan.planned[a].kind == Target::Kind::Shop) plan.planned[a].set(shop, at[a]);
  std::string hole;
  estimate::MachinePlan machine;
  std::vector<path::HoleOrder> holes;
  auto metal = changedMetal(plan.drawn, plan.planned, at);
  if (!metal) {
    hole = metal.error().what;
  } else {
    estimate::PlanRequest request;
    request.body = plan.drawn.body;
    request.setups = &plan.drawn.setups;
    request.details = &metal->details;
    request.solid = metal->solid.get();
    request.holes = holes = estimate::holeOrders(metal->details);
    request.shop = &shop;
    request.material = &plan.drawn.material;
    request.cell_um = plan.drawn.cell_um;
    auto made = estimate::planPart(request);
    if (made)
      machine = std::move(*made);
    else
      hole = made.error().what;
  }
  std::vector<Row> rows;
  for (std::size_t p = 0; p < countOf(plan.priced); ++p) {
    const std::vector<double> further = valuesAt(plan.priced, p);
    for (std::size_t a = 0; a < further.size(); ++a) plan.priced[a].set(shop, further[a]);
    for (const int batch : table_.batches) {
      Row row;
      row.at = at;
      row.at.insert(row.at.end(), further.begin(), further.end());
      row.batch = batch;
      row.hole = hole;
      if (hole.empty()) {
        const estimate::PriceInput input{&machine, &metal->details, {}, holes, &shop};
        const ledger::Ledger book = estimate::bookPiece(input, batch);
        row.lines = estimate::stackOf(book);
        row.perPiece = book.cost();
        const estimate::Band band = estimate::priceBand(input, batch);
        row.low = band.low;
        row.high = band.high;
        row.machine = book.minutes().likely;
        row.hands = book.hands();
        row.plate = machine.blank.step;
        row.leftBeforeNextStep = machine.blank.leftBeforeNextStep;
        row.removed = machine.removed;
        row.setups = static_cast<int>(machine.runs.size());
        row.cutters = cuttersOf(machine);
      }
      rows.push_back(std::move(row));
    }
  }
  return rows;
}

Table Sweep::run(std::vector<Row> known, const Watch& watch) const {
  Table table = table_;
  const std::size_t perPlan = countOf(shared_->priced) * table_.batches.size();
  const auto add = [&](Row row) {
    table.rows.push_back(std::move(row));
    markJumps(table, table.rows.size() - 1);
    if (watch.onRow) watch.onRow(table, table.rows.size() - 1);
  };
  const std::size_t from = std::min(known.size(), table.size()) / perPlan, plans = countOf(shared_->planned);
  for (std::size_t r = 0; r < from * perPlan; ++r) add(std::move(known[r]));
  // Plans are taken in order by whichever thread is free and handed on in order.
  std::atomic<std::size_t> next{from};
  std::atomic<bool> stopped{false};
  std::mutex guard;
  std::map<std::size_t, std::vector<Row>> ready;
  std::size_t due = from;
  forEachTask(plans - from, [&](std::size_t) {
    if (stopped || (watch.stop && watch.stop())) {
      stopped = true;
      return;
    }
    const std::size_t mine = next++;
    std::vector<Row> rows = rowsOf(mine);
    const std::lock_guard lock(guard);
    ready.emplace(mine, std::move(rows));
    for (auto it = ready.find(due); it != ready.end(); it = ready.find(due)) {
      for (Row& row : it->second) add(std::move(row));
      ready.erase(it);
      ++due;
    }
  });
  return table;
}

}  // namespace chipledger::vary
