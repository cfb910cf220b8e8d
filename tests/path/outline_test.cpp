// Concave corners of the outline: what the cutter that goes round leaves is taken by a smaller one, and the tabs stay.
#include <chipledger/path/outline.hpp>

#include <algorithm>
#include <cmath>

#include "path/shop_floor.hpp"

namespace chipledger::path {
namespace {

/// An L with an inside corner of radius 1 at (12, 10).
Region bracket() {
  const Region sharp = subtract(rectangle({0, 0}, {40, 24}), rectangle({12, 10}, {41, 25}));
  return offset(offset(sharp, 1.0), -1.0);
}

TEST(Outline, TheInsideCornerIsFinishedByASmallerCutter) {
  test::PlatePart part(bracket(), 2.0, 2.0);
  part.finish();
  ShopFloor floor(part, -0.3, 2.3);
  floor.run(0, {}, false);
  const SetupPlan plan = floor.run(1, {0, 1}, true);
  EXPECT_EQ(plan.gouged.um3, 0);
  std::vector<std::string> round;
  for (const Operation& op : plan.operations)
    if (op.kind == OperationKind::Outline && (round.empty() || round.back() != op.cutter)) round.push_back(op.cutter);
  ASSERT_GE(round.size(), 2u);
  const auto diameter = [](const std::string& id) {
    return toMm(cutting::findCutter(cutting::builtInTables(), id)->diameter);
  };
  EXPECT_GT(diameter(round.front()), 2.0);
  EXPECT_LE(diameter(round.back()), 2.0);
  // (1 - pi / 4) (R^2 - r^2) would stay for a cutter of radius R: nothing of it does, but a strip beside the wall.
  const Region corner = subtract(intersect(disc({12, 10}, 2.0), offset(bracket(), 2.0)), offset(bracket(), 0.1));
  double stays = 0.0;
  const field::GridSpec& g = floor.stock.top.spec;
  for (int j = 0; j < g.ny; ++j)
    for (int i = 0; i < g.nx; ++i)
      if (floor.stock.top(i, j) != field::kNoMetal && contains(corner, g.centre(i, j))) stays += g.cell() * g.cell();
  EXPECT_LT(stays, 0.02);
}

TEST(Outline, WithoutInsideCornersOneCutterGoesRound) {
  test::PlatePart part(test::roundedRectangle({0, 0}, {40, 24}, 3), 2.0, 2.0);
  part.finish();
  ShopFloor floor(part, -0.3, 2.3);
  floor.run(0, {}, false);
  const SetupPlan plan = floor.run(1, {0, 1}, true);
  std::vector<std::string> round;
  for (const Operation& op : plan.operations)
    if (op.kind == OperationKind::Outline) round.push_back(op.cutter);
  ASSERT_EQ(round.size(), 2u);  // rough and finish
  EXPECT_EQ(round[0], round[1]);
}

TEST(Outline, TabsStandWhereThePathStaysUp) {
  OutlineTask task;
  task.part = rectangle({0, 0}, {60, 30});
  task.top_mm = 2.0;
  task.bottom_mm = -0.5;
  task.partLow_mm = 0.0;
  task.radius_mm = 4.0;
  task.slotStep_mm = 1.0;
  task.tabs = 4;
  task.tabWidth_mm = 3.0;
  task.tabHeight_mm = 0.4;
  // Along four straight stretches of tab width and a diameter, each a band of one diameter with round ends.
  const double length = task.tabWidth_mm + 2.0 * task.radius_mm;
  const double one = length * 2.0 * task.radius_mm + std::acos(-1.0) * task.radius_mm * task.radius_mm;
  EXPECT_NEAR(area(tabPlaces(task)), 4.0 * one, 0.05 * 4.0 * one);
}

}  // namespace
}  // namespace chipledger::path
