// Narrow places: where they are, the length of their middle against closed forms, and a slot cut in a plate.
#include <chipledger/path/narrow.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "path/shop_floor.hpp"

namespace chipledger::path {
namespace {

TEST(Narrow, TheMiddleOfASlotIsItsLength) {
  // 20 x 1.2 with round ends, cutter 1: room 0.2 wide, centre line 18.8 long.
  const Region slot = test::roundedRectangle({0, 0}, {20, 1.2}, 0.5999);
  const Region obstacle = subtract(rectangle({-5, -5}, {25, 6}), slot);
  const Region room = narrowRoom(slot, obstacle, 0.5, 0.2, 0.02);
  EXPECT_NEAR(area(room), 18.8 * 0.2 + std::numbers::pi * 0.01, 0.05);
  const std::vector<Pass> passes = middlePasses(room, -1.0);
  ASSERT_EQ(passes.size(), 1u);
  EXPECT_FALSE(passes.front().closed);
  EXPECT_TRUE(passes.front().fullWidth);
  EXPECT_NEAR(planLength(passes.front()), 18.8, 0.25);
  for (const Vec3& p : passes.front().points) EXPECT_NEAR(p.y, 0.6, 0.02);
}

TEST(Narrow, WideRoomAndCornersAreNone) {
  const Region pocket = test::roundedRectangle({0, 0}, {20, 8}, 0.55);
  const Region obstacle = subtract(rectangle({-5, -5}, {25, 13}), pocket);
  EXPECT_TRUE(narrowRoom(pocket, obstacle, 0.5, 0.2, 0.02).empty());
}

TEST(Narrow, ABentSlotIsFollowed) {
  // A quarter ring of middle radius 10, 1.2 wide.
  Region bent = intersect(subtract(disc({0, 0}, 10.6), disc({0, 0}, 9.4)), rectangle({0, 0}, {20, 20}));
  const Region obstacle = subtract(rectangle({-5, -5}, {25, 25}), bent);
  const std::vector<Pass> passes = middlePasses(narrowRoom(bent, obstacle, 0.5, 0.2, 0.02), 0.0);
  ASSERT_EQ(passes.size(), 1u);
  EXPECT_NEAR(planLength(passes.front()), 10.0 * std::numbers::pi / 2 - 1.0, 0.3);
}

// A slot of half a turn and two straight legs, as drawn with chords: its middle is pi r + 2 legs, end to end.
TEST(Narrow, TheMiddleOfAUIsOneWay) {
  const double r = 17.1, leg = 8.0, width = 1.8;
  const auto ring = [&](double radius) {
    return unite(disc({leg, 0}, radius), rectangle({0, -radius}, {leg, radius}));
  };
  const Region u = subtract(subtract(ring(r + width / 2), ring(r - width / 2)), rectangle({-40, -30}, {0, 30}));
  const Region obstacle = subtract(rectangle({-5, -30}, {40, 30}), u);
  const Region room = narrowRoom(u, obstacle, 0.75, 0.2, 0.02);
  const std::vector<Pass> passes = middlePasses(room, 0.0);
  ASSERT_EQ(passes.size(), 1u);
  EXPECT_FALSE(passes.front().closed);
  // The legs are open on one side, where the cutter runs half its width out of the drawing.
  EXPECT_NEAR(planLength(passes.front()), std::numbers::pi * r + 2.0 * leg, 1.7);
  for (const Vec3& p : passes.front().points)
    if (p.x > leg) {
      EXPECT_NEAR(norm(p.xy() - Vec2{leg, 0}), r, 0.02);
    }
}

TEST(Narrow, ARoundSlotIsGoneRoundOnce) {
  const Region slot = subtract(disc({0, 0}, 10.6), disc({0, 0}, 9.4));
  const std::vector<Pass> passes =
      middlePasses(narrowRoom(slot, subtract(rectangle({-15, -15}, {15, 15}), slot), 0.5, 0.2, 0.02), 0.0);
  ASSERT_EQ(passes.size(), 1u);
  EXPECT_TRUE(passes.front().closed);
  EXPECT_NEAR(planLength(passes.front()), 20.0 * std::numbers::pi, 0.1);
}

TEST(Narrow, ALockCutIsSlottedInStepsAndThenFinished) {
  test::PlatePart part(test::roundedRectangle({0, 0}, {40, 20}, 4), 2.0, 2.0);
  part.window(test::roundedRectangle({8, 8.8}, {32, 10}, 0.5999));
  part.finish();
  ShopFloor floor(part, -0.3, 2.3);
  floor.run(0, {}, false);
  const SetupPlan plan = floor.run(1, {0, 1, 2}, false);
  EXPECT_EQ(plan.gouged.um3, 0);
  const auto slot = std::find_if(plan.operations.begin(), plan.operations.end(),
                                 [](const Operation& o) { return o.kind == OperationKind::Slot; });
  ASSERT_NE(slot, plan.operations.end());
  // Nearly all of the slot goes at full width, in the depth steps of a slot: ceil((2.0 + 0.2) / step) passes from
  // end to end.
  EXPECT_GT(static_cast<double>(slot->removed.um3) * 1e-9, 0.7 * 24 * 1.2 * 2.0);
  const cutting::Cutter cutter = *cutting::findCutter(cutting::builtInTables(), slot->cutter);
  EXPECT_LT(toMm(cutter.diameter), 1.2);
  double length = 0.0;
  for (const Move& m : slot->moves)
    if (m.kind == MoveKind::Cut) length += chipledger::length(m.segment);
  const double passes = length / (24.0 - toMm(cutter.diameter));
  EXPECT_NEAR(passes, std::round(passes), 0.15);
  EXPECT_GE(passes, 2.2 / toMm(cutter.diameter) - 0.2);
  EXPECT_GT(slot->conditions.slotFeed.base, 0.0);
  // n L / f and a ramp of one layer each at entry feed, t / sin a; the way down to the metal is 0.2 mm and the like.
  double seconds = 0.0;
  for (const Move& m : slot->moves)
    if (m.kind != MoveKind::Rapid) seconds += chipledger::length(m.segment) / m.feed.base;
  const double n = std::round(passes), depth = 2.0 + 0.1 * toMm(cutter.diameter);
  const double closed = length / slot->conditions.slotFeed.base +
                        depth / std::sin(slot->conditions.rampAngle.rad) / slot->conditions.enterFeed.base;
  EXPECT_NEAR(seconds, closed, 0.03 * closed) << n << " layers";
}

}  // namespace
}  // namespace chipledger::path
