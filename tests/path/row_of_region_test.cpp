// Rows through regions of random rings, against the looks and cuts of the polygon room.
#include <gtest/gtest.h>
#include <chipledger/path/row_of_region.hpp>

#include <cmath>
#include <numbers>
#include <random>

namespace chipledger::path {
namespace {

// Stars with holes, beside and over each other.
Region scattered(std::mt19937& random) {
  std::uniform_real_distribution<double> place(-10.0, 10.0), size(1.0, 4.0);
  std::vector<Ring> rings;
  for (int k = 0; k < 6; ++k) {
    const Vec2 centre{place(random), place(random)};
    Ring ring;
    for (int i = 0; i < 40; ++i) {
      const double a = 2.0 * std::numbers::pi * i / 40.0, r = size(random);
      ring.push_back(centre + Vec2{r * std::cos(a), r * std::sin(a)});
    }
    rings.push_back(std::move(ring));
  }
  return subtract(clean(rings), disc({place(random), place(random)}, 3.0));
}

TEST(RowOfRegion, HoldsWhatTheRegionContains) {
  std::mt19937 random(4711);
  std::uniform_real_distribution<double> place(-15.0, 15.0);
  for (int round = 0; round < 50; ++round) {
    const Region region = scattered(random);
    const double y = round % 5 == 0 ? region.rings.front().front().y : place(random);  // through a corner as well
    const RowOfRegion row(region, y);
    for (int k = 0; k < 200; ++k) {
      const double x = place(random);
      EXPECT_EQ(row.holds(x), contains(region, {x, y}));
    }
  }
}

TEST(RowOfRegion, StretchesAreThoseOfTheLineCutByTheRegion) {
  constexpr double kGrain_mm = 2e-4;  // the library's whole numbers, on sides that lean
  std::mt19937 random(815);
  std::uniform_real_distribution<double> place(-12.0, 12.0);
  for (int round = 0; round < 100; ++round) {
    const Region region = scattered(random);
    const double at = place(random);
    const bool alongX = round % 2 == 0;
    const auto point = [&](double s) { return alongX ? Vec2{s, at} : Vec2{at, s}; };
    double whole = 0.0, cut = 0.0;
    RowOfRegion(region, at, alongX ? RowOfRegion::Along::X : RowOfRegion::Along::Y)
        .forEachStretch([&](double a, double b) {
          EXPECT_LE(a, b);
          whole += b - a;
        });
    for (const Line& part : clipInside({point(-30), point(30)}, region)) cut += norm(part.back() - part.front());
    EXPECT_NEAR(whole, cut, kGrain_mm) << "round " << round;
  }
}

}  // namespace
}  // namespace chipledger::path
