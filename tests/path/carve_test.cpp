// Carved faces: the step against published tables and the circle, passes against the sphere they ride on, and a whole
// domed plate without gouges and with no more left than the cusps.
#include <chipledger/field/removal.hpp>
#include <chipledger/path/carve.hpp>

#include <algorithm>
#include <cmath>
#include <utility>

#include "path/shop_floor.hpp"
#include "support/mesh_shapes.hpp"

namespace chipledger::path {
namespace {

// A cutter maker's stepover table (general catalogue 2019, ball nose): s = 2 sqrt(h (D - h)), printed to 0.01 mm.
struct StepRow {
  double diameter, cusp, step;
};
TEST(CuspStep, IsTheChordOfTheCircle) {
  for (const StepRow row : {StepRow{2, 0.01, 0.2821}, {6, 0.01, 0.4895}, {10, 0.005, 0.4471}, {10, 0.1, 1.9900}}) {
    const double s = cuspStep(0.5 * row.diameter, row.cusp);
    EXPECT_NEAR(s, row.step, 1e-4);
    // Two circles side by side at that step meet at the cusp's height.
    const double R = 0.5 * row.diameter;
    EXPECT_NEAR(R - std::sqrt(R * R - 0.25 * s * s), row.cusp, 1e-12);
  }
}

// Height field of a dome of sphere radius `dome` on a level at 0.
field::HeightField domeField(double dome, double half, int cell_um) {
  field::GridSpec g;
  g.cell_um = cell_um;
  g.nx = g.ny = static_cast<int>(2.0 * half / g.cell());
  g.x0_mm = g.y0_mm = -half;
  field::HeightField f(g, 0);
  for (int j = 0; j < g.ny; ++j)
    for (int i = 0; i < g.nx; ++i) {
      const Vec2 c = g.centre(i, j);
      const double r2 = dot(c, c);
      f(i, j) = static_cast<std::int32_t>(std::lround(1000.0 * (std::sqrt(dome * dome - r2) - dome + 3.0)));
    }
  return f;
}

TEST(TipMap, RidesOnASphere) {
  // The centre of the ball lies on the sphere of radius dome + R.
  const double dome = 20.0, R = 2.0;
  const TipMap tips(domeField(dome, 8.0, 50), field::ballProfile(2.0 * R), {{-4, -4}, {4, 4}});
  for (const Vec2 p : {Vec2{0, 0}, {1.5, 0.7}, {-3.0, 2.0}, {2.2, -3.3}}) {
    const double exact = std::sqrt((dome + R) * (dome + R) - dot(p, p)) - R - dome + 3.0;
    EXPECT_GE(tips.at(p), exact - 0.002);
    EXPECT_NEAR(tips.at(p), exact, 0.012);  // the highest of four cells: half a cell of slope
  }
}

// Exact lowest height of a ball's tip at a place: every cell asked.
double tipAt(const field::HeightField& f, double R, Vec2 p) {
  double tip = -1e9;
  for (int j = 0; j < f.spec.ny; ++j)
    for (int i = 0; i < f.spec.nx; ++i) {
      const double d = norm(f.spec.centre(i, j) - p);
      if (d > R - 1e-6 || f(i, j) == field::kNoMetal) continue;  // the rim itself is outside
      tip = std::max(tip, f(i, j) / 1000.0 - (R - std::sqrt(R * R - d * d)));
    }
  return tip;
}

// How far the centre of the ball comes nearer to a cell's point than R along a pass: what a cut takes too much.
double deepest(const field::HeightField& f, double R, const std::vector<Vec3>& way) {
  double deep = 0.0;
  for (std::size_t k = 0; k + 1 < way.size(); ++k)
    for (int part = 0; part <= 4; ++part) {
      const Vec3 tip = way[k] + (way[k + 1] - way[k]) * (part / 4.0);
      for (int j = 0; j < f.spec.ny; ++j)
        for (int i = 0; i < f.spec.nx; ++i) {
          if (f(i, j) == field::kNoMetal) continue;
          const Vec2 c = f.spec.centre(i, j);
          const double d = norm(c - tip.xy()), over = f(i, j) / 1000.0 - tip.z;
          if (d >= R || over <= 0) continue;
          deep = std::max(deep, over >= R ? R - d : R - std::hypot(d, R - over));
        }
    }
  return deep;
}

TEST(TipMap, AWayOverWallsRidgesAndSlopesTakesNothingOfThePart) {
  field::GridSpec g;
  g.cell_um = 100;
  g.nx = g.ny = 60;
  field::HeightField f(g, 0);
  for (int j = 0; j < g.ny; ++j)
    for (int i = 0; i < g.nx; ++i) {
      const Vec2 c = g.centre(i, j);
      if (c.x > 2 && c.x < 2.6) f(i, j) = 9000;                                              // a thin high wall
      if (c.x > 3.5) f(i, j) = static_cast<std::int32_t>(2500.0 * (c.x - 3.5));              // a slope of 68 degrees
      if (c.y > 4) f(i, j) = static_cast<std::int32_t>(3000.0 - 800.0 * std::abs(c.y - 5));  // a ridge
      if (c.x < 0.5) f(i, j) = field::kNoMetal;
    }
  for (const double R : {0.5, 1.0, 1.5}) {
    const TipMap tips(f, field::ballProfile(2.0 * R), {{-2, -2}, {8, 8}});
    double most = 0.0;
    for (const auto& [a, b] : {std::pair{Vec2{-1.7, 2.03}, Vec2{7.6, 2.03}},
                               {Vec2{5.11, -1.5}, Vec2{5.11, 7.3}},
                               {Vec2{-1.2, -1.0}, Vec2{7.1, 6.9}},
                               {Vec2{2.3, 7.0}, Vec2{6.9, -1.3}}}) {
      Pass plan;
      plan.points = {{a.x, a.y, 0}, {b.x, b.y, 0}};
      const Pass way = laidOn(plan, tips, 0.0);
      EXPECT_GT(way.points.size(), 50u);
      most = std::max(most, deepest(f, R, way.points));
      // And no higher than at the cell centres of the fours beside it.
      for (const Vec3& p : way.points) {
        double near = -1e9;
        for (int j = tips.tips().spec.row(p.y - 0.101); j <= tips.tips().spec.row(p.y + 0.101); ++j)
          for (int i = tips.tips().spec.column(p.x - 0.101); i <= tips.tips().spec.column(p.x + 0.101); ++i)
            near = std::max(near, tipAt(f, R, tips.tips().spec.centre(i, j)));
        if (near < -1e8) continue;
        EXPECT_LE(p.z, near + 0.002) << p.x << " " << p.y << " R " << R;
      }
    }
    EXPECT_LT(most, 0.5 * field::kGougeTolerance_mm) << R;
  }
}

TEST(TipMap, SeesThePartFromBeyondTheBorderOfItsGrid) {
  // The stock of a side ends where its grid ends; the cutter comes in from outside.
  field::GridSpec g;
  g.cell_um = 100;
  g.nx = g.ny = 40;
  const field::HeightField f(g, 2000);
  const TipMap tips(f, field::ballProfile(3.0), {{-1.5, -1.5}, {5.5, 5.5}});
  for (const double out : {0.2, 0.7, 1.2}) EXPECT_NEAR(tips.at({-out, 2.0}), tipAt(f, 1.5, {-out, 2.0}), 0.1) << out;
}

TEST(RegionOfCells, AreaAndPlaceOfADisc) {
  field::GridSpec g;
  g.cell_um = 50;
  g.nx = g.ny = 200;
  std::vector<std::uint8_t> mask(g.count(), 0);
  double cells = 0;
  for (int j = 0; j < g.ny; ++j)
    for (int i = 0; i < g.nx; ++i) {
      const double r = norm(g.centre(i, j) - Vec2{5, 5});
      mask[g.at(i, j)] = r < 4 && r > 1.5 ? 1 : 0;
      cells += mask[g.at(i, j)];
    }
  const Region region = regionOfCells(g, mask);
  EXPECT_EQ(region.rings.size(), 2u);
  EXPECT_NEAR(area(region), cells * 0.0025, 0.1);
  EXPECT_FALSE(contains(region, {5, 5}));
  EXPECT_TRUE(contains(region, {8, 5}));
}

TEST(Carve, PassesCoverALevelAtTheStep) {
  field::GridSpec g;
  g.cell_um = 100;
  g.nx = 300;
  g.ny = 200;
  const field::HeightField flat(g, 1000);
  const TipMap tips(flat, field::ballProfile(4.0), {{0, 0}, {30, 20}});
  CarveTask task;
  task.region = rectangle({5, 5}, {25, 15});
  task.tips = &tips;
  task.radius_mm = 2.0;
  task.step_mm = 0.4;
  const std::vector<Pass> passes = carvePasses(task);
  ASSERT_EQ(passes.size(), 1u);
  // 25 lines of 20 mm and 24 links of a step.
  EXPECT_NEAR(planLength(passes.front()), 25 * 20.0 + 24 * 0.4, 0.5);
  for (const Vec3& p : passes.front().points) EXPECT_NEAR(p.z, 1.006, 1e-9);
}

}  // namespace
}  // namespace chipledger::path
