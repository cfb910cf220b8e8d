#include <gtest/gtest.h>
#include <chipledger/field/setup_view.hpp>
#include <chipledger/field/solid.hpp>
#include <chipledger/parallel/parallel.hpp>

#include "support/mesh_shapes.hpp"

using namespace chipledger;
using namespace chipledger::field;

namespace {

double difference(const Region& a, const Region& b) { return area(subtract(a, b)) + area(subtract(b, a)); }

GridSpec over(Vec2 min, Vec2 max, int cell_um) {
  GridSpec g;
  g.cell_um = cell_um;
  g.x0_mm = min.x - 0.737;
  g.y0_mm = min.y - 0.619;
  g.nx = static_cast<int>((max.x - min.x + 1.5) / g.cell());
  g.ny = static_cast<int>((max.y - min.y + 1.4) / g.cell());
  return g;
}

// Metal between the two views, mm3.
double between(const Solid::View& top, const Solid::View& bottom) {
  double sum = 0;
  for (std::size_t k = 0; k < top.height.cells.size(); ++k)
    if (top.height.cells[k] != kNoMetal) sum += (top.height.cells[k] - bottom.height.cells[k]) / 1000.0;
  const double h = top.height.spec.cell();
  return sum * h * h;
}

Change prism(Prism::Act act, Region region, double low, double high) {
  return {Change::Kind::Prism, {act, std::move(region), low, high}, {}};
}
Change lift(Region region, double above, double by) { return {Change::Kind::Lift, {}, {std::move(region), above, by}}; }

const Frame kTurned{{0.8, 0.6, 0}, {-0.6, 0.8, 0}, {0, 0, 1}, {3, -2, 0}};

}  // namespace

TEST(Solid, LevelsSectionsAndBoundsOfAPlate) {
  const shapes::Plate p;
  const Solid solid(shapes::plateWithIsland(p), Frame{});
  EXPECT_EQ(solid.levels(), (std::vector<double>{0, 0.6, 1.2, 2, 5}));
  EXPECT_EQ(solid.low(), 0);
  EXPECT_EQ(solid.high(), 5);
  const Region full = subtract(p.outline, p.hole);
  EXPECT_NEAR(difference(solid.section(0.3), subtract(full, p.relief)), 0, 1e-3);
  EXPECT_NEAR(difference(solid.section(1.2), full), 0, 1e-3);  // at a floor: just below it
  EXPECT_NEAR(difference(solid.section(1.9), subtract(full, p.pocket)), 0, 1e-3);
  EXPECT_NEAR(difference(solid.section(4), p.island), 0, 1e-3);
  EXPECT_TRUE(solid.section(5.1).empty());
}

TEST(Solid, ShadowsFromBothSides) {
  const shapes::Plate p;
  const Solid solid(shapes::plateWithIsland(p), Frame{});
  const Region full = subtract(p.outline, p.hole);
  EXPECT_NEAR(difference(solid.shadowFromAbove(2), p.island), 0, 1e-3);  // the tip may stand on the floor
  EXPECT_NEAR(difference(solid.shadowFromAbove(1.2), subtract(full, p.pocket)), 0, 1e-3);
  EXPECT_NEAR(difference(solid.shadowFromAbove(0.2), full), 0, 1e-3);  // the relief lies under metal
  EXPECT_NEAR(difference(solid.shadowFromAbove(-0.5), full), 0, 1e-3);
  EXPECT_NEAR(difference(solid.shadowFromBelow(0.6), subtract(full, p.relief)), 0, 1e-3);
  EXPECT_NEAR(difference(solid.shadowFromBelow(1.5), full), 0, 1e-3);
  EXPECT_NEAR(difference(solid.shadowFromBelow(5.5), full), 0, 1e-3);
}

TEST(Solid, ShadowOfOverhangingSlopesIsTheirWidestPlace) {
  // A disc whose rim bulges at half height (frustum up, then down): from above and below the widest ring rules.
  const Solid solid(shapes::body({{0, 1, shapes::round({0, 0}, 4), shapes::round({0, 0}, 5)},
                                  {1, 2, shapes::round({0, 0}, 5), shapes::round({0, 0}, 3)}}),
                    Frame{});
  const double widest = area(shapes::round({0, 0}, 5));
  const double off = 0.21;  // 0.003 mm of height on a slope of 2, along 31 mm of border
  EXPECT_NEAR(area(solid.shadowFromAbove(-1)), widest, off);
  EXPECT_NEAR(area(solid.shadowFromAbove(0.5)), widest, off);
  EXPECT_NEAR(area(solid.shadowFromAbove(1.5)), area(shapes::round({0, 0}, 4)), off);
  EXPECT_NEAR(area(solid.shadowFromBelow(3)), widest, off);
  EXPECT_NEAR(area(solid.shadowFromBelow(0.5)), area(shapes::round({0, 0}, 4.5)), off);
}

