// Trochoidal loops against closed forms: step from the angle of engagement, number and length, and what they clear.
#include <chipledger/path/loops.hpp>

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "path/shop_floor.hpp"

namespace chipledger::path {
namespace {

struct StepRow {
  double loop, cutter, radial;
};
class LoopSteps : public testing::TestWithParam<StepRow> {};

// The angle found again by walking round the cutter at the loop's front: it is in metal where it is farther than r + R
// from the last loop's centre.
TEST_P(LoopSteps, TheAngleAtTheFrontIsThatOfTheRadialStep) {
  const StepRow& row = GetParam();
  const double step = loopStep(row.loop, row.cutter, row.radial);
  ASSERT_GT(step, 0.0);
  const Vec2 tip{step + row.loop, 0.0};
  constexpr int kPlaces = 200000;
  int in = 0;
  for (int i = 0; i < kPlaces; ++i) {
    const double a = std::numbers::pi * (i + 0.5) / kPlaces;  // the half that faces the way
    const Vec2 edge = tip + Vec2{std::cos(a), std::sin(a)} * row.cutter;
    in += norm(edge) > row.loop + row.cutter ? 1 : 0;
  }
  const double angle = std::numbers::pi * in / kPlaces;
  EXPECT_NEAR(angle, std::acos(1.0 - row.radial / row.cutter), 1e-4);
}
INSTANTIATE_TEST_SUITE_P(Path, LoopSteps,
                         testing::Values(StepRow{0.75, 1.5, 0.15}, StepRow{2.0, 4.0, 0.8}, StepRow{3.0, 3.0, 0.42},
                                         StepRow{0.3, 1.5, 0.15}, StepRow{50.0, 3.0, 0.42}));

TEST(Loops, InAWideChannelTheStepIsTheRadialStep) { EXPECT_NEAR(loopStep(5000.0, 3.0, 0.4), 0.4, 1e-3); }

TEST(Loops, AChannelHardlyWiderThanTheCutterHasNone) {
  EXPECT_EQ(loopStep(0.1, 1.0, 0.1), 0.0);
  EXPECT_FALSE(loopPass({{{0, 0}, {10, 0}}, 0.1, 1.0, 0.1, 0.0}));
}

// n (2 pi r + c) and the circle that ends it.
TEST(Loops, LengthIsLoopsTimesLoopLength) {
  const double r = 0.75, R = 1.5, length = 30.0;
  const double step = loopStep(r, R, 0.3);
  const auto pass = loopPass({{{0, 0}, {length, 0}}, r, R, 0.3, -1.0});
  ASSERT_TRUE(pass);
  const double loops = std::ceil(length / step);
  EXPECT_NEAR(planLength(*pass), loops * 2.0 * std::numbers::pi * r + length + 2.0 * std::numbers::pi * r,
              0.005 * planLength(*pass));
  EXPECT_FALSE(pass->closed);
  // (time-estimation: t = pi r / f + (pi r + c) / f_r a loop)
  EXPECT_NEAR(loopSeconds(length, r, length / loops, 10.0, 50.0),
              loops * (std::numbers::pi * r / 10.0 + (std::numbers::pi * r + length / loops) / 50.0), 1e-9);
}

TEST(Loops, StayInTheChannelAndClearItRoundABend) {
  const double r = 0.75, R = 1.5;
  Line middle;
  for (int i = 0; i <= 60; ++i) {
    const double a = 0.5 * std::numbers::pi * i / 60;
    middle.push_back({12.0 * std::cos(a), 12.0 * std::sin(a)});
  }
  const auto pass = loopPass({middle, r, R, 0.3, 0.0});
  ASSERT_TRUE(pass);
  for (const Vec3& p : pass->points) EXPECT_NEAR(norm(p.xy()), 12.0, r + 0.01);
  for (double x = 0.1; x < 15.0; x += 0.23)
    for (double y = 0.1; y < 15.0; y += 0.23) {
      if (std::abs(norm(Vec2{x, y}) - 12.0) > r + R - 0.03) continue;
      double nearest = 1e300;
      for (const Vec3& p : pass->points) nearest = std::min(nearest, norm(p.xy() - Vec2{x, y}));
      EXPECT_LE(nearest, R) << x << " " << y;
    }
}

// A cutter that the tables let slot only in thin layers goes in loops: the metal balances and nothing is gouged.
TEST(Loops, AreTakenWhereSlotsWouldCostMore) {
  test::PlatePart part(test::roundedRectangle({0, 0}, {30, 14}, 3), 2.0, 2.0);
  part.window(test::roundedRectangle({5, 6}, {25, 7.3}, 0.64));  // 1.3 wide: a cutter of 1 without an allowance
  part.finish();
  cutting::CuttingTables tables = cutting::builtInTables();
  for (auto& row : tables.engagements)
    if (row.kind == cutting::CutKind::Slot) row.axial *= 0.02;
  ShopFloor floor(part, -0.2, 2.2, 25);
  floor.tables = &tables;
  std::erase_if(floor.crib, [](const cutting::Cutter& c) {
    return c.kind == cutting::CutterKind::Flat && c.id != "flat-6" && c.id != "flat-1";
  });
  floor.run(0, {}, false);
  const VolumeCount before = field::metalLeft(floor.stock);
  const SetupPlan plan = floor.run(1, {0, 1, 2}, false);
  EXPECT_EQ(plan.gouged.um3, 0);
  EXPECT_EQ((plan.removed + field::metalLeft(floor.stock)).um3, before.um3);
  const auto loops = std::find_if(plan.operations.begin(), plan.operations.end(),
                                  [](const Operation& o) { return o.why.starts_with("loops"); });
  ASSERT_NE(loops, plan.operations.end());
  // 20 x 1.3 x 2 mm of slot but for the strips that finishing takes.
  EXPECT_GT(static_cast<double>(loops->removed.um3) * 1e-9, 0.8 * 20 * 1.3 * 2.0);
  for (const Move& m : loops->moves) {
    if (m.kind == MoveKind::Cut) {
      EXPECT_LT(toMm(m.width), 0.5 * toMm(cutting::findCutter(tables, loops->cutter)->diameter));
    }
  }
}

}  // namespace
}  // namespace chipledger::path
