// What no cutter reaches: corners against the closed form, told by radius, depth and place; slots told apart; and the
// body of a short cutter against what stands beside the place it works in.
#include <chipledger/field/corner_rest.hpp>
#include <chipledger/path/chart.hpp>
#include <chipledger/path/corners.hpp>
#include <chipledger/path/kit.hpp>

#include <numbers>

#include "path/shop_floor.hpp"

namespace chipledger::path {
namespace {

constexpr double kFit_mm = 0.02;

// A regular polygon of `sides` sides with inradius `inner` and rounded corners, as a pocket.
Region roundedPolygon(int sides, double inner, double corner) {
  Ring ring;
  const double outer = inner / std::cos(std::numbers::pi / sides);
  for (int i = 0; i < sides; ++i) {
    const double a = 2.0 * std::numbers::pi * i / sides + 0.3;
    ring.push_back({outer * std::cos(a), outer * std::sin(a)});
  }
  const Region sharp = clean({ring});
  return corner > 0 ? offset(offset(sharp, -corner), corner) : sharp;
}

struct CornerRow {
  const char* name;
  int sides;
  double cutter, corner;
};

class Corners : public testing::TestWithParam<CornerRow> {};

TEST_P(Corners, AreaRadiusAndCountAreTheClosedForm) {
  const CornerRow row = GetParam();
  Zone zone;
  zone.metal = roundedPolygon(row.sides, 8.0, row.corner);
  zone.obstacle = subtract(rectangle({-30, -30}, {30, 30}), zone.metal);
  zone.depth_mm = 2.5;
  const double R = row.cutter;
  const Region left = unreachable(zone.metal, zone.obstacle, R, kFit_mm);
  const auto corners = grouped(cornersOf(zone, left, R, kFit_mm));
  ASSERT_EQ(corners.size(), 1u);
  ASSERT_EQ(corners.front().size(), static_cast<std::size_t>(row.sides));
  const double between = std::numbers::pi * (row.sides - 2) / row.sides;
  // The clearance is given back along the walls, so the corner is that of a cutter larger by it.
  const double expected = toMm2(field::cornerRest(mm(R + kFit_mm), mm(row.corner), {between}));
  for (const Corner& c : corners.front()) {
    EXPECT_NEAR(c.area_mm2, expected, 0.06 * expected + 0.004);
    EXPECT_NEAR(c.radius_mm, row.corner > 0 ? row.corner - kFit_mm : 0.0, 0.06);
    EXPECT_DOUBLE_EQ(c.depth_mm, 2.5);
    EXPECT_FALSE(c.slot);
    EXPECT_GT(norm(c.place), 7.0);
  }
}
INSTANTIATE_TEST_SUITE_P(Path, Corners,
                         testing::Values(CornerRow{"square", 4, 3.0, 1.0}, CornerRow{"square sharp", 4, 1.5, 0.0},
                                         CornerRow{"triangle", 3, 1.5, 0.5}, CornerRow{"six sides", 6, 4.0, 1.0}),
                         [](const auto& row) {
                           std::string name = row.param.name;
                           std::replace(name.begin(), name.end(), ' ', '_');
                           return name;
                         });

TEST(Corners, ANarrowSlotIsNoCorner) {
  Zone zone;
  zone.metal = rectangle({0, 0}, {20, 0.4});
  zone.obstacle = subtract(rectangle({-10, -10}, {30, 10}), zone.metal);
  zone.depth_mm = 2.0;
  const auto corners = cornersOf(zone, unreachable(zone.metal, zone.obstacle, 0.5, kFit_mm), 0.5, kFit_mm);
  ASSERT_EQ(corners.size(), 1u);
  EXPECT_TRUE(corners.front().slot);
  EXPECT_NEAR(corners.front().width_mm, 0.4, 0.01);
  EXPECT_NEAR(corners.front().length_mm, 20.0, 0.2);
}

// The cheapest sequence against all of them, with areas and times worked out here once more.
TEST(Chain, CheapestOfAllSequences) {
  std::vector<Zone> zones(2);
  zones[0].metal = test::roundedRectangle({0, 0}, {40, 18}, 1.2);
  zones[0].obstacle = subtract(rectangle({-20, -20}, {60, 40}), zones[0].metal);
  zones[0].depth_mm = 3.0;
  zones[1].metal = test::roundedRectangle({50, 0}, {58, 4}, 1.9);
  zones[1].obstacle = subtract(rectangle({30, -20}, {80, 30}), zones[1].metal);
  zones[1].depth_mm = 5.0;
  std::vector<Candidate> candidates;
  for (double r : {5.0, 4.0, 3.0, 2.0, 1.5, 1.0}) {
    Candidate c;
    c.radius_mm = r;
    c.reach_mm = r < 1.2 ? 4.0 : 30.0;  // the smallest does not reach the second zone
    c.step_mm = 0.3 * r;
    c.layer_mm = r;
    c.feed_mm_s = 3.0 * r;
    c.moneyPerSecond = 0.02;
    c.changeMoney = 0.2;
    candidates.push_back(c);
  }
  const Chain chain = chooseChain(zones, candidates, kFit_mm);
  ASSERT_FALSE(chain.cutters.empty());
  const auto leaves = [&](std::size_t j, std::size_t z) {
    return candidates[j].reach_mm < zones[z].depth_mm
               ? zones[z].metal
               : unreachable(zones[z].metal, zones[z].obstacle, candidates[j].radius_mm, kFit_mm);
  };
  double cheapest = 1e300;
  for (unsigned set = 1; set < 64; ++set) {
    double money = 0.0;
    std::vector<Region> left{zones[0].metal, zones[1].metal};
    for (std::size_t j = 0; j < 6; ++j) {
      if ((set >> j & 1u) == 0) continue;
      money += candidates[j].changeMoney;
      for (std::size_t z = 0; z < 2; ++z) {
        const Region after = intersect(left[z], leaves(j, z));
        if (area(left[z]) - area(after) <= 0.02) continue;
        const Region take = offset(offset(subtract(left[z], after), -0.02, 0.005), 0.02, 0.005);
        const double length = area(take) / candidates[j].step_mm + 0.5 * perimeter(take);
        money += std::ceil(zones[z].depth_mm / candidates[j].layer_mm - 1e-9) *
                 (length / candidates[j].feed_mm_s + 2.0 * static_cast<double>(pieces(take).size())) * 0.02;
        left[z] = after;
      }
    }
    double stays = 0.0;
    for (std::size_t z = 0; z < 2; ++z) {
      double best = 1e300;
      for (std::size_t j = 0; j < 6; ++j) best = std::min(best, area(leaves(j, z)));
      stays += std::max(0.0, area(left[z]) - best - 0.02);
    }
    cheapest = std::min(cheapest, money + 1e4 * stays);
  }
  EXPECT_LE(chain.money, cheapest * 1.02 + 1e-9);  // near ties go to the shorter sequence
  EXPECT_GE(chain.money, cheapest * 0.999);
}

// A lock cut in the body below an island: the short cutter for it stands beside the island with its shank.
struct CutBesideIsland {
  test::PlatePart part;
  explicit CutBesideIsland(double gap) : part(test::roundedRectangle({0, 0}, {40, 20}, 4), 2.0, 5.2) {
    part.island(test::roundedRectangle({12, 10 + gap}, {28, 14 + gap}, 1.99), 5.2);
    part.window(test::roundedRectangle({8, 8.8}, {32, 10}, 0.59));
    part.finish();
  }
  double leftInCut(ShopFloor& floor) const {
    const Region cut = offset(test::roundedRectangle({8, 8.8}, {32, 10}, 0.59), -0.1);
    double left = 0.0;
    const field::GridSpec& g = floor.stock.top.spec;
    for (int j = 0; j < g.ny; ++j)
      for (int i = 0; i < g.nx; ++i)
        if (floor.stock.top(i, j) != field::kNoMetal && contains(cut, g.centre(i, j))) left += g.cell() * g.cell();
    return left;
  }
};

bool hasNote(const SetupPlan& plan, const std::string& code) {
  return std::any_of(plan.notes.begin(), plan.notes.end(), [&](const Note& n) { return n.code == code; });
}

TEST(Body, AShortCutterReachesTheBodyBesideAnIslandThatIsFarEnough) {
  CutBesideIsland p(4.0);
  ShopFloor floor(p.part, -0.4, 5.7);
  floor.run(0, {}, false);
  const SetupPlan plan = floor.run(1, {0, 1, 2, 3}, false);
  EXPECT_EQ(plan.gouged.um3, 0);
  EXPECT_LT(p.leftInCut(floor), 0.1);
  EXPECT_FALSE(hasNote(plan, "slot-left"));
  // Nothing of shank or holder may have passed through the island.
  for (const Operation& op : plan.operations) {
    const cutting::Cutter cutter = *cutting::findCutter(cutting::builtInTables(), op.cutter);
    const Body body = bodyOf(cutter);
    const Region island = test::roundedRectangle({12, 14}, {28, 18}, 1.99);
    for (const Move& m : op.moves) {
      if (m.kind == MoveKind::Rapid) continue;
      for (double t : {0.0, 0.5, 1.0}) {
        const Vec3 at = pointAt(m.segment, t);
        if (body.shankRadius_mm > 0 && at.z + body.shankFrom_mm < 5.2) {
          EXPECT_GT(-wallDistance(island, at.xy()), body.shankRadius_mm) << op.id;
        }
        if (at.z + body.holderFrom_mm < 5.2) {
          EXPECT_GT(-wallDistance(island, at.xy()), body.holderRadius_mm) << op.id;
        }
      }
    }
  }
}

TEST(Body, WhereTheShankWouldTouchTheIslandTheCutIsLeftAndSaid) {
  CutBesideIsland p(0.3);
  ShopFloor floor(p.part, -0.4, 8.2);
  floor.run(0, {}, false);
  const SetupPlan plan = floor.run(1, {0, 1, 2, 3}, false);
  EXPECT_EQ(plan.gouged.um3, 0);
  EXPECT_GT(p.leftInCut(floor), 5.0);
  EXPECT_TRUE(hasNote(plan, "slot-left"));
}

}  // namespace
}  // namespace chipledger::path
