// Shank and holder in deep pockets: held against the metal that stands at that moment, and the shortest cutter that
// reaches.
#include <chipledger/path/kit.hpp>
#include <chipledger/path/walk.hpp>

#include <algorithm>
#include <set>

#include "path/shop_floor.hpp"

namespace chipledger::path {
namespace {

// What of a cutter is wider than its edges, alone.
field::Profile bodyOnly(const cutting::Cutter& cutter) {
  const Body body = bodyOf(cutter);
  field::Profile p;
  p.radius_mm = -1.0;
  if (body.shankRadius_mm > 0) p.collars.push_back({body.shankRadius_mm, body.shankFrom_mm});
  if (body.holderRadius_mm > body.shankRadius_mm) p.collars.push_back({body.holderRadius_mm, body.holderFrom_mm});
  return p;
}

struct Deep {
  double depth;
  test::PlatePart part;
  explicit Deep(double pocket)
      : depth(pocket), part(test::roundedRectangle({0, 0}, {70, 40}, 6), pocket + 4.0, pocket + 4.0) {
    part.pocket(test::roundedRectangle({8, 8}, {36, 32}, 3.2), 4.0);
    part.pocket(test::roundedRectangle({44, 12}, {62, 28}, 3.2), 4.0 + 0.4 * pocket);
    part.finish();
  }
};

// Deepest that shank or holder stand in metal along the cutting moves of a plan, mm.
double bodyInMetal(const SetupPlan& plan, field::StockBlock& stock, const Frame& toSetup,
                   const std::vector<cutting::Cutter>& crib) {
  field::Removal removal(stock, toSetup, {field::HeightField{}, field::Grid<std::int32_t>{}});
  std::int32_t worst = 0;
  for (const Operation& op : plan.operations) {
    const auto cutter = std::find_if(crib.begin(), crib.end(), [&](const auto& c) { return c.id == op.cutter; });
    const field::Profile body = bodyOnly(*cutter), edges = profileOf(*cutter);
    for (const Move& m : op.moves) {
      if (m.kind == MoveKind::Rapid) continue;
      if (!body.collars.empty()) worst = std::max(worst, removal.touch(m.segment, body));
      removal.cut(m.segment, edges);
    }
  }
  return worst / 1000.0;
}

TEST(Body, NeitherShankNorHolderMeetsMetalThatStillStands) {
  for (const double depth : {8.0, 24.0}) {
    Deep deep(depth);
    ShopFloor floor(deep.part, -0.4, depth + 4.5, 200);
    field::StockBlock before = floor.stock;
    const SetupPlan plan = floor.run(1, {0, 1, 2, 3}, true);
    EXPECT_EQ(plan.gouged.um3, 0);
    EXPECT_FALSE(plan.operations.empty());
    // Rounding of heights and half a cell of a wall.
    EXPECT_LT(bodyInMetal(plan, before, deep.part.view(1).plateToSetup(), floor.crib), 0.01) << depth;
  }
}

std::set<std::string> endMills(const SetupPlan& plan) {
  std::set<std::string> used;
  for (const std::string& id : plan.cuttersUsed)
    if (id.starts_with("flat-")) used.insert(id);
  return used;
}

TEST(Body, TheShortestCutterThatReachesIsTaken) {
  // Corners of 3.2 mm ask for 6 mm; flat-6 sticks out 21 mm, flat-6-long 36 mm.
  const auto planned = [](double depth) {
    Deep deep(depth);
    ShopFloor floor(deep.part, -0.4, depth + 4.5, 100);
    return floor.run(1, {0, 1, 2, 3}, false);
  };
  const SetupPlan shallow = planned(10.0), far = planned(24.0);
  EXPECT_EQ(endMills(shallow).count("flat-6-long"), 0u);
  EXPECT_EQ(endMills(shallow).count("flat-6"), 1u);
  EXPECT_EQ(endMills(far).count("flat-6-long"), 1u);
  // And where only the long one is there it does the shallow work slower.
  const auto wallFeed = [](const SetupPlan& plan, const std::string& id) {
    for (const Operation& op : plan.operations)
      if (op.kind == OperationKind::Wall && op.cutter == id) return op.conditions.feed.base;
    return 0.0;
  };
  Deep deep(10.0);
  ShopFloor floor(deep.part, -0.4, 14.5, 100);
  std::erase_if(floor.crib, [](const cutting::Cutter& c) { return c.id == "flat-6"; });
  const SetupPlan longOnly = floor.run(1, {0, 1, 2, 3}, false);
  ASSERT_GT(wallFeed(longOnly, "flat-6-long"), 0.0);
  ASSERT_GT(wallFeed(shallow, "flat-6"), 0.0);
  EXPECT_LT(wallFeed(longOnly, "flat-6-long"), wallFeed(shallow, "flat-6"));
  EXPECT_GT(minutesOf(longOnly), minutesOf(shallow));
}

}  // namespace
}  // namespace chipledger::path
