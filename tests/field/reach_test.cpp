#include <gtest/gtest.h>
#include <chipledger/field/corner_rest.hpp>
#include <chipledger/field/distance.hpp>
#include <chipledger/field/reach.hpp>
#include <chipledger/parallel/parallel.hpp>

#include <numbers>
#include <random>

#include "support/reference/slow_fields.hpp"

using namespace chipledger;
using namespace chipledger::field;

namespace {

HeightField randomField(std::mt19937& random, bool holes) {
  const GridSpec g{static_cast<int>(30 + random() % 30), static_cast<int>(25 + random() % 30), 0, 0, 100};
  HeightField f(g, 0);
  // Steps and slopes, as parts have them, and some rough ground.
  for (int k = 0; k < 8; ++k) {
    const int x0 = static_cast<int>(random() % 50), y0 = static_cast<int>(random() % 45);
    const int x1 = x0 + static_cast<int>(random() % 20), y1 = y0 + static_cast<int>(random() % 20);
    const std::int32_t z = static_cast<std::int32_t>(random() % 6000),
                       slope = static_cast<std::int32_t>(random() % 3) * 40;
    for (int j = y0; j < std::min(y1, g.ny); ++j)
      for (int i = x0; i < std::min(x1, g.nx); ++i) f(i, j) = z + slope * (i - x0);
  }
  for (int k = 0; k < 60; ++k)
    f(static_cast<int>(random() % g.nx), static_cast<int>(random() % g.ny)) +=
        static_cast<std::int32_t>(random() % 500);
  if (holes)
    for (int j = 0; j < g.ny; ++j)
      for (int i = 0; i < g.nx; ++i)
        if (i < 6 || (j > 15 && j < 20)) f(i, j) = kNoMetal;
  return f;
}

std::vector<Profile> profiles() {
  std::vector<Profile> list{flatProfile(1.3),
                            flatProfile(0.2),
                            flatProfile(0.05),
                            bullProfile(1.6, 0.35),
                            ballProfile(1.5),
                            coneProfile(1.4, degrees(90).rad, 0.3),
                            coneProfile(1.2, degrees(118).rad)};
  list.push_back(withBody(flatProfile(0.8), {2.0, 0.7, 3.0, 1.4, 4.0, 2.6}));
  list.push_back(withBody(ballProfile(0.8), {1.0, 0.0, 0.0, 0.8, 3.0, 2.0}));
  return list;
}

}  // namespace

TEST(Reach, EqualsBruteForceForEveryUnderside) {
  std::mt19937 random(77);
  for (int trial = 0; trial < 6; ++trial) {
    for (const Profile& p : profiles()) {
      const bool holes = trial % 2 == 1;
      const HeightField f = randomField(random, holes);
      const HeightField tips = tipHeights(f, p), slow = reference::slowTips(f, p);
      for (std::size_t k = 0; k < tips.cells.size(); ++k) {
        if (slow.cells[k] > kNoMetal / 2) {
          ASSERT_EQ(tips.cells[k], slow.cells[k])
              << "trial " << trial << " radius " << p.widest() << " corner " << p.corner_mm << " cell " << k;
        } else {
          ASSERT_EQ(tips.cells[k], kNoMetal);
        }
      }
      const HeightField left = surfaceLeft(tips, p), slowLeft = reference::slowLeft(tips, p);
      for (std::size_t k = 0; k < left.cells.size(); ++k) {
        ASSERT_EQ(left.cells[k], slowLeft.cells[k] > kNoMetal / 2 ? slowLeft.cells[k] : kNoMetal);
        ASSERT_GE(left.cells[k], f.cells[k]);
      }
    }
  }
}

TEST(Reach, LawsOfOpening) {
  std::mt19937 random(5);
  for (int trial = 0; trial < 10; ++trial) {
    const HeightField f = randomField(random, false);
    const Profile narrow = bullProfile(0.9, 0.2), wide = bullProfile(1.5, 0.2);
    const HeightField once = surfaceLeft(tipHeights(f, narrow), narrow);
    EXPECT_EQ(surfaceLeft(tipHeights(once, narrow), narrow).cells, once.cells);
    const HeightField more = tipHeights(f, wide), less = tipHeights(f, narrow);
    for (std::size_t k = 0; k < f.cells.size(); ++k) ASSERT_GE(more.cells[k], less.cells[k]);
  }
}

TEST(Reach, SameBytesForAnyNumberOfThreads) {
  std::mt19937 random(9);
  HeightField f(GridSpec{400, 300, 0, 0, 50}, 0);
  for (std::int32_t& z : f.cells) z = random() % 40 == 0 ? static_cast<std::int32_t>(random() % 3000) : 100;
  const Profile p = bullProfile(2, 0.5);
  std::vector<HeightField> seen;
  for (int threads : {1, 2, 8}) {
    setThreads(threads);
    seen.push_back(surfaceLeft(tipHeights(f, p), p));
  }
  setThreads(0);
  EXPECT_EQ(seen[0].cells, seen[1].cells);
  EXPECT_EQ(seen[0].cells, seen[2].cells);
}

