#include <chipledger/estimate/minutes_map.hpp>
#include <chipledger/motion/planner.hpp>

#include <gtest/gtest.h>

#include <numeric>

namespace chipledger::estimate {
namespace {

/// One line of 40 mm along x at 600 mm/min with a cutter of 6 mm: 4 s, and a standing second at its end.
Estimate oneLine() {
  Estimate e;
  e.setups.resize(2);
  OperationResult o;
  o.operation.id = "outer-01-wall";
  o.operation.setup = 1;
  o.operation.cutter = "flat-6";
  o.operation.moves = {{path::MoveKind::Cut, line({0, 0, 0}, {40, 0, 0}), mmPerMin(600), mm(1), seconds(1)}};
  e.operations = {o};
  CutterUse use;
  use.cutter.id = "flat-6";
  use.cutter.diameter = mm(6);
  e.cutters = {use};
  return e;
}

TEST(MinutesMap, CellsAddUpToTheTimeOfTheMoves) {
  const Estimate e = oneLine();
  const motion::Machine machine = motion::smallVerticalMill();
  for (const double cell : {0.5, 1.0, 2.0}) {
    const auto maps = minutesMaps(e, machine, cell);
    ASSERT_TRUE(maps);
    ASSERT_EQ(maps->size(), 2U);
    EXPECT_EQ((*maps)[0].nx, 0) << "a setup without moves has no map";
    const MinutesMap& map = (*maps)[1];
    const double sum = std::accumulate(map.minutes.begin(), map.minutes.end(), 0.0);
    const auto times = motion::planTimes(e.operations[0].operation.moves, machine);
    ASSERT_TRUE(times);
    EXPECT_NEAR(sum, toMinutes(times->likely), 1e-12) << cell;
  }
}

TEST(MinutesMap, LiesUnderTheCutterAndNowhereElse) {
  const auto maps = minutesMaps(oneLine(), motion::smallVerticalMill());
  ASSERT_TRUE(maps);
  const MinutesMap& map = (*maps)[1];
  double covered = 0;
  for (int j = 0; j < map.ny; ++j) {
    for (int i = 0; i < map.nx; ++i) {
      if (map.at(i, j) == 0) continue;
      covered += map.cell_mm * map.cell_mm;
      const double x = map.x0 + (i + 0.5) * map.cell_mm, y = map.y0 + (j + 0.5) * map.cell_mm;
      EXPECT_LE(std::abs(y), 3 + map.cell_mm) << x;
      EXPECT_GE(x, -3 - map.cell_mm);
      EXPECT_LE(x, 43 + map.cell_mm);
    }
  }
  const double swept = 40 * 6 + std::acos(-1.0) * 9;  // a slot with round ends
  EXPECT_NEAR(covered, swept, 0.25 * swept) << "cells of 1 mm";
}

TEST(MinutesMap, AnEstimateWithoutSetupsHasNoMap) {
  const auto maps = minutesMaps(Estimate{}, motion::smallVerticalMill());
  ASSERT_TRUE(maps);
  EXPECT_TRUE(maps->empty());
}

}  // namespace
}  // namespace chipledger::estimate
