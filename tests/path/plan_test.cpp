// A whole plate planned and walked: balance, gouges, order, left metal.
#include <algorithm>

#include "path/shop_floor.hpp"

namespace chipledger::path {
namespace {

struct Plate {
  test::PlatePart part;
  std::vector<int> back, outer;
  int pivot{};
  Plate() : part(test::roundedRectangle({0, 0}, {60, 26}, 6), 2.0, 5.2) {
    part.island(test::roundedRectangle({14, 10}, {28, 16}, 2.99), 5.2);
    part.pocket(test::roundedRectangle({30, 6}, {44, 12}, 1.7), 1.0, detail::Side::Back);
    part.window(test::roundedRectangle({36, 15}, {46, 22}, 2.2));
    pivot = part.bore({8, 13}, 5.0);
    const int screw = part.bore({52, 13}, 2.1);
    part.finish();
    back = {3, 4, pivot, screw};
    outer = {0, 1, 2};
  }
};

TEST(Plan, RemovedPlusLeftIsTheBlank) {
  Plate p;
  ShopFloor floor(p.part, -0.4, 5.7);
  const VolumeCount before = field::metalLeft(floor.stock);
  const SetupPlan back = floor.run(0, p.back, false, {{p.pivot, true, ""}});
  const SetupPlan outer = floor.run(1, p.outer, true);
  EXPECT_EQ((back.removed + outer.removed + field::metalLeft(floor.stock)).um3, before.um3);
  for (const SetupPlan* plan : {&back, &outer}) {
    VolumeCount sum;
    for (const Operation& op : plan->operations) {
      VolumeCount shares;
      for (const Share& s : op.shares) shares += s.removed;
      EXPECT_EQ(shares.um3, op.removed.um3) << op.id;
      sum += op.removed;
    }
    EXPECT_EQ(sum.um3, plan->removed.um3);
  }
}

TEST(Plan, NothingIsGouged) {
  Plate p;
  ShopFloor floor(p.part, -0.4, 5.7);
  EXPECT_EQ(floor.run(0, p.back, false, {{p.pivot, true, ""}}).gouged.um3, 0);
  EXPECT_EQ(floor.run(1, p.outer, true).gouged.um3, 0);
}

TEST(Plan, LittleIsLeftInsideTheOutline) {
  Plate p;
  ShopFloor floor(p.part, -0.4, 5.7);
  floor.run(0, p.back, false, {{p.pivot, true, ""}});
  floor.run(1, p.outer, true);
  // Over the part and in its openings the stock must stand at the target, but for strips along walls: the finishing
  // guard (0.006 mm) and half a cell.
  const field::SetupView view = p.part.view(1);
  const field::HeightField target = view.heights(floor.stock.top.spec);
  const Region inside = offset(p.part.solid().section(1.9), -0.1);
  const Region walls = offset(p.part.solid().section(3.0), 0.1);
  double left = 0.0, whole = 0.0;
  const field::GridSpec& g = target.spec;
  for (int j = 0; j < g.ny; ++j) {
    for (int i = 0; i < g.nx; ++i) {
      if (target(i, j) == field::kNoMetal) continue;
      const double over = (floor.stock.top(i, j) - target(i, j)) * 1e-3 * g.cell() * g.cell();
      const Vec2 c = g.centre(i, j);
      if (!contains(inside, c) || contains(walls, c)) continue;
      left += over;
      whole += g.cell() * g.cell();
    }
  }
  EXPECT_NEAR(left / whole, 0.0, 0.002);
}

TEST(Plan, OrderOfWork) {
  Plate p;
  ShopFloor floor(p.part, -0.4, 5.7);
  const SetupPlan back = floor.run(0, p.back, false, {{p.pivot, true, ""}});
  const auto place = [](const SetupPlan& plan, OperationKind kind) {
    const auto at = std::find_if(plan.operations.begin(), plan.operations.end(),
                                 [&](const Operation& o) { return o.kind == kind; });
    EXPECT_NE(at, plan.operations.end()) << word(kind);
    return at - plan.operations.begin();
  };
  // Job 2.4: skim, spot, drill, ream, then pockets.
  EXPECT_LT(place(back, OperationKind::Skim), place(back, OperationKind::Spot));
  EXPECT_LT(place(back, OperationKind::Spot), place(back, OperationKind::Drill));
  EXPECT_LT(place(back, OperationKind::Drill), place(back, OperationKind::Ream));
  EXPECT_LT(place(back, OperationKind::Ream), place(back, OperationKind::Rough));
  const SetupPlan outer = floor.run(1, p.outer, true);
  EXPECT_LT(place(outer, OperationKind::Rough), place(outer, OperationKind::Floor));
  EXPECT_LT(place(outer, OperationKind::Floor), place(outer, OperationKind::Wall));
  EXPECT_LT(place(outer, OperationKind::Wall), place(outer, OperationKind::IslandTop));
  EXPECT_LT(place(outer, OperationKind::IslandTop), place(outer, OperationKind::Outline));
}

TEST(Plan, MovesFollowEachOther) {
  Plate p;
  ShopFloor floor(p.part, -0.4, 5.7);
  floor.run(0, p.back, false, {{p.pivot, true, ""}});
  floor.run(1, p.outer, true);
  for (const SetupPlan& plan : floor.plans)
    for (const Operation& op : plan.operations)
      for (std::size_t i = 1; i < op.moves.size(); ++i) {
        ASSERT_LT(norm(op.moves[i].segment.start - op.moves[i - 1].segment.end), 1e-6) << op.id << " move " << i;
        if (op.moves[i].kind != MoveKind::Rapid) {
          ASSERT_GT(op.moves[i].feed.base, 0.0) << op.id;
        }
      }
}

}  // namespace
}  // namespace chipledger::path
