#include "vary/points.hpp"

#include <chipledger/estimate/doubt.hpp>
#include <chipledger/estimate/price.hpp>
#include <chipledger/estimate/replan.hpp>

#include <algorithm>

namespace chipledger::vary {
namespace {

/// Fewer plans than this are not worth two more of the part as drawn.
constexpr std::size_t kFewPlans = 4;

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
  for (std::size_t a = 0; a < values.size(); ++a) {
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

Row priced(const estimate::PriceInput& input, int batch) {
  Row row;
  row.batch = batch;
  const ledger::Ledger book = estimate::bookPiece(input, batch);
  row.lines = estimate::stackOf(book);
  row.perPiece = book.cost();
  const estimate::Band band = estimate::priceBand(input, batch);
  row.low = band.low;
  row.high = band.high;
  row.machine = book.minutes().likely;
  row.hands = book.hands();
  row.plate = input.plan->blank.step;
  row.leftBeforeNextStep = input.plan->blank.leftBeforeNextStep;
  row.removed = input.plan->removed;
  row.setups = static_cast<int>(input.plan->runs.size());
  row.cutters = cuttersOf(*input.plan);
  return row;
}

void moveBy(Row& row, const Row& fine, const Row& coarse) {
  for (std::size_t l = 0; l < estimate::kLineCount; ++l) row.lines[l] += fine.lines[l] - coarse.lines[l];
  row.perPiece += fine.perPiece - coarse.perPiece;
  row.low += fine.low - coarse.low;
  row.high += fine.high - coarse.high;
  row.machine.ns += fine.machine.ns - coarse.machine.ns;
  row.hands.ns += fine.hands.ns - coarse.hands.ns;
  row.removed.um3 += fine.removed.um3 - coarse.removed.um3;
}

}  // namespace

std::size_t Points::plans() const { return countOf(planned); }
std::size_t Points::rowsEach() const { return countOf(priced) * batches.size(); }

bool Points::coarse() const {
  const bool shopVaries =
      std::any_of(planned.begin(), planned.end(), [](const Target& t) { return t.kind == Target::Kind::Shop; });
  return !shopVaries && plans() >= kFewPlans && estimate::coarser(drawn.cell_um) != drawn.cell_um;
}

Points::Planned Points::plan(const std::vector<double>& at, int cell_um, estimate::PlanMemory* memory,
                             bool fill) const {
  Planned out;
  shop::Shop varied = *shop;
  for (std::size_t a = 0; a < at.size(); ++a)
    if (planned[a].kind == Target::Kind::Shop) planned[a].set(varied, at[a]);
  auto metal = changedMetal(drawn, planned, at);
  if (!metal) {
    out.hole = metal.error().what;
    return out;
  }
  estimate::PlanRequest request;
  request.body = drawn.body;
  request.setups = &drawn.setups;
  request.details = &metal->details;
  request.solid = metal->solid.get();
  request.holes = out.holes = estimate::holeOrders(metal->details);
  request.shop = &varied;
  request.material = &drawn.material;
  request.cell_um = cell_um;
  auto made = estimate::planPart(request, memory, fill);
  if (made)
    out.machine = std::move(*made);
  else
    out.hole = made.error().what;
  out.details = std::move(metal->details);
  return out;
}

std::vector<Row> Points::price(const Planned& point, const std::vector<double>& at) const {
  std::vector<Row> rows;
  shop::Shop varied = *shop;
  for (std::size_t a = 0; a < at.size(); ++a)
    if (planned[a].kind == Target::Kind::Shop) planned[a].set(varied, at[a]);
  estimate::MachinePlan machine = point.machine;  // its runs are shared, not copied
  for (std::size_t p = 0; p < countOf(priced); ++p) {
    const std::vector<double> further = valuesAt(priced, p);
    for (std::size_t a = 0; a < further.size(); ++a) {
      priced[a].set(varied, further[a]);
      if (priced[a].priceOfPlate)
        machine.blank.price = money(toUnits(point.machine.blank.price) * further[a] / priced[a].axis.drawn);
    }
    for (const int batch : batches) {
      Row row;
      if (point.hole.empty())
        row = vary::priced({&machine, &point.details, {}, point.holes, &varied}, batch);
      else
        row.hole = point.hole;
      row.batch = batch;
      row.at = at;
      row.at.insert(row.at.end(), further.begin(), further.end());
      rows.push_back(std::move(row));
    }
  }
  return rows;
}

Points::Basis Points::basis() const {
  Basis basis;
  basis.cell_um = drawn.cell_um;
  if (!coarse()) return basis;
  basis.ownCells = estimate::makePlanMemory();
  const Planned fine = plan({}, drawn.cell_um, basis.ownCells.get(), true);
  basis.cell_um = estimate::coarser(drawn.cell_um);
  basis.memory = estimate::makePlanMemory();
  const Planned rough = plan({}, basis.cell_um, basis.memory.get(), true);
  if (!fine.hole.empty() || !rough.hole.empty()) return {drawn.cell_um, nullptr, nullptr, {}, {}};
  basis.cutters = cuttersOf(rough.machine);
  basis.more = price(fine, {});
  const std::vector<Row> onCoarse = price(rough, {});
  for (std::size_t r = 0; r < basis.more.size(); ++r) {
    Row more;
    moveBy(more, basis.more[r], onCoarse[r]);
    basis.more[r] = std::move(more);
  }
  return basis;
}

std::vector<Row> Points::rows(std::size_t index, const Basis& basis) const {
  const std::vector<double> at = valuesAt(planned, index);
  // Only the plan as drawn is remembered: what a point finds does not depend on which points came before it.
  const Planned point = plan(at, basis.cell_um, basis.memory.get(), false);
  if (basis.ownCells && point.hole.empty() && cuttersOf(point.machine) != basis.cutters)
    return price(plan(at, drawn.cell_um, basis.ownCells.get(), false), at);
  std::vector<Row> rows = price(point, at);
  for (std::size_t r = 0; r < basis.more.size(); ++r)
    if (rows[r].hole.empty()) moveBy(rows[r], basis.more[r], {});
  return rows;
}

}  // namespace chipledger::vary
