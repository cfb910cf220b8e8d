#include <gtest/gtest.h>
#include <chipledger/field/removal.hpp>

#include <numbers>
#include <random>

#include "support/reference/slow_removal.hpp"

using namespace chipledger;
using namespace chipledger::field;

namespace {

GridSpec grid(int nx, int ny, int cell_um, double x0 = 0, double y0 = 0) { return {nx, ny, x0, y0, cell_um}; }

StockBlock block(const GridSpec& g, double low, double high) {
  const Vec2 far{g.x0_mm + g.nx * g.cell(), g.y0_mm + g.ny * g.cell()};
  return fullBlank(g, Box3{{g.x0_mm, g.y0_mm, low}, {far.x, far.y, high}});
}

// Half turn about x, as the back of the plate is seen: z' = high - z, y' = width - y.
Frame turnedOver(double high, double width) { return {{1, 0, 0}, {0, -1, 0}, {0, 0, -1}, {0, width, high}}; }

Aim aimAt(const GridSpec& g, double height_mm) {
  return {HeightField(g, static_cast<std::int32_t>(std::llround(height_mm * 1000))), {}};
}

VolumeCount sum(const CutResult& r) {
  VolumeCount total;
  for (const Stretch& s : r.stretches) total += s.removed;
  return total;
}

Profile someProfile(std::mt19937& random) {
  std::uniform_real_distribution<double> unit(0, 1);
  const double d = 0.6 + 2.4 * unit(random);
  switch (random() % 4) {
    case 0:
      return flatProfile(d);
    case 1:
      return bullProfile(d, 0.3 * d * unit(random) + 0.02);
    case 2:
      return ballProfile(d);
    default:
      return coneProfile(d, std::numbers::pi * (0.3 + 0.5 * unit(random)), 0.3 * d * unit(random));
  }
}

}  // namespace

TEST(Removal, PlungeTakesTheDiscAndNoMore) {
  const GridSpec g = grid(200, 200, 50);
  StockBlock stock = block(g, 0, 5);
  const VolumeCount before = metalLeft(stock);
  {
    Removal walk(stock, Frame{}, aimAt(g, 0));
    const CutResult r = walk.cut(line({5, 5, 8}, {5, 5, 2}), flatProfile(6));
    EXPECT_NEAR(toMm3(toVolume(r.removed)), std::numbers::pi * 9 * 3, 0.15);  // closed form; cells of 0.05
    EXPECT_EQ(sum(r), r.removed);
    EXPECT_EQ(walk.metalLeft() + r.removed, before);
    EXPECT_EQ(walk.touch(line({5, 5, 8}, {5, 5, 2}), flatProfile(6)), 0);
    EXPECT_EQ(walk.touch(line({5, 5, 8}, {5.2, 5, 2}), flatProfile(6)) > 0, true);
  }
  EXPECT_LT(metalLeft(stock), before);
}

TEST(Removal, TouchesIsWhetherTouchFindsAny) {
  const GridSpec g = grid(200, 200, 50);
  StockBlock stock = block(g, 0, 5);
  Removal walk(stock, Frame{}, aimAt(g, 0));
  walk.cut(line({2, 2, 3}, {8, 8, 3}), flatProfile(3));
  int met = 0;
  for (int k = 0; k < 200; ++k) {
    const Segment way = line({k % 11 * 1.0, k % 7 * 1.4, 1.0 + k % 5}, {k % 13 * 0.8, k % 9 * 1.1, 1.0 + k % 5});
    for (const Profile& cutter : {flatProfile(0.5), ballProfile(2.0), flatProfile(2.9)}) {
      EXPECT_EQ(walk.touches(way, cutter), walk.touch(way, cutter) > 0) << k;
      met += walk.touches(way, cutter) ? 1 : 0;
    }
  }
  EXPECT_GT(met, 50);
  EXPECT_LT(met, 550);
}

TEST(Removal, SideCutMeasuresItsWidthAndSlotIsFullWidth) {
  const GridSpec g = grid(600, 240, 50);
  StockBlock stock = block(g, 0, 5);
  Removal walk(stock, Frame{}, aimAt(g, 0));
  const Profile cutter = flatProfile(3);
  const double ae = 0.6;
  // Comes from outside the blank along its lower edge.
  walk.cut(line({-3, ae - 1.5, 3}, {5, ae - 1.5, 3}), cutter);
  const CutResult side = walk.cut(line({5, ae - 1.5, 3}, {25, ae - 1.5, 3}), cutter);
  for (const Stretch& s : side.stretches) EXPECT_NEAR(s.width_mm, ae, 0.05);
  EXPECT_EQ(side.air_mm, 0.0);
  EXPECT_NEAR(toMm3(toVolume(side.removed)), 20 * ae * 2, 0.5);
  walk.lift();
  walk.cut(line({-3, 8, 3}, {5, 8, 3}), cutter);
  const CutResult slot = walk.cut(line({5, 8, 3}, {25, 8, 3}), cutter);
  EXPECT_NEAR(slot.fullWidth_mm, 20.0, 1e-9);
  const CutResult again = walk.cut(line({25, 8, 3}, {5, 8, 3}), cutter);
  EXPECT_EQ(again.removed.um3, 0);
  EXPECT_NEAR(again.air_mm, 20.0, 1e-9);
}

