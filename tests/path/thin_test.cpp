// Where the part itself is thin, and what that does to the passes beside it.
#include <chipledger/path/thin.hpp>

#include <algorithm>

#include "path/shop_floor.hpp"

namespace chipledger::path {
namespace {

Work plainWork() {
  Work work;
  work.tables = &cutting::builtInTables();
  return work;
}

/// One block of this plan, so high, on a floor at 0.
Chart blockOf(const Region& plan, double high_mm) {
  return Chart([=](double z) { return z < high_mm ? plan : Region{}; }, {0.0}, {}, high_mm);
}

struct WallCase {
  const char* name;
  double thick_mm, long_mm, high_mm;
  bool slender;
};
std::ostream& operator<<(std::ostream& out, const WallCase& c) { return out << c.name; }
class ThinWalls : public testing::TestWithParam<WallCase> {};

TEST_P(ThinWalls, AreFoundWithTheirThicknessAndHeight) {
  const WallCase& c = GetParam();
  const Region plan = rectangle({0, 0}, {c.long_mm, c.thick_mm});
  const ThinWork thin = thinnestWall(plainWork(), blockOf(plan, c.high_mm), plan, 0.0);
  if (!c.slender) {
    EXPECT_EQ(thin.wall_mm, 0.0);
    return;
  }
  EXPECT_NEAR(thin.wall_mm, c.thick_mm, 0.1 * c.thick_mm);
  EXPECT_NEAR(thin.wallHigh_mm, c.high_mm, 0.05 * c.high_mm);
}

// The built-in table slows walls from four times as high as thick.
INSTANTIATE_TEST_SUITE_P(Table, ThinWalls,
                         testing::Values(WallCase{"rib", 0.6, 12, 4.0, true}, WallCase{"tall_rib", 1.0, 20, 9.0, true},
                                         WallCase{"low_rib", 1.0, 20, 3.0, false},
                                         WallCase{"island", 6, 14, 3.2, false}, WallCase{"post", 3, 3, 8.0, false}),
                         [](const auto& row) { return std::string(row.param.name); });

TEST(ThinWalls, ALowRibBesideATallIslandIsMeasuredByItsOwnHeight) {
  const Region rib = rectangle({0, 0}, {15, 0.8}), island = rectangle({0, 5}, {15, 12});
  const Chart chart([&](double z) { return z < 2.0   ? unite(rib, island)
                                           : z < 6.0 ? island
                                                     : Region{}; }, {0.0}, {},
                    6.0);
  EXPECT_EQ(thinnestWall(plainWork(), chart, unite(rib, island), 0.0).wall_mm, 0.0);
}

struct Pocketed {
  test::PlatePart part;
  explicit Pocketed(double floor_mm) : part(test::roundedRectangle({0, 0}, {40, 24}, 4), 3.0, 3.0) {
    part.pocket(test::roundedRectangle({8, 6}, {32, 18}, 3.2), floor_mm);
    part.finish();
    part.details.list[2].dimensions.thickness = mm(floor_mm);
  }
};

/// Feed of the floor pass in the pocket, second side.
Speed pocketFloorFeed(double floor_mm) {
  Pocketed p(floor_mm);
  ShopFloor floor(p.part, -0.3, 3.3, 100);
  floor.run(0, {}, false);
  const SetupPlan plan = floor.run(1, {0, 1, 2}, true);
  Speed least = mmPerMin(1e9);
  for (const Operation& op : plan.operations)
    if (op.kind == OperationKind::Floor) least = std::min(least, op.conditions.feed);
  return least;
}

TEST(ThinFloors, AreFinishedSlowerByTheTable) {
  // 1.2 mm is normal, 0.8 takes 30 % more time (common practice, no source).
  EXPECT_NEAR(pocketFloorFeed(1.2) / pocketFloorFeed(0.8), 1.3, 1e-6);
  EXPECT_NEAR(pocketFloorFeed(2.0) / pocketFloorFeed(1.2), 1.0, 1e-6);
}

TEST(ThinFloors, TheSideThatIsCutFirstStandsOnTheBlank) {
  Work work = plainWork();
  work.firstSide = true;
  work.blankBottom_mm = -4.0;
  EXPECT_NEAR(floorLeft(work, rectangle({0, 0}, {5, 5}), 0.5), 4.5, 1e-12);
}

}  // namespace
}  // namespace chipledger::path