TEST(Reach, BallOverADomeFollowsTheLargerSphere) {
  // Closed form: the tip of a ball of radius r over a dome of radius B runs on a sphere of radius B + r, less r.
  const GridSpec g{240, 240, -6, -6, 50};
  const double B = 15, r = 3;
  HeightField f(g, 0);
  for (int j = 0; j < g.ny; ++j)
    for (int i = 0; i < g.nx; ++i) {
      const Vec2 c = g.centre(i, j);
      f(i, j) = static_cast<std::int32_t>(std::llround(1000 * std::sqrt(B * B - dot(c, c))));
    }
  const HeightField tips = tipHeights(f, ballProfile(2 * r));
  for (int j = 60; j < 180; j += 7)
    for (int i = 60; i < 180; i += 7) {
      const Vec2 c = g.centre(i, j);
      EXPECT_NEAR(tips(i, j) / 1000.0, std::sqrt((B + r) * (B + r) - dot(c, c)) - r, 0.0015);
    }
}

TEST(Reach, ACutterTooShortForAWallDoesNotReachIt) {
  // A wall 8 high; the cutter's flutes are 5 long and the shank is as wide as the cutter.
  const GridSpec g{300, 40, 0, 0, 50};
  HeightField f(g, 0);
  for (int j = 0; j < g.ny; ++j)
    for (int i = 0; i < 100; ++i) f(i, j) = 8000;
  const Profile shortOne = withBody(flatProfile(2), {5, 0, 0, 2, 0, 0});
  const Profile necked = withBody(flatProfile(2), {5, 1.7, 9, 6, 0, 0});
  const HeightField tipsShort = tipHeights(f, shortOne), tipsNecked = tipHeights(f, necked);
  const int beside = 100 + 20;  // axis 1.025 mm from the wall
  EXPECT_EQ(tipsShort(beside, 20), 3000);
  EXPECT_EQ(tipsNecked(beside, 20), 0);
  EXPECT_EQ(tipsShort(beside + 10, 20), 0);
  const HeightField stock(g, 8000), under(g, -1000);
  EXPECT_LT(reachableVolume(stock, under, surfaceLeft(tipsShort, shortOne)),
            reachableVolume(stock, under, surfaceLeft(tipsNecked, necked)));
}

TEST(Reach, VolumesOfFallingCuttersTelescope) {
  // A pocket with corner radius 0.5; opened by smaller and smaller discs, each leaves a subset of the one before.
  const GridSpec g{300, 240, 0.013, 0.027, 50};
  const Region pocket = offset(rectangle({2.5, 2.5}, {12.5, 9.5}), 0.5);
  const Grid<std::uint8_t> inside = cellsInside(pocket, g);
  HeightField target(g, 3000);
  for (std::size_t k = 0; k < target.cells.size(); ++k)
    if (inside.cells[k] != 0) target.cells[k] = 1000;
  const HeightField stock(g, 3000), under(g, 0);
  VolumeCount last;
  for (double d : {6.0, 3.0, 1.5, 1.0}) {
    const Profile p = flatProfile(d);
    const VolumeCount v = reachableVolume(stock, under, surfaceLeft(tipHeights(target, p), p));
    EXPECT_GE(v, last);
    last = v;
  }
  EXPECT_LE(last, reachableVolume(stock, under, target));
}

struct CornerRow {
  double radius, root, degrees, area;
};
class CornerRest : public testing::TestWithParam<CornerRow> {};

// Published beside the formula (time-estimation notes, corner rows): 1.931, 6.164 and 0.215 mm2.
TEST_P(CornerRest, ClosedFormAndPolygonOpeningAgree) {
  const CornerRow row = GetParam();
  const double closed = toMm2(cornerRest(mm(row.radius), mm(row.root), degrees(row.degrees)));
  if (row.area > 0) {
    EXPECT_NEAR(closed, row.area, 6e-4);
  }
  // A long kite-shaped region with that corner at the origin; the others are wide enough to be out of the way.
  const double half = row.degrees / 2 * std::numbers::pi / 180, far = 40;
  const Vec2 tip{0, 0}, a{far * std::cos(half), -far * std::sin(half)}, b{far * std::cos(half), far * std::sin(half)};
  Region region{{{tip, a, {3 * far, a.y}, {3 * far, b.y}, b}}};
  if (row.root > 0) region = offset(offset(region, -row.root), row.root);
  const Region nearCorner = rectangle({-1, -20}, {12 / std::tan(half) / 3, 20});
  const Region rest = intersect(subtract(region, offset(offset(region, -row.radius), row.radius)), nearCorner);
  EXPECT_NEAR(area(rest), closed, 0.01 + 0.01 * closed);
  EXPECT_NEAR(area(intersect(restOf(region, row.radius), nearCorner)), closed, 0.01 + 0.015 * closed);
}
INSTANTIATE_TEST_SUITE_P(Rows, CornerRest,
                         testing::Values(CornerRow{3, 0, 90, 1.931}, CornerRow{3, 0, 60, 6.164},
                                         CornerRow{2, 0, 120, 0.215}, CornerRow{3, 1, 90, 0}, CornerRow{1.5, 1, 90, 0},
                                         CornerRow{3, 2, 75, 0}));