TEST(Removal, ShortPiecesShareOneWindow) {
  const GridSpec g = grid(600, 120, 50);
  StockBlock stock = block(g, 0, 2);
  Removal walk(stock, Frame{}, aimAt(g, 0));
  const Profile cutter = flatProfile(3);
  walk.cut(line({-3, -0.9, 1}, {5, -0.9, 1}), cutter);
  for (int k = 0; k < 200; ++k) {
    const CutResult r = walk.cut(line({5 + 0.07 * k, -0.9, 1}, {5.07 + 0.07 * k, -0.9, 1}), cutter);
    EXPECT_NEAR(r.stretches.at(0).width_mm, 0.6, 0.09);
  }
}

TEST(Removal, GougeIsSeenBeyondTheToleranceOnly) {
  const GridSpec g = grid(300, 200, 50);
  for (const double overcut : {0.01, 0.03}) {
    StockBlock stock = block(g, 0, 5);
    Aim aim = aimAt(g, 1);
    for (int j = 0; j < g.ny; ++j)
      for (int i = 0; i < g.nx; ++i)
        if (g.centre(i, j).y > 6.0 - 0.026) aim.target(i, j) = 4000;  // a wall whose cells begin at y = 5.975
    Removal walk(stock, Frame{}, aim);
    const double wall = 5.975;
    const CutResult r = walk.cut(line({3, wall - 2 + overcut, 1}, {12, wall - 2 + overcut, 1}), flatProfile(4));
    if (overcut < kGougeTolerance_mm) {
      EXPECT_EQ(r.gouge_mm, 0.0);
      EXPECT_EQ(walk.gouged().um3, 0);
    } else {
      EXPECT_NEAR(r.gouge_mm, 3.0, 1e-9);
      EXPECT_GT(walk.gouged().um3, 0);
    }
    EXPECT_EQ(walk.cut(line({3, 3, 0.985}, {9, 3, 0.985}), flatProfile(2)).gouge_mm, 0.0);
    EXPECT_NEAR(walk.cut(line({3, 3, 0.97}, {9, 3, 0.97}), flatProfile(2)).gouge_mm, 0.03, 1e-9);
  }
}

TEST(Removal, WhatOneSideCutIsAirForTheOther) {
  const GridSpec g = grid(200, 160, 50, -1.3, 0.7);
  const double high = 5.0, width = 2 * 0.7 + 8.0;
  StockBlock stock = block(g, 0, high);
  const VolumeCount before = metalLeft(stock);
  VolumeCount removed;
  {
    Removal walk(stock, Frame{}, aimAt(g, 0));
    removed += walk.cut(line({4, 5, 6}, {4, 5, 1.5}), flatProfile(4)).removed;
  }
  {
    const Frame back = turnedOver(high, width);
    Removal walk(stock, back, aimAt(gridInSetup(g, back), 0));
    // The same axis seen from the back: 1.5 mm of metal is left there, 5 mm beside it.
    const CutResult through = walk.cut(line({4, width - 5, 6}, {4, width - 5, -0.5}), flatProfile(4));
    EXPECT_NEAR(toMm3(toVolume(through.removed)), std::numbers::pi * 4 * 1.5, 0.1);
    removed += through.removed;
    EXPECT_EQ(walk.heights()(walk.grid().column(4), walk.grid().row(width - 5)), kNoMetal);
  }
  EXPECT_EQ(metalLeft(stock) + removed, before);
  EXPECT_LE(stock.top(g.column(4), g.row(5)), stock.bottom(g.column(4), g.row(5)));
}

