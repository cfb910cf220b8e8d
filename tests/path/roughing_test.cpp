// Ring lengths against exact sums.
#include <chipledger/path/roughing.hpp>

#include <gtest/gtest.h>

#include <algorithm>
#include <numbers>
#include <string>

namespace chipledger::path {
namespace {

constexpr double kPi = std::numbers::pi;

ClearTask pocket(const Region& opening, double radius, double step) {
  ClearTask task;
  const Box2 b = box(opening);
  const Region blank = rectangle(b.min - Vec2{20, 20}, b.max + Vec2{20, 20});
  task.metal = opening;
  task.blank = blank;
  task.keepOut = keepOutOf(subtract(blank, opening), radius, 0.0, 0.0);
  task.radius_mm = radius;
  task.step_mm = step;
  return task;
}

struct Rectangle {
  const char* id;
  double width, height, diameter, step;
  double exact;
};
// Ring sums of rectangles: time-estimation 2.1, rows ring-1-exact to ring-6-exact of the time checks (own closed form
// there: sides of the centre region less 2 k s, summed over the rings).
constexpr Rectangle kRectangles[] = {
    {"ring_1", 60, 40, 10, 4, 448}, {"ring_2", 100, 60, 10, 3, 1656},   {"ring_3", 30, 30, 6, 2.4, 288},
    {"ring_4", 40, 12, 6, 2, 144},  {"ring_5", 80, 50, 8, 0.8, 3909.6}, {"ring_6", 20, 14, 4, 1.6, 131.2},
};
class Rings : public testing::TestWithParam<Rectangle> {};
TEST_P(Rings, LengthIsTheRingSum) {
  const Rectangle& r = GetParam();
  const ClearPlan plan = clearRegion(pocket(rectangle({0, 0}, {r.width, r.height}), 0.5 * r.diameter, r.step));
  EXPECT_NEAR(plan.length_mm, r.exact, 0.02 * r.exact);
}
INSTANTIATE_TEST_SUITE_P(Path, Rings, testing::ValuesIn(kRectangles), [](const auto& row) { return row.param.id; });

TEST(Roughing, AnnulusRoundARoundIsland) {
  // Round island of radius 8 in a round pocket of radius 30: rings at 8 + R + k s from the island and 30 - R - k s from
  // the pocket's wall, each family up to the middle of the channel (closed form).
  const double R = 3, s = 0.5;
  const Region channel = subtract(disc({0, 0}, 30), disc({0, 0}, 8));
  const ClearPlan plan = clearRegion(pocket(channel, R, s));
  double exact = 0.0;
  const double middle = 19.0;
  for (int k = 0; 8 + R + k * s < middle - 1e-9; ++k) exact += 2 * kPi * (8 + R + k * s);
  for (int k = 0; 30 - R - k * s > middle + 1e-9; ++k) exact += 2 * kPi * (30 - R - k * s);
  EXPECT_NEAR(plan.length_mm, exact, 0.02 * exact);
}

TEST(Roughing, SlotIsOneRing) {
  // 40 x 4 obround, cutter 3.8: the centre region is a strip 0.2 wide, one ring of 2 x 36 + pi 0.2 (closed form).
  const Region slot = offset(rectangle({0, -0.5}, {36, 0.5}), 1.5);
  const ClearPlan plan = clearRegion(pocket(slot, 1.9, 0.3));
  const double exact = perimeter(offset(slot, -1.9));
  ASSERT_EQ(plan.passes.size(), 1u);
  EXPECT_TRUE(plan.passes.front().fullWidth);
  EXPECT_NEAR(plan.length_mm, exact, 0.02 * exact);
}

TEST(Roughing, ClosedPocketIsCutInsideOut) {
  const ClearPlan plan = clearRegion(pocket(rectangle({0, 0}, {30, 18}), 1.5, 0.6));
  ASSERT_GT(plan.passes.size(), 3u);
  EXPECT_TRUE(plan.passes.front().fullWidth);
  EXPECT_EQ(plan.passes.back().level, 0);
  for (std::size_t i = 1; i < plan.passes.size(); ++i) EXPECT_LT(plan.passes[i].level, plan.passes[i - 1].level);
}

TEST(Roughing, OpenPlateIsCutOutsideInWithoutFullWidth) {
  // A plate with one island in the middle: the first pass runs along the edge and nothing is a slot.
  ClearTask task;
  const Region island = disc({50, 15}, 5);
  task.blank = rectangle({0, 0}, {100, 30});
  task.metal = subtract(task.blank, island);
  task.keepOut = keepOutOf(island, 3, 0.2, 0.02);
  task.radius_mm = 3;
  task.step_mm = 0.42;
  const ClearPlan plan = clearRegion(task);
  for (const Pass& pass : plan.passes) EXPECT_FALSE(pass.fullWidth);
  // Exact sum (own closed form). Ring j goes round what stays after it, the plate less (j + 1) s all round, at R: sides
  // and four quarter circles. Its long sides run a = H / 2 - (j + 1) s + R off the middle line and are cut open where
  // they come within r = 5 + R + allowance of the island's axis, 2 sqrt(r^2 - a^2) each. The last one, round nothing,
  // is the plate's own inset; then once round the island.
  const double s = 0.42, R = 3, r = 5 + R + 0.2;
  double exact = 2 * kPi * r;
  for (int j = 0;; ++j) {
    const double in = (j + 1) * s, middle = std::abs(15 - in + R);
    const bool last = in >= 15;
    exact += last ? 2 * (100 - 2 * (in - R)) + 2 * (30 - 2 * (in - R))
                  : 2 * (100 - 2 * in) + 2 * (30 - 2 * in) + 2 * kPi * R;
    if (middle < r) exact -= 4 * std::sqrt(r * r - middle * middle);
    if (last) break;
  }
  EXPECT_NEAR(plan.length_mm, exact, 0.02 * exact);
}

TEST(Roughing, EveryPassRunsWithTheWallOnItsRight) {
  const ClearPlan plan = clearRegion(pocket(rectangle({0, 0}, {30, 18}), 1.5, 0.6));
  for (const Pass& pass : plan.passes) {
    if (!pass.closed) continue;
    Ring ring;
    for (const Vec3& p : pass.points) ring.push_back(p.xy());
    EXPECT_GT(signedArea(ring), 0.0) << "inside a pocket climb milling runs counter-clockwise";
  }
}

TEST(Roughing, MetalFarFromEveryWallIsClearedToo) {
  // The top of a low island with a high one 20 mm away: no wall touches it, all of it goes.
  ClearTask task;
  task.metal = rectangle({0, 0}, {14, 6});
  task.blank = rectangle({-20, -20}, {60, 30});
  task.keepOut = keepOutOf(rectangle({34, 0}, {44, 6}), 5.0, 0.0, 0.0);
  task.radius_mm = 5.0;
  task.step_mm = 0.8;
  const ClearPlan plan = clearRegion(task);
  ASSERT_FALSE(plan.passes.empty());
  for (double x = 0.5; x < 14; x += 1.0)
    for (double y = 0.5; y < 6; y += 1.0) {
      double nearest = 1e300;
      for (const Pass& pass : plan.passes)
        for (std::size_t k = 1; k < pass.points.size(); ++k) {
          const Vec2 from = pass.points[k - 1].xy(), along = pass.points[k].xy() - from, to = Vec2{x, y} - from;
          const double t = std::clamp(dot(to, along) / std::max(1e-12, dot(along, along)), 0.0, 1.0);
          nearest = std::min(nearest, norm(to - along * t));
        }
      EXPECT_LT(nearest, task.radius_mm) << x << " " << y;
    }
}

TEST(Roughing, WhatIsSweptPlusWhatIsLeftIsTheMetal) {
  const Region opening = rectangle({0, 0}, {20, 12});
  const Region wall = subtract(rectangle({-20, -20}, {40, 40}), opening);
  const Region keepOut = keepOutOf(wall, 3.0, 0.0, 0.0);
  // A cutter of radius R leaves (4 - pi) R^2 in four square corners (time-estimation 3.4).
  EXPECT_NEAR(area(opening) - area(sweptOf(opening, keepOut, 3.0)), (4 - kPi) * 9, 0.02 * 9);
}

}  // namespace
}  // namespace chipledger::path
