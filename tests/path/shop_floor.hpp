#pragma once
// A whole setup planned from a plate part with the built-in tables.
#include <chipledger/cutting/tables.hpp>
#include <chipledger/path/plan.hpp>

#include <gtest/gtest.h>

#include "support/plate_part.hpp"

namespace chipledger::path {

struct ShopFloor {
  test::PlatePart& part;
  double top_mm{}, bottom_mm{};  ///< blank in the plate frame
  double side_mm{3.0};
  int cell_um{50};
  Region blankPlan;  ///< where the blank is no upright rectangle: its plan in the plate frame
  field::StockBlock stock;
  cutting::Material material;
  const cutting::CuttingTables* tables{&cutting::builtInTables()};
  std::vector<cutting::Cutter> crib{cutting::builtInTables().crib};
  Practice practice;
  std::vector<SetupPlan> plans;

  ShopFloor(test::PlatePart& p, double bottom, double top, int cell = 50)
      : part(p), top_mm(top), bottom_mm(bottom), cell_um(cell) {
    const Box2 b = blankBox();
    field::GridSpec spec;
    spec.cell_um = cell_um;
    constexpr double kAround_mm = 1.0;
    const double h = spec.cell();
    spec.nx = static_cast<int>(std::ceil((b.size().x + 2 * kAround_mm) / h));
    spec.ny = static_cast<int>(std::ceil((b.size().y + 2 * kAround_mm) / h));
    spec.x0_mm = b.min.x - kAround_mm;
    spec.y0_mm = b.min.y - kAround_mm;
    stock = field::fullBlank(spec, {{b.min.x, b.min.y, bottom_mm}, {b.max.x, b.max.y, top_mm}});
    material = *cutting::findMaterial(cutting::builtInTables(), "Ti-6Al-4V");
  }
  Box2 blankBox() const {
    Box2 b;
    const Box2 o{{part.body.box.min.x, part.body.box.min.y}, {part.body.box.max.x, part.body.box.max.y}};
    b.add(o.min - Vec2{side_mm, side_mm});
    b.add(o.max + Vec2{side_mm, side_mm});
    return b;
  }
  /// A blank of another plan, on the same grid: cells outside it hold no metal.
  void useBlank(Region plan) {
    blankPlan = std::move(plan);
    const field::GridSpec& g = stock.top.spec;
    for (int j = 0; j < g.ny; ++j)
      for (int i = 0; i < g.nx; ++i) {
        const bool metal = contains(blankPlan, g.centre(i, j));
        stock.top(i, j) = metal ? static_cast<std::int32_t>(std::lround(top_mm * 1000)) : field::kNoMetal;
        stock.bottom(i, j) = metal ? static_cast<std::int32_t>(std::lround(bottom_mm * 1000)) : field::kNoBottom;
      }
  }
  SetupPlan& run(int setup, std::vector<int> served, bool cutOutline, std::vector<HoleOrder> holes = {}) {
    const field::SetupView view = part.view(setup);
    Work work;
    work.view = &view;
    work.setup = &part.plan.setups[static_cast<std::size_t>(setup)];
    work.setupIndex = setup;
    work.details = &part.details;
    work.served = std::move(served);
    work.holes = std::move(holes);
    const Box2 b = blankBox();
    const Frame f = view.plateToSetup();
    std::vector<Ring> ring(1);
    const Region plan = blankPlan.empty() ? rectangle(b.min, b.max) : blankPlan;
    for (Vec2 p : plan.rings[0]) ring[0].push_back(f.apply({p.x, p.y, 0}).xy());
    work.blank = clean(ring);
    const double a = f.apply({0, 0, top_mm}).z, c = f.apply({0, 0, bottom_mm}).z;
    work.blankTop_mm = std::max(a, c);
    work.blankBottom_mm = std::min(a, c);
    work.cutOutline = cutOutline;
    work.firstSide = plans.empty();
    work.material = &material;
    work.tables = tables;
    work.crib = crib;
    work.practice = practice;
    work.moneyPerMachineMinute = 1.0;
    work.cell_um = cell_um;
    Result<SetupPlan> result = planSetup(work, stock);
    EXPECT_TRUE(result.has_value());
    plans.push_back(*result);
    return plans.back();
  }
};

/// Minutes by length over feed; rapids at 20 m/min.
inline double minutesOf(const SetupPlan& plan) {
  double seconds = 0.0;
  for (const Operation& op : plan.operations)
    for (const Move& m : op.moves)
      seconds += length(m.segment) / (m.kind == MoveKind::Rapid ? 20000.0 / 60.0 : m.feed.base) + toSeconds(m.dwell);
  return seconds / 60.0;
}

}  // namespace chipledger::path