TEST(Solid, ViewsAgreeWithTheVolume) {
  const part::Body body = shapes::plateWithIsland();
  for (const bool turned : {false, true}) {
    const Solid solid(body, turned ? kTurned : Frame{});
    Box2 plan;
    for (Vec3 q : body.mesh.points) plan.add((turned ? kTurned : Frame{}).apply(q).xy());
    const GridSpec g = over(plan.min, plan.max, 50);
    EXPECT_NEAR(between(solid.fromAbove(g), solid.fromBelow(g)) / toMm3(body.volume), 1, 1.5e-3);
  }
}

TEST(Solid, ViewHeightsAreExactAtEveryCellOfAPlate) {
  const shapes::Plate p;
  const Solid solid(shapes::plateWithIsland(p), Frame{});
  const GridSpec g = over({0, 0}, {30, 20}, 70);
  const Solid::View top = solid.fromAbove(g), bottom = solid.fromBelow(g);
  for (int j = 0; j < g.ny; ++j) {
    for (int i = 0; i < g.nx; ++i) {
      const Vec2 c = g.centre(i, j);
      std::int32_t above = kNoMetal, below = -kNoMetal;
      if (contains(p.outline, c) && !contains(p.hole, c)) {
        above = contains(p.island, c) ? 5000 : contains(p.pocket, c) ? 1200 : 2000;
        below = contains(p.relief, c) ? 600 : 0;
      }
      ASSERT_EQ(top.height(i, j), above) << i << ' ' << j;
      ASSERT_EQ(bottom.height(i, j), below) << i << ' ' << j;
      ASSERT_EQ(top.face(i, j) >= 0, above != kNoMetal);
    }
  }
}

TEST(Solid, SameBytesForAnyNumberOfThreads) {
  const Solid solid =
      Solid(shapes::plateWithIsland(), kTurned).changed({lift(shapes::box(-50, -50, 50, 50), 1.5, 0.7)});
  const GridSpec g = over({-12, -20}, {28, 15}, 100);
  std::vector<std::vector<std::int32_t>> seen;
  for (int threads : {1, 2, 8}) {
    setThreads(threads);
    const Solid::View view = solid.fromAbove(g);
    seen.push_back(view.height.cells);
    seen.push_back(view.face.cells);
  }
  setThreads(0);
  for (std::size_t k = 2; k < seen.size(); ++k) EXPECT_EQ(seen[k], seen[k % 2]);
}

// A change must be the same change in sections, views and volume: each row is held against the body drawn that way.
struct ChangeRow {
  std::string name;
  std::vector<Change> changes;
  shapes::Plate after;
};

class SolidChange : public testing::TestWithParam<ChangeRow> {};

TEST_P(SolidChange, EqualsTheBodyDrawnThatWay) {
  const shapes::Plate before;
  const Solid changed = Solid(shapes::plateWithIsland(before), Frame{}).changed(GetParam().changes);
  const part::Body drawn = shapes::plateWithIsland(GetParam().after);
  const Solid want(drawn, Frame{});
  EXPECT_NEAR(toMm3(changed.volume()), toMm3(drawn.volume), 1e-3 * toMm3(drawn.volume) * 0.02);
  for (double z : {0.01, 0.59, 0.61, 1.19, 1.21, 1.39, 1.41, 1.99, 2.01, 2.99, 3.01, 4.99, 5.01, 5.99, 6.01, 6.5})
    EXPECT_NEAR(difference(changed.section(z), want.section(z)), 0, 2e-3) << z;
  for (double z : {-0.5, 0.5, 1.3, 1.6, 2.0, 2.5, 3.5, 5.5}) {
    EXPECT_NEAR(difference(changed.shadowFromAbove(z), want.shadowFromAbove(z)), 0, 2e-3) << z;
    EXPECT_NEAR(difference(changed.shadowFromBelow(z), want.shadowFromBelow(z)), 0, 2e-3) << z;
  }
  EXPECT_NEAR(changed.high(), want.high(), 1e-9);
  EXPECT_NEAR(changed.low(), want.low(), 1e-9);
  ASSERT_EQ(changed.levels().size(), want.levels().size());
  for (std::size_t k = 0; k < want.levels().size(); ++k) EXPECT_NEAR(changed.levels()[k], want.levels()[k], 1e-9);
  const GridSpec g = over({0, 0}, {30, 20}, 90);
  EXPECT_EQ(changed.fromAbove(g).height.cells, want.fromAbove(g).height.cells);
  EXPECT_EQ(changed.fromBelow(g).height.cells, want.fromBelow(g).height.cells);
}

