#include <chipledger/geometry/curve.hpp>
#include <chipledger/geometry/polygon.hpp>
#include <gtest/gtest.h>

#include <numbers>

using namespace chipledger;

TEST(Polygon, OpeningOfASquareLosesTheClosedFormInItsCorners) {
  const double r = 3.0;
  const Region square = rectangle({0, 0}, {20, 12});
  const Region opened = offset(offset(square, -r), r);
  EXPECT_NEAR(area(square) - area(opened), (4 - std::numbers::pi) * r * r, 0.05);  // closed form, four right corners
}

TEST(Polygon, ClippedLineKeepsItsOrderAndDirection) {
  const Region window = unite(rectangle({1, -1}, {2, 1}), rectangle({4, -1}, {5, 1}));
  const auto inside = clipInside({{6, 0}, {0, 0}}, window);
  ASSERT_EQ(inside.size(), 2u);
  EXPECT_NEAR(inside[0].front().x, 5, 1e-4);
  EXPECT_NEAR(inside[0].back().x, 4, 1e-4);
  EXPECT_NEAR(inside[1].front().x, 2, 1e-4);
  EXPECT_EQ(clipOutside({{6, 0}, {0, 0}}, window).size(), 3u);
}

TEST(Polygon, PiecesCarryTheirHoles) {
  const Region r = subtract(unite(rectangle({0, 0}, {10, 10}), rectangle({20, 0}, {25, 5})), rectangle({2, 2}, {4, 4}));
  const auto list = pieces(r);
  ASSERT_EQ(list.size(), 2u);
  EXPECT_NEAR(area(list[0]), 96, 1e-3);
  EXPECT_EQ(list[0].rings.size(), 2u);
}

TEST(Curve, FitFindsStraightSidesAndRoundCorners) {
  std::vector<Vec3> p;
  for (int k = 0; k <= 32; ++k) {
    const double a = k * std::numbers::pi / 64;
    p.push_back({10 + 3 * std::cos(a), 3 * std::sin(a), 0});
  }
  p.insert(p.begin(), {13, -20, 0});
  p.push_back({-10, 3, 0});
  const auto fitted = fitCurve(p, 0.01);
  ASSERT_EQ(fitted.size(), 3u);
  EXPECT_NEAR(radius(fitted[1]), 3.0, 0.01);
  double sum = 0;
  for (const Segment& s : fitted) sum += length(s);
  EXPECT_NEAR(sum, 40 + 3 * std::numbers::pi / 2, 0.01);
}

TEST(Curve, FourCornersOfARectangleStayCorners) {
  const auto fitted = fitCurve({{0, 0, 0}, {100, 0, 0}, {100, 30, 0}, {0, 30, 0}, {0, 0, 0}}, 0.02);
  ASSERT_EQ(fitted.size(), 4u);
  for (const Segment& s : fitted) EXPECT_EQ(s.shape, Segment::Shape::Line);
}
