// A block cut from above and then seen and cut from a side: heights, voids and booked metal against direct tests of
// points, one by one.
#include <gtest/gtest.h>
#include <chipledger/field/removal.hpp>
#include <chipledger/field/side_stock.hpp>

#include <cmath>
#include <random>

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

// The slow obvious twin: every place of every ray, a cell apart.
StockBlock seenByEveryStep(const StockBlock& stock, const std::vector<SideCut>& cuts, const Frame& toSetup,
                           const GridSpec& spec, double low, double high) {
  StockBlock seen{HeightField(spec, kNoMetal), HeightField(spec, kNoBottom), {}};
  const auto metalAt = [&](Vec3 p) {
    const GridSpec& g = stock.top.spec;
    const int i = g.column(p.x), j = g.row(p.y);
    if (i < 0 || j < 0 || i >= g.nx || j >= g.ny) return false;
    if (p.z * 1000.0 >= stock.top(i, j) || p.z * 1000.0 <= stock.bottom(i, j)) return false;
    for (const SideCut& cut : cuts) {
      const Vec3 q = cut.plateToSetup.apply(p);
      const GridSpec& s = cut.heights.spec;
      const int a = s.column(q.x), b = s.row(q.y);
      if (a < 0 || b < 0 || a >= s.nx || b >= s.ny) continue;
      if (cut.heights(a, b) == kNoMetal || q.z * 1000.0 >= cut.heights(a, b)) return false;
    }
    return true;
  };
  const double step = stock.top.spec.cell();
  for (int j = 0; j < spec.ny; ++j)
    for (int i = 0; i < spec.nx; ++i) {
      const Vec2 c = spec.centre(i, j);
      const auto at = [&](double z) { return metalAt(toSetup.turnBack(Vec3{c.x, c.y, z} - toSetup.shift)); };
      bool inside = false;
      std::int32_t end = kNoMetal;
      const std::size_t cell = spec.at(i, j);
      const int count = static_cast<int>(std::ceil((high - low) / step));
      double last = high + 0.5 * step;
      for (int k = 0; k <= count; ++k) {
        const double z = k == count ? low - 0.5 * step : high - (k + 0.5) * step;
        double a = last, b = z;
        last = z;
        if (at(z) == inside) continue;
        for (int h = 0; h < 6; ++h) (at(0.5 * (a + b)) == inside ? a : b) = 0.5 * (a + b);
        const auto border = static_cast<std::int32_t>(std::lround(500.0 * (a + b)));
        if (inside) {
          end = border;
          seen.bottom.cells[cell] = border;
        } else if (seen.top.cells[cell] == kNoMetal) {
          seen.top.cells[cell] = border;
        } else {
          seen.gaps.push_back({cell, end, border});
        }
        inside = !inside;
      }
    }
  return seen;
}

// Steps, slopes and holes, of many sizes; no height is one that a ray is looked at. Odd counts of cells, so that blocks
// end inside and outside of the grid.
StockBlock scattered(std::mt19937& random, int nx, int ny) {
  const auto any = [&](int most) { return static_cast<int>(random() % static_cast<unsigned>(most)); };
  GridSpec g;
  g.cell_um = 100;
  g.nx = nx;
  g.ny = ny;
  StockBlock b = fullBlank(g, {{0, 0, 0}, {nx * 0.1, ny * 0.1, 3}});
  for (int k = 0; k < 12; ++k) {
    const int i0 = any(nx), j0 = any(ny), wide = 1 + any(nx / 2), high = 1 + any(ny / 2), kind = any(4);
    const int z = 203 + 10 * any(250), lean = any(30) - 15;
    for (int j = j0; j < std::min(ny, j0 + high); ++j)
      for (int i = i0; i < std::min(nx, i0 + wide); ++i) {
        if (b.top(i, j) == kNoMetal) continue;
        if (kind == 0) {
          b.top(i, j) = kNoMetal;
          b.bottom(i, j) = kNoBottom;
        } else if (kind == 1) {
          b.bottom(i, j) = std::min(b.top(i, j) - 50, std::max(b.bottom(i, j), z / 3));
        } else {
          b.top(i, j) = std::max(b.bottom(i, j) + 50, std::min(b.top(i, j), z + (kind == 2 ? 0 : lean * (i - i0))));
        }
      }
  }
  return b;
}

struct Direction {
  const char* name;
  Frame frame;
};

class SeenAlong : public testing::TestWithParam<Direction> {};

TEST_P(SeenAlong, StretchesPassedOverChangeNothing) {
  std::mt19937 random(7919);
  const Frame frame = GetParam().frame;
  for (int round = 0; round < 8; ++round) {
    const int nx = 53 + 7 * round, ny = 41 - 3 * round;
    const StockBlock stock = scattered(random, nx, ny);
    std::vector<SideCut> cuts;
    GridSpec side;
    side.cell_um = 100;
    side.nx = 37;
    side.ny = 25;
    side.x0_mm = -0.3;
    for (int k = 0; k < round % 3; ++k) {
      // Heights another setup left: on grids smaller than the part, with places cut through.
      SideCut cut{k == 0 ? fromX() : Frame{{1, 0, 0}, {0, 0, 1}, {0, -1, 0}, {}}, HeightField(side, 20000)};
      for (std::int32_t& z : cut.heights.cells)
        if (const unsigned one = static_cast<unsigned>(random() % 9); one < 2)
          z = one == 0 ? kNoMetal : (k == 0 ? 2503 : -1197);
      cuts.push_back(std::move(cut));
    }
    GridSpec spec;
    spec.cell_um = 100;
    spec.nx = 61;
    spec.ny = 43;
    spec.x0_mm = -0.33;
    spec.y0_mm = -0.71;
    const StockBlock fast = seenFrom(stock, cuts, frame, spec, -10.0, 12.0);
    const StockBlock slow = seenByEveryStep(stock, cuts, frame, spec, -10.0, 12.0);
    int apart = 0;
    for (std::size_t c = 0; c < spec.count(); ++c)
      apart += std::abs(fast.top.cells[c] - slow.top.cells[c]) > 2 ||
               std::abs(fast.bottom.cells[c] - slow.bottom.cells[c]) > 2;
    EXPECT_EQ(apart, 0) << "round " << round;
    EXPECT_EQ(fast.gaps.size(), slow.gaps.size()) << "round " << round;
  }
}

// Rays through the middle of cells, along a row, along a column, up, and askew.
INSTANTIATE_TEST_SUITE_P(
    SideStock, SeenAlong,
    testing::Values(Direction{"row", fromX()}, Direction{"column", {{1, 0, 0}, {0, 0, 1}, {0, -1, 0}, {}}},
                    Direction{"up", {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {}}},
                    Direction{"askew", {{0.8, 0, -0.6}, {0, 1, 0}, {0.6, 0, 0.8}, {0.01, 0.02, 0}}},
                    Direction{"level-askew", {{0.8, -0.6, 0}, {0, 0, 1}, {-0.6, -0.8, 0}, {0.01, 0, 0}}}),
    [](const testing::TestParamInfo<Direction>& at) {
      std::string name = at.param.name;
      std::erase(name, '-');
      return name;
    });

}  // namespace
}  // namespace chipledger::field
