#include <chipledger/parallel/parallel.hpp>
#include <chipledger/path/plan.hpp>

#include <algorithm>
#include <cmath>
#include <optional>

#include "path/planner.hpp"

namespace chipledger::path {
namespace {

// Writes `value` into the cells whose centre lies in the region (even-odd), where `may` allows it.
template <class May>
void paint(const Region& region, field::Grid<std::int32_t>& grid, std::int32_t value, May may) {
  if (region.empty()) return;
  const Box2 b = box(region);
  const int first = std::max(0, grid.spec.row(b.min.y)), last = std::min(grid.spec.ny - 1, grid.spec.row(b.max.y));
  std::vector<double> cuts;
  for (int j = first; j <= last; ++j) {
    const double y = grid.spec.centre(0, j).y;
    cuts.clear();
    for (const Ring& ring : region.rings) {
      for (std::size_t i = 0, k = ring.size() - 1; i < ring.size(); k = i++) {
        const Vec2 p = ring[i], q = ring[k];
        if ((p.y > y) != (q.y > y)) cuts.push_back(p.x + (q.x - p.x) * (y - p.y) / (q.y - p.y));
      }
    }
    std::sort(cuts.begin(), cuts.end());
    for (std::size_t c = 0; c + 1 < cuts.size(); c += 2) {
      for (int i = std::max(0, grid.spec.column(cuts[c]));
           i <= std::min(grid.spec.nx - 1, grid.spec.column(cuts[c + 1])); ++i) {
        const double x = grid.spec.centre(i, j).x;
        if (x > cuts[c] && x < cuts[c + 1] && may(grid.spec.at(i, j))) grid.cells[grid.spec.at(i, j)] = value;
      }
    }
  }
}

// Steps in which roughing follows sloped ground: what a ball cutter of 10 mm takes at once beside its allowance.
constexpr double kTerrace_mm = 0.3;  // common practice, no source
// Metal that stands over a finished face by less is the rounding of earlier setups' cells.
constexpr double kStandsOver_mm = 0.06;

// The stock as regions: where it stands above a height.
class StandingStock {
public:
  explicit StandingStock(const field::HeightField& top) : top_(top) {}
  Region above(double z_mm) const {
    const auto z = static_cast<std::int32_t>(std::lround(z_mm * 1000.0));
    std::vector<std::uint8_t> mask(top_.cells.size(), 0);
    for (std::size_t c = 0; c < mask.size(); ++c) mask[c] = top_.cells[c] > z ? 1 : 0;
    return regionOfCells(top_.spec, mask);
  }

private:
  const field::HeightField& top_;
};

std::vector<Fill> fillsOf(const std::vector<HolePlan>& holes, bool side) {
  std::vector<Fill> fills;
  constexpr double kTouch_mm = 0.01;  // a touch wider: no sliver of the hole's own border is metal to cut
  for (const HolePlan& h : holes) {
    // On plate sides the chart knows the drilled holes by their details.
    if (side) fills.push_back({disc(h.spot.centre, 0.5 * h.spot.diameter_mm + kTouch_mm), h.spot.top_mm});
    if (h.counterbore != nullptr)
      fills.push_back({disc(h.spot.centre, 0.5 * h.spot.seat_mm + kTouch_mm), h.spot.seatTop_mm});
  }
  return fills;
}

}  // namespace

Result<SetupPlan> planSetup(const Work& work, field::StockBlock& stock) {
  if (work.view == nullptr || work.material == nullptr || work.tables == nullptr)
    return fault(FaultCode::Internal, "path", "the planner was called without a view, material or tables",
                 "report this");
  SetupPlan none;
  // A further direction has a stock of its own, in its own frame.
  const bool side = work.setup != nullptr && !work.setup->plateSide;
  const bool nothing =
      work.served.empty() && !work.cutOutline && work.blankTop_mm <= work.view->high() + kAboveLevel_mm;
  if (nothing) return none;

  std::vector<HolePlan> holes = planHoles(work);
  std::vector<int> drilled;
  for (const HolePlan& h : holes) drilled.push_back(h.spot.detail);
  const Frame plateToSetup = side ? Frame{} : work.view->plateToSetup();
  const field::GridSpec spec = field::gridInSetup(stock.top.spec, plateToSetup);
  // The cells and the chart, beside each other: both only look at the part.
  field::Solid::View seen;
  std::optional<Chart> charted;
  forEachTask(2, [&](std::size_t task) {
    if (task == 0)
      charted = Chart::of(work, drilled, fillsOf(holes, side));
    else
      seen = work.view->view(spec);
  });
  Chart chart = std::move(*charted);
  field::Aim aim;
  aim.target = std::move(seen.height);
  aim.detail = std::move(seen.face);
  if (work.details != nullptr) {
    const std::vector<int>& of = work.details->faceDetail;
    for (std::int32_t& cell : aim.detail.cells)
      cell = cell >= 0 && cell < static_cast<std::int32_t>(of.size()) ? of[static_cast<std::size_t>(cell)] : -1;
    for (int index : work.served) {
      const detail::Detail& d = work.details->list[static_cast<std::size_t>(index)];
      if (!d.through || d.kind == detail::DetailKind::Outline || side) continue;
      paint(footprintInSetup(work, d), aim.detail, index,
            [&](std::size_t cell) { return aim.target.cells[cell] == field::kNoMetal; });
    }
  }
  // The drill of a thread takes metal that the drawing still shows round the bore: meant, not a gouge.
  for (const HolePlan& h : holes) {
    if ((h.tap == nullptr && h.threadMill == nullptr) || h.drill == nullptr) continue;
    const std::int32_t bottom =
        h.spot.through ? field::kNoMetal : static_cast<std::int32_t>(std::floor(h.spot.bottom_mm * 1000.0));
    paint(disc(h.spot.centre, 0.5 * toMm(h.drill->diameter) + aim.target.spec.cell()), aim.target, bottom,
          [](std::size_t) { return true; });
  }
  if (side) {
    const StandingStock standing(stock.top);
    chart.keepFloors([&](double z) { return standing.above(z + kStandsOver_mm); });
  }
  Ground ground = groundOf(work, aim.target, aim.detail, drilled);
  if (side && !ground.empty()) {
    // Of the sloped ground only what an earlier setup has left standing.
    std::vector<std::uint8_t> mask(ground.cells.size(), 0);
    for (std::size_t c = 0; c < mask.size(); ++c)
      mask[c] = ground.cells[c] != 0 && stock.top.cells[c] > aim.target.cells[c] + std::lround(1000.0 * kStandsOver_mm);
    ground.cells = mask;
    ground.region = intersect(ground.region, offset(regionOfCells(spec, mask), spec.cell()));
  }
  if (!ground.empty()) chart.addTerraces(ground.region, ground.low_mm, ground.high_mm, kTerrace_mm);
  field::Removal removal(stock, plateToSetup, std::move(aim));
  Planner planner(work, std::move(chart), removal, std::move(holes), std::move(ground));
  return planner.run();  // the removal hands the metal back as it goes
}

}  // namespace chipledger::path