namespace {
shapes::Plate with(void (*edit)(shapes::Plate&)) {
  shapes::Plate p;
  edit(p);
  return p;
}
const shapes::Plate kAsDrawn;
const Region kAll = shapes::box(-5, -5, 35, 25);

std::vector<ChangeRow> changeRows() {
  const Region island = offset(kAsDrawn.island, 0.5);
  std::vector<ChangeRow> rows;
  rows.push_back({"IslandTaller", {lift(island, 3, 1)}, with([](auto& p) { p.islandTop = 6; })});
  rows.push_back({"IslandLower", {lift(island, 4.5, -2)}, with([](auto& p) { p.islandTop = 3; })});
  rows.push_back({"BodyThicker", {lift(kAll, 1.6, 1)}, with([](auto& p) { p.top = 3, p.islandTop = 6; })});
  rows.push_back({"BodyThinner", {lift(kAll, 1.8, -0.4)}, with([](auto& p) { p.top = 1.6, p.islandTop = 4.6; })});
  rows.push_back(
      {"FloorHigher", {prism(Prism::Act::Add, kAsDrawn.pocket, 1.2, 1.4)}, with([](auto& p) { p.pocketFloor = 1.4; })});
  rows.push_back({"FloorLower", {prism(Prism::Act::Remove, kAsDrawn.pocket, 0.8, 1.2)}, with([](auto& p) {
                    p.pocketFloor = 0.8;
                  })});
  rows.push_back(
      {"HoleMoved",
       {prism(Prism::Act::Add, kAsDrawn.hole, 0, 2), prism(Prism::Act::Remove, shapes::round({3, 3}, 1), 0, 2)},
       with([](auto& p) {
         p.hole = shapes::round({3, 3}, 1);
       })});
  rows.push_back({"TallerThenLowerAgain", {lift(island, 3, 1), lift(island, 5, -1)}, kAsDrawn});
  return rows;
}

}  // namespace

INSTANTIATE_TEST_SUITE_P(Rows, SolidChange, testing::ValuesIn(changeRows()),
                         [](const auto& row) { return row.param.name; });

// Equal sections have equal points: what is made of them is remembered by content.
TEST(Solid, SectionsBetweenTwoLevelsAreOne) {
  const shapes::Plate p;
  const Solid solid(shapes::plateWithIsland(p), kTurned);
  const Region walls = solid.section(1.3), island = solid.section(2.2);
  for (const double z : {1.4, 1.7, 2.0}) EXPECT_EQ(solid.section(z).rings, walls.rings) << z;
  for (const double z : {2.9, 3.3, 5.0}) EXPECT_EQ(solid.section(z).rings, island.rings) << z;
  // An island moved up or down keeps its section, and so does what stands beside and under it.
  for (const double by : {0.0007, 0.8, -1.1}) {
    const Solid moved = solid.changed({lift(island, 3.5, by)});
    for (const double z : {1.4, 1.7, 2.0}) EXPECT_EQ(moved.section(z).rings, walls.rings) << by << ' ' << z;
    for (const double z : {2.2, 3.6, 5.0 + by}) EXPECT_EQ(moved.section(z).rings, island.rings) << by << ' ' << z;
    EXPECT_TRUE(moved.section(5.001 + by).empty()) << by;
  }
}

// Files in the wrong unit are large: products of counts (1e5 a mm) of such sides are beyond 64 bits, here by exactly
// 2^64.
TEST(Solid, ASquareOf43MetresKeepsItsCorners) {
  const double side = 42949.67296;
  const Solid solid(shapes::body({{0, 2, shapes::box(0, 0, side, side)}}), Frame{});
  EXPECT_EQ(solid.section(1).rings, (std::vector<Ring>{{{0, 0}, {side, 0}, {side, side}, {0, side}}}));
}

// The body's own view is kept, and only what a change covers is looked at anew.
TEST(Solid, ViewsAfterAChangeAreThoseOfASolidNeverLookedAt) {
  const shapes::Plate p;
  const auto body = shapes::plateWithIsland(p);
  const Box2 b = box(p.outline);
  const GridSpec fine = over(b.min, b.max, 130), coarse = over(b.min, b.max, 410);
  const std::vector<Change> changes{lift(p.island, 3.0, 0.4), prism(Prism::Act::Remove, disc({1, 2}, 2.3), 0.9, 9.0),
                                    prism(Prism::Act::Add, disc({6, 1}, 1.7), -0.3, 2.6)};
  const Solid looked(body, Frame{});
  for (std::size_t count = 0; count <= changes.size(); ++count) {
    const std::vector<Change> some(changes.begin(), changes.begin() + static_cast<std::ptrdiff_t>(count));
    for (const GridSpec& spec : {fine, coarse, fine}) {
      looked.fromAbove(spec);
      looked.fromBelow(spec);
      const Solid anew = Solid(body, Frame{}).changed(some), kept = looked.changed(some);
      EXPECT_EQ(kept.fromAbove(spec).height.cells, anew.fromAbove(spec).height.cells);
      EXPECT_EQ(kept.fromAbove(spec).face.cells, anew.fromAbove(spec).face.cells);
      EXPECT_EQ(kept.fromBelow(spec).height.cells, anew.fromBelow(spec).height.cells);
      EXPECT_EQ(kept.fromBelow(spec).face.cells, anew.fromBelow(spec).face.cells);
    }
  }
}

