// Sections against closed forms and against hand-made triangles.
#include <chipledger/part/read.hpp>
#include <chipledger/part/section.hpp>

#include "drawn.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <numbers>

namespace chipledger::part {
namespace {

constexpr double kPi = std::numbers::pi;

/// A closed cube of edge 2 around the origin, outward.
Mesh cube() {
  Mesh mesh;
  for (int i = 0; i < 8; ++i) mesh.points.push_back({i & 1 ? 1.0 : -1.0, i & 2 ? 1.0 : -1.0, i & 4 ? 1.0 : -1.0});
  mesh.triangles = {{0, 2, 3}, {0, 3, 1}, {4, 5, 7}, {4, 7, 6}, {0, 1, 5}, {0, 5, 4},
                    {2, 6, 7}, {2, 7, 3}, {0, 4, 6}, {0, 6, 2}, {1, 3, 7}, {1, 7, 5}};
  mesh.triangleFace = {0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 5, 5};
  return mesh;
}

Body only(const drawn::Solid& solid, const char* name) {
  Result<Part> part = readPart(drawn::write(solid, name));
  EXPECT_TRUE(part.has_value()) << (part ? "" : sentence(part.error()));
  if (!part || part->bodies.size() != 1) return {};
  return part->bodies.front();
}

TEST(Section, CubeIsASquareAtEveryHeight) {
  const SectionCutter cutter(cube(), {});
  for (const double z : {-0.999, -0.5, 0.0, 0.25, 1.0}) {
    const Region region = cutter.at(z);
    ASSERT_EQ(region.rings.size(), 1U) << z;
    EXPECT_DOUBLE_EQ(signedArea(region.rings[0]), 4.0) << z;
  }
}

// The diagonals that plane faces were cut into are no edges of the part: sections between two levels are one.
TEST(Section, UprightWallsGiveTheSamePointsAtEveryHeight) {
  const SectionCutter square(cube(), {});
  const Region one = square.at(0.1);
  ASSERT_EQ(one.rings.size(), 1U);
  EXPECT_EQ(one.rings[0].size(), 4U);
  for (const double z : {-0.999, -0.5, 0.25, 1.0}) {
    const Region other = square.at(z);
    ASSERT_EQ(other.rings.size(), 1U) << z;
    EXPECT_TRUE(std::is_permutation(other.rings[0].begin(), other.rings[0].end(), one.rings[0].begin())) << z;
  }
  // A slanting plane face has diagonals too; only its edges turn the section.
  Mesh wedge = cube();
  for (Vec3& p : wedge.points)
    if (p.z > 0 && p.x > 0) p.x = 0.25;
  const Region cut = SectionCutter(wedge, {}).at(0.3);
  ASSERT_EQ(cut.rings.size(), 1U);
  EXPECT_EQ(cut.rings[0].size(), 4U);
}

TEST(Section, HeightOfAFloorMeansJustBelowIt) {
  const SectionCutter cutter(cube(), {});
  EXPECT_TRUE(cutter.at(-1.0).empty());  // below the lowest point there is nothing
  EXPECT_FALSE(cutter.at(1.0).empty());  // just below the top there is metal
  EXPECT_TRUE(cutter.at(1.0 + 1e-12).empty());
}

TEST(Section, TurnedFrameCutsTheSameSolid) {
  const double c = std::cos(kPi / 4), s = std::sin(kPi / 4);
  const Frame tilted{{1, 0, 0}, {0, c, -s}, {0, s, c}, {5, 6, 7}};  // 45 degrees round x, then moved
  const SectionCutter cutter(cube(), tilted);
  EXPECT_NEAR(cutter.highest(), 7 + std::numbers::sqrt2, 1e-12);
  // Half way up the cube on its edge is 2 x 2 sqrt 2.
  EXPECT_NEAR(area(cutter.at(7.0)), 4 * std::numbers::sqrt2, 1e-12);
}

TEST(Section, AHoleInTheMeshStillGivesClosedRings) {
  Mesh mesh = cube();
  mesh.triangles.erase(mesh.triangles.begin() + 4);
  const Region region = section(mesh, {}, 0.0);
  ASSERT_EQ(region.rings.size(), 1U);
  EXPECT_NEAR(signedArea(region.rings[0]), 4.0, 1e-12);
}

TEST(Section, PlateWithBoreHasOuterRingAndHole) {
  const Body body =
      only(drawn::cut(drawn::block({20, 10, 3}), drawn::moved(drawn::cylinder(2, 5), {6, 5, -1})), "bore");
  const Region region = section(body.mesh, {}, 1.5);
  ASSERT_EQ(region.rings.size(), 2U);
  const double big = std::max(signedArea(region.rings[0]), signedArea(region.rings[1]));
  const double small = std::min(signedArea(region.rings[0]), signedArea(region.rings[1]));
  EXPECT_NEAR(big, 200.0, 1e-9);
  // Chords of 0.1 rad at most keep at least sin(0.1)/0.1 of the circle.
  EXPECT_LT(small, -4 * kPi * std::sin(0.1) / 0.1 * 0.999);
  EXPECT_GT(small, -4 * kPi);
}

TEST(Section, StackOfSectionsIsTheVolume) {
  const Body body = only(drawn::torus(10, 3), "ring");
  const SectionCutter cutter(body.mesh, {});
  double sum = 0.0;
  constexpr int kSlices = 600;
  for (int i = 0; i < kSlices; ++i) sum += area(cutter.at(-3.0 + 6.0 * (i + 0.5) / kSlices)) * 6.0 / kSlices;
  EXPECT_NEAR(sum, 2 * kPi * kPi * 10 * 9, 2e-3 * 2 * kPi * kPi * 90);
  // Middle of a torus: two circles of radius 7 and 13.
  EXPECT_NEAR(area(cutter.at(0.0)), kPi * (169 - 49), 2e-3 * kPi * 120);
}

}  // namespace
}  // namespace chipledger::part
