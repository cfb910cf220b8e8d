#include <chipledger/vary/sweep.hpp>

#include <fmt/format.h>
#include <chipledger/detail/change.hpp>
#include <chipledger/estimate/replan.hpp>
#include <chipledger/parallel/parallel.hpp>

#include <algorithm>
#include <atomic>
#include <map>
#include <mutex>

#include "vary/points.hpp"
#include "vary/run_key.hpp"

namespace chipledger::vary {

struct Sweep::Plan : Points {};

namespace {

/// How the points come about, where that is not how `price` goes about it.
void sayHow(const Points& points, Notes& notes) {
  if (points.coarse())
    notes.push_back(
        {NoteSeverity::Info, "sweep-cells",
         fmt::format("Points that take the cutters of the part as drawn are planned on cells of {:.3g} mm and moved by "
                     "what that part differs on its own of {:.3g} mm; the others on its own.",
                     estimate::coarser(points.drawn.cell_um) / 1000.0, points.drawn.cell_um / 1000.0),
         ""});
  for (const Target& t : points.priced)
    if (t.weighsInPlan)
      notes.push_back({NoteSeverity::Info, "plan-kept",
                       "Priced on the plan at the value in force: cutters are not chosen anew.", t.axis.key});
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
  shared->batches = table.batches;
  sayHow(*shared, table.notes);
  table.run = runKey(shared->drawn, shop, table);
  sweep.shared_ = std::move(shared);
  return sweep;
}

Table Sweep::run(std::vector<Row> known, const Watch& watch) const {
  Table table = table_;
  const std::size_t perPlan = shared_->rowsEach();
  const auto add = [&](Row row) {
    table.rows.push_back(std::move(row));
    markJumps(table, table.rows.size() - 1);
    if (watch.onRow) watch.onRow(table, table.rows.size() - 1);
  };
  const std::size_t from = std::min(known.size(), table.size()) / perPlan, plans = shared_->plans();
  for (std::size_t r = 0; r < from * perPlan; ++r) add(std::move(known[r]));
  if (from == plans) return table;
  const Points::Basis basis = shared_->basis();
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
    std::vector<Row> rows = shared_->rows(mine, basis);
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