TEST(Removal, MetalIsBookedToTheDetailOfItsCell) {
  const GridSpec g = grid(200, 100, 50);
  StockBlock stock = block(g, 0, 2);
  Aim aim = aimAt(g, 0);
  aim.detail = Grid<std::int32_t>(g, -1);
  for (int j = 0; j < g.ny; ++j)
    for (int i = 100; i < g.nx; ++i) aim.detail(i, j) = i < 150 ? 3 : 0;
  Removal walk(stock, Frame{}, aim);
  const CutResult r = walk.cut(line({-2, 2.5, 1}, {12, 2.5, 1}), flatProfile(2));
  ASSERT_EQ(r.taken.size(), 3u);
  EXPECT_EQ(r.taken[0].detail, -1);
  EXPECT_EQ(r.taken[1].detail, 0);
  EXPECT_EQ(r.taken[2].detail, 3);
  EXPECT_EQ(r.taken[1].removed, r.taken[2].removed);
  EXPECT_EQ(r.taken[0].removed + r.taken[1].removed + r.taken[2].removed, r.removed);
}

TEST(Removal, AgreesWithDirectCellTestsCellByCell) {
  std::mt19937 random(20240611);
  std::uniform_real_distribution<double> unit(0, 1);
  for (int trial = 0; trial < 16; ++trial) {
    const GridSpec g = grid(50 + trial % 7, 44 + trial % 5, trial % 2 == 0 ? 100 : 130, unit(random), unit(random));
    StockBlock stock = block(g, 0, 3);
    const VolumeCount before = metalLeft(stock);
    Removal walk(stock, Frame{}, aimAt(g, 0));
    const Profile cutter = someProfile(random);
    const auto somewhere = [&] {
      return Vec3{g.x0_mm + 5.5 * unit(random), g.y0_mm + 5 * unit(random), 0.5 + 2 * unit(random)};
    };
    std::vector<Segment> path;
    Vec3 at = somewhere();
    double steepest = 0;
    for (int k = 0; k < 5; ++k) {
      Vec3 to = somewhere();
      const int kind = static_cast<int>(random() % 4);
      // Mostly level, as real paths are; slopes up to 0.3.
      to.z = kind != 0 ? at.z
                       : std::clamp(to.z, at.z - 0.3 * norm(to.xy() - at.xy()), at.z + 0.3 * norm(to.xy() - at.xy()));
      if (kind == 1) {
        // An arc about a centre on the bisector of the chord.
        const Vec2 middle = (at.xy() + to.xy()) * 0.5;
        const Vec2 centre = middle + perp(to.xy() - at.xy()) * (unit(random) * 2 - 1);
        path.push_back(arc(at, to, centre, random() % 2 == 0 ? Segment::Shape::ArcCcw : Segment::Shape::ArcCw));
      } else {
        path.push_back(line(at, to));
      }
      steepest = std::max(steepest, std::abs(to.z - at.z) / std::max(0.05, norm(to.xy() - at.xy())));
      at = to;
    }
    VolumeCount removed;
    std::vector<Vec3> places;
    for (const Segment& s : path) {
      for (Vec3 p : reference::placesAlong(s, 0.004)) places.push_back(p);
      const CutResult r = walk.cut(s, cutter);
      EXPECT_EQ(sum(r), r.removed);
      removed += r.removed;
    }
    EXPECT_EQ(walk.metalLeft() + removed, before);
    // Between a cutter 2 um smaller and one 2 um larger (chords of arcs are within 1 um), plus what a step of one cell
    // leaves on a slope.
    const double onSlope = steepest * std::max(g.cell(), std::sqrt(8 * cutter.corner_mm * 0.001)) + 0.002;
    for (int j = 0; j < g.ny; ++j) {
      for (int i = 0; i < g.nx; ++i) {
        double least = 3, most = 3;
        least = std::min(least, reference::lowestOver(g.centre(i, j), places, cutter, 0.002));
        most = std::min(most, reference::lowestOver(g.centre(i, j), places, cutter, -0.002));
        const double is = walk.heights()(i, j) / 1000.0;
        ASSERT_GE(is, least - 0.0015) << "trial " << trial << " cell " << i << ' ' << j;
        ASSERT_LE(is, most + onSlope + 0.0015) << "trial " << trial << " cell " << i << ' ' << j;
      }
    }
  }
}

TEST(Removal, OneFieldStockForOtherDirections) {
  const GridSpec g = grid(100, 100, 100);
  HeightField stock(g, 4000);
  {
    Removal walk(stock, -500, aimAt(g, 0));
    const CutResult r = walk.cut(line({5, 5, 5}, {5, 5, 1}), ballProfile(4));
    // Closed form: half ball of radius 2 plus a cylinder of 1 mm.
    EXPECT_NEAR(toMm3(toVolume(r.removed)), std::numbers::pi * (16.0 / 3 + 4 * 1), 0.15);
  }
  EXPECT_EQ(stock(50, 50), 1001);
}
