// Offsets against what they mean: a place belongs to the grown region when it is within the distance of the region, by
// the plain distance to its border; and against closed forms.
#include <chipledger/geometry/polygon.hpp>

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

namespace chipledger {
namespace {

constexpr double kPi = std::numbers::pi;

// Rounded boxes, discs and bars, some cut out of the others: tight arcs, necks, islands in holes.
Region randomRegion(std::mt19937& random) {
  std::uniform_real_distribution<double> place(-12.0, 12.0), size(1.0, 9.0), share(0.0, 1.0);
  Region region;
  const int parts = 3 + static_cast<int>(share(random) * 6.0);
  for (int k = 0; k < parts; ++k) {
    const Vec2 c{place(random), place(random)};
    Region piece;
    if (share(random) < 0.4) {
      piece = disc(c, 0.5 * size(random));
    } else {
      const Vec2 half{0.5 * size(random), 0.5 * size(random)};
      const double round = share(random) * 0.9 * std::min(half.x, half.y);
      piece = rectangle(c - half + Vec2{round, round}, c + half - Vec2{round, round});
      if (round > 0.05) piece = offset(piece, round);
      const double turn = share(random) * kPi;
      for (Ring& ring : piece.rings)
        for (Vec2& p : ring) {
          const Vec2 d = p - c;
          p = c + Vec2{d.x * std::cos(turn) - d.y * std::sin(turn), d.x * std::sin(turn) + d.y * std::cos(turn)};
        }
    }
    region = k > 1 && share(random) < 0.45 ? subtract(region, piece) : unite(region, piece);
  }
  return region;
}

// The border of a section through a sloped mesh: a corner every few hundredths, none of them meant.
TEST(Offset, RingsOfThousandsOfCornersMoveFarAsWell) {
  std::mt19937 random(31);
  std::uniform_real_distribution<double> noise(-0.004, 0.004), place(-1.0, 1.0);
  Ring ring;
  constexpr int kCorners = 7000;
  for (int i = 0; i < kCorners; ++i) {
    const double a = 2.0 * kPi * i / kCorners, r = 40.0 + 8.0 * std::cos(5.0 * a) + noise(random);
    ring.push_back({r * std::cos(a), r * std::sin(a)});
  }
  const Region region = subtract(clean({ring}), offset(rectangle({-12, -12}, {14, 10}), 2.0));
  constexpr double kTolerance = 0.005;
  for (const double distance : {10.0, -4.0}) {
    const Region moved = offset(region, distance, kTolerance);
    for (int k = 0; k < 400; ++k) {
      const Vec2 p{62.0 * place(random), 62.0 * place(random)};
      const double inside = wallDistance(region, p) + distance;
      if (std::abs(inside) <= 2.0 * kTolerance) continue;
      ASSERT_EQ(contains(moved, p), inside > 0) << distance << " at " << p.x << " " << p.y << " inside by " << inside;
    }
  }
}

TEST(Offset, HoldsThePlacesWithinTheDistance) {
  std::mt19937 random(20240311);
  std::uniform_real_distribution<double> place(-22.0, 22.0);
  for (int trial = 0; trial < 120; ++trial) {
    const Region region = randomRegion(random);
    if (region.empty()) continue;
    for (const double distance : {-3.1, -1.3, -0.4, -0.05, 0.05, 0.4, 1.3, 3.1, 8.0}) {
      const double tolerance = trial % 2 == 0 ? kOffsetArcTolerance : 0.005;
      const Region grown = offset(region, distance, tolerance);
      for (int k = 0; k < 60; ++k) {
        const Vec2 p{place(random), place(random)};
        const double inside = wallDistance(region, p) + distance;
        // Thinning and chords stay within the tolerance; corners of two chorded walls may add up.
        if (std::abs(inside) <= 2.0 * tolerance) continue;
        ASSERT_EQ(contains(grown, p), inside > 0)
            << "trial " << trial << " distance " << distance << " at " << p.x << " " << p.y << " inside by " << inside;
      }
    }
  }
}

TEST(Offset, RegionLiesToTheLeftOfEveryRing) {
  std::mt19937 random(7);
  for (int trial = 0; trial < 60; ++trial) {
    const Region region = randomRegion(random);
    for (const double distance : {-2.0, -0.3, 0.3, 2.0}) {
      const Region grown = offset(region, distance);
      double sum = 0.0;
      for (const Region& piece : pieces(grown)) {
        EXPECT_GT(signedArea(piece.rings.front()), 0.0);
        sum += area(piece);
      }
      EXPECT_NEAR(sum, area(grown), 1e-6 * (1.0 + sum));
    }
  }
}

TEST(Offset, ClosedForms) {
  const Region box = rectangle({0, 0}, {30, 18});
  struct Row {
    double distance, area, perimeter;
  };
  for (const Row& row : {Row{2.0, 30 * 18 + 96 * 2.0 + kPi * 4.0, 96 + 2 * kPi * 2.0}, Row{-2.0, 26.0 * 14.0, 80.0},
                         Row{-8.5, 13.0 * 1.0, 28.0}}) {
    const Region moved = offset(box, row.distance);
    EXPECT_NEAR(area(moved), row.area, 2e-3 * row.perimeter) << row.distance;
    EXPECT_NEAR(perimeter(moved), row.perimeter, 1e-3 * row.perimeter) << row.distance;
  }
  EXPECT_TRUE(offset(box, -9.01).empty());
  // A fillet smaller than the distance: the corner is sharp.
  const Region filleted = offset(offset(rectangle({0, 0}, {30, 18}), -3.0), 3.0);
  const Region inner = offset(filleted, -5.0);
  EXPECT_NEAR(area(inner), 20.0 * 8.0, 0.05);
  EXPECT_NEAR(perimeter(inner), 56.0, 0.05);
}

TEST(Offset, AFoldWithoutAreaDoesNotTurnTheSensesRound) {
  Region region = rectangle({0, 0}, {20, 10});
  region.rings.push_back({{5, -1e-7}, {8, -1e-7}, {6, 0.0}});  // turned round, and lowest
  std::reverse(region.rings.back().begin(), region.rings.back().end());
  EXPECT_NEAR(area(offset(region, -1.0)), 18.0 * 8.0, 0.01);
  EXPECT_NEAR(area(offset(region, 1.0)), 200.0 + 60.0 + kPi, 0.1);
}

}  // namespace
}  // namespace chipledger
