// A block cut from above and then seen and cut from a side: heights, voids and booked metal against direct tests of
// points, one by one.
#include <gtest/gtest.h>
#include <chipledger/field/removal.hpp>
#include <chipledger/field/side_stock.hpp>

namespace chipledger::field {
namespace {

// 6 x 4 x 3 mm, 0.1 mm cells; a trough 1 mm wide across y at x 2..3 down to z = 1, a hole through at x 4..4.6 y 1..2.
StockBlock block() {
  GridSpec g;
  g.cell_um = 100;
  g.nx = 60;
  g.ny = 40;
  StockBlock b = fullBlank(g, {{0, 0, 0}, {6, 4, 3}});
  for (int j = 0; j < g.ny; ++j)
    for (int i = 0; i < g.nx; ++i) {
      const Vec2 c = g.centre(i, j);
      if (c.x > 2 && c.x < 3) b.top(i, j) = 1000;
      if (c.x > 4 && c.x < 4.6 && c.y > 1 && c.y < 2) {
        b.top(i, j) = kNoMetal;
        b.bottom(i, j) = kNoBottom;
      }
    }
  return b;
}
bool metal(Vec3 p) {
  if (p.x < 0 || p.x > 6 || p.y < 0 || p.y > 4 || p.z < 0 || p.z > 3) return false;
  if (p.x > 2 && p.x < 3 && p.z > 1) return false;
  return !(p.x > 4 && p.x < 4.6 && p.y > 1 && p.y < 2);
}

// Spindle along +x of the plate: x' = y, y' = z, z' = x.
Frame fromX() { return {{0, 1, 0}, {0, 0, 1}, {1, 0, 0}, {}}; }
GridSpec sideGrid() {
  GridSpec g;
  g.cell_um = 100;
  g.nx = 40;
  g.ny = 30;
  return g;
}
// Metal of a column of the side field above a height, by points 0.05 mm apart.
double countedAbove(Vec2 c, double height, const auto& isMetal) {
  constexpr double kStep = 0.01;
  double sum = 0;
  for (double x = height + 0.5 * kStep; x < 6; x += kStep) sum += isMetal(Vec3{x, c.x, c.y}) ? kStep : 0.0;
  return sum;
}

TEST(SideStock, HeightsAndVoidsAreThoseOfThePoints) {
  const StockBlock seen = seenFrom(block(), {}, fromX(), sideGrid(), -1, 7);
  const GridSpec& g = seen.top.spec;
  for (int j = 0; j < g.ny; ++j)
    for (int i = 0; i < g.nx; ++i) EXPECT_NEAR(seen.top(i, j), 6000, 2);
  EXPECT_NEAR(static_cast<double>(metalLeft(seen).um3) * 1e-9, 6 * 4 * 3 - 1 * 4 * 2 - 0.6 * 1 * 3, 0.02);
  EXPECT_EQ(metalLeft(block()).um3, 62200000000);
}

TEST(SideStock, CutsThroughVoidsBookOnlyMetal) {
  StockBlock seen = seenFrom(block(), {}, fromX(), sideGrid(), -1, 7);
  const VolumeCount before = metalLeft(seen);
  Aim aim;
  aim.target = HeightField(seen.top.spec, kNoMetal);
  Removal removal(seen, Frame{}, aim);
  VolumeCount booked;
  // Down through the hole in steps, then through the trough.
  double last = 6;
  for (const double z : {5.0, 4.3, 3.5, 2.5, 1.5}) {
    const CutResult cut = removal.cut(line({0.5, 2, z}, {3.5, 2, z}), flatProfile(1.2));
    booked += cut.removed;
    double counted = 0;
    const GridSpec& g = removal.grid();
    for (int j = 0; j < g.ny; ++j)
      for (int i = 0; i < g.nx; ++i) {
        const Vec2 c = g.centre(i, j);
        const double d = std::abs(c.y - 2), along = c.x < 0.5 ? 0.5 - c.x : c.x > 3.5 ? c.x - 3.5 : 0.0;
        if (d * d + along * along > 0.36 - 1e-9) continue;
        counted += (countedAbove(c, z, metal) - countedAbove(c, last, metal)) * 0.01;
      }
    EXPECT_NEAR(static_cast<double>(cut.removed.um3) * 1e-9, counted, 0.01 + 0.01 * counted) << z;
    last = z;
  }
  EXPECT_EQ((booked + removal.metalLeft()).um3, before.um3);
}

TEST(SideStock, ALaterSideSeesWhatAnEarlierOneCut) {
  StockBlock first = seenFrom(block(), {}, fromX(), sideGrid(), -1, 7);
  for (int j = 10; j < 20; ++j)
    for (int i = 5; i < 15; ++i) first.top(i, j) = 3500;
  const std::vector<SideCut> cuts{{fromX(), first.top}};
  const auto after = [](Vec3 p) { return metal(p) && !(p.x > 3.5 && p.y > 0.5 && p.y < 1.5 && p.z > 1 && p.z < 2); };
  // Along -y: x' = x, y' = z, z' = -y.
  const Frame down{{1, 0, 0}, {0, 0, 1}, {0, -1, 0}, {}};
  GridSpec g;
  g.cell_um = 100;
  g.nx = 60;
  g.ny = 30;
  const StockBlock seen = seenFrom(block(), cuts, down, g, -5, 1);
  double counted = 0;
  for (int j = 0; j < g.ny; ++j)
    for (int i = 0; i < g.nx; ++i) {
      const Vec2 c = g.centre(i, j);
      for (double y = 0.025; y < 4; y += 0.05) counted += after({c.x, y, c.y}) ? 0.05 * 0.01 : 0.0;
    }
  EXPECT_NEAR(static_cast<double>(metalLeft(seen).um3) * 1e-9, counted, 0.003 * counted);
}

}  // namespace
}  // namespace chipledger::field