TEST(Solid, IslandTakenAwayLeavesThePlate) {
  const shapes::Plate p;
  const part::Body body = shapes::plateWithIsland(p);
  const Solid changed = Solid(body, Frame{}).changed({prism(Prism::Act::Remove, offset(p.island, 0.01), 2, 5)});
  EXPECT_NEAR(toMm3(changed.volume()), toMm3(body.volume) - 3 * area(p.island), 1e-3);
  EXPECT_EQ(changed.high(), 2);
  EXPECT_EQ(changed.levels(), (std::vector<double>{0, 0.6, 1.2, 2}));
  const GridSpec g = over({0, 0}, {30, 20}, 90);
  for (std::int32_t z : changed.fromAbove(g).height.cells) EXPECT_LE(z, 2000);
}

TEST(SetupView, TheBackIsThePlateTurnedOver) {
  const shapes::Plate p;
  const part::Body body = shapes::plateWithIsland(p);
  setup::Plan plan;
  setup::Setup outer, back;
  back.fromAbove = false;
  back.partToSetup = {{1, 0, 0}, {0, -1, 0}, {0, 0, -1}, {0, 0, 5}};
  plan.setups = {back, outer};
  const Solid solid(body, Frame{});
  const SetupView above(solid, body, plan, 1), below(solid, body, plan, 0);
  EXPECT_NEAR(above.high(), 5, 1e-12);
  EXPECT_NEAR(below.high(), 5, 1e-12);
  EXPECT_EQ(below.levels(), (std::vector<double>{0, 3, 3.8, 4.4, 5}));
  const Region full = subtract(p.outline, p.hole);
  const auto seen = [](Region r) {  // y -> -y
    for (Ring& ring : r.rings) {
      for (Vec2& q : ring) q.y = -q.y;
      std::reverse(ring.begin(), ring.end());
    }
    return r;
  };
  EXPECT_NEAR(difference(below.section(4.7), seen(subtract(full, p.relief))), 0, 1e-3);
  EXPECT_NEAR(difference(below.section(4.4), seen(full)), 0, 1e-3);  // the relief's floor: just below it
  EXPECT_NEAR(difference(below.section(3.0), seen(p.island)), 0, 1e-3);
  EXPECT_NEAR(difference(below.shadow(4.4), seen(subtract(full, p.relief))), 0, 1e-3);
  EXPECT_NEAR(difference(below.shadow(2.0), seen(full)), 0, 1e-3);
  EXPECT_GT(area(below.section(4.7)), 0);
  const GridSpec g = over({0, -20}, {30, 0}, 80);
  const Solid::View view = below.view(g);
  const GridSpec plate = over({0, -20}, {30, 0}, 80);
  for (int j = 0; j < g.ny; ++j) {
    for (int i = 0; i < g.nx; ++i) {
      const Vec2 c{plate.centre(i, j).x, -plate.centre(i, j).y};
      const bool metal = contains(p.outline, c) && !contains(p.hole, c);
      ASSERT_EQ(view.height(i, j), metal ? (contains(p.relief, c) ? 4400 : 5000) : kNoMetal);
    }
  }
}

TEST(SetupView, FromTheSideSeesItsOwnTriangles) {
  const part::Body body = shapes::body({{0, 4, shapes::box(0, 0, 10, 6)}});
  setup::Plan plan;
  setup::Setup side;
  side.plateSide = false;
  side.direction = {1, 0, 0};
  side.partToSetup = {{0, 1, 0}, {0, 0, 1}, {1, 0, 0}, {0, 0, 0}};
  plan.setups = {side};
  const Solid changed = Solid(body, Frame{}).changed({prism(Prism::Act::Remove, shapes::box(0, 0, 1, 1), 0, 4)});
  const SetupView view(changed, body, plan, 0);
  EXPECT_TRUE(view.changesLeftOut());
  EXPECT_NEAR(view.high(), 10, 1e-12);
  EXPECT_NEAR(area(view.section(5)), 24, 1e-3);
}
