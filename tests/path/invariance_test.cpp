// What must not change the minutes: a mirror, a turn against the cells, a shift of the cells, a finer grid.
#include <fmt/format.h>

#include <cstdlib>

#include "path/shop_floor.hpp"

namespace chipledger::path {
namespace {

struct Lying {
  int cell_um{50};
  bool mirrored{};
  double turn{};      ///< against the cells, rad
  double shift_mm{};  ///< of the cells against the part
};

double minutesOfBoth(const Lying& lying) {
  const auto place = [&](const Region& region) {
    return test::turned(lying.mirrored ? test::turned(mirrorX(region), 0.0, {60, 0}) : region, lying.turn,
                        {lying.shift_mm, 0.7 * lying.shift_mm});
  };
  const Region outline = test::roundedRectangle({0, 0}, {60, 26}, 6);
  test::PlatePart part(place(outline), 2.0, 5.2);
  part.island(place(test::roundedRectangle({14, 10}, {28, 16}, 2.99)), 5.2);
  part.pocket(place(test::roundedRectangle({30, 6}, {44, 12}, 1.7)), 1.0, detail::Side::Back);
  const Vec2 pivot = box(place(rectangle({7, 12}, {9, 14}))).centre();
  const int bore = part.bore(pivot, 5.0);
  part.finish();
  ShopFloor floor(part, -0.45, 5.75, lying.cell_um);
  if (lying.turn != 0.0) floor.useBlank(place(rectangle({-3, -3}, {63, 29})));
  const double back = minutesOf(floor.run(0, {3, bore}, false, {{bore, true, ""}}));
  const double outer = minutesOf(floor.run(1, {0, 1, 2}, true));
  if (std::getenv("CHIPLEDGER_SHOW") != nullptr)
    for (const SetupPlan& plan : floor.plans)
      for (const Operation& op : plan.operations) {
        double seconds = 0.0, enter = 0.0, path = 0.0;
        for (const Move& m : op.moves) {
          const double s = length(m.segment) / (m.kind == MoveKind::Rapid ? 20000.0 / 60.0 : m.feed.base);
          seconds += s;
          if (m.kind == MoveKind::Enter) enter += s;
          if (m.kind != MoveKind::Rapid) path += length(m.segment);
        }
        fmt::print("  {} {}: {:.2f} s, entries {:.2f} s, {:.1f} mm, {:.1f} mm3\n", op.id, op.cutter, seconds, enter,
                   path, static_cast<double>(op.removed.um3) * 1e-9);
      }
  EXPECT_EQ(floor.plans[0].gouged.um3 + floor.plans[1].gouged.um3, 0);
  return back + outer;
}

// A height whose rounding falls on either side of a level must still be a floor.
TEST(Invariance, EveryPocketDepthHasAFloor) {
  for (double depth : {0.7, 1.0, 1.3}) {
    test::PlatePart part(rectangle({0, 0}, {30, 20}), 2.0, 5.2);
    part.island(rectangle({2, 2}, {8, 18}), 5.2);
    part.pocket(test::roundedRectangle({12, 6}, {24, 14}, 2.2), depth, detail::Side::Back);
    part.finish();
    ShopFloor floor(part, -0.45, 5.75);
    int floors = 0;
    for (const Operation& op : floor.run(0, {3}, false).operations) floors += op.kind == OperationKind::Floor ? 1 : 0;
    EXPECT_GE(floors, 1) << depth;
  }
}

TEST(Invariance, MirroredPartTakesTheSameTime) {
  const double plain = minutesOfBoth({});
  EXPECT_NEAR(minutesOfBoth({.mirrored = true}), plain, 0.005 * plain);
}

TEST(Invariance, FinerCellsTakeTheSameTime) {
  const double fine = minutesOfBoth({.cell_um = 25});
  EXPECT_NEAR(minutesOfBoth({}), fine, 0.02 * fine);
}

TEST(Invariance, TurnedAgainstTheCellsTakesTheSameTime) {
  for (int cell : {50, 100}) {
    const double upright = minutesOfBoth({.cell_um = cell});
    for (double angle : {10.0, 30.0, 45.0, 90.0}) {
      const double turned = minutesOfBoth({.cell_um = cell, .turn = degrees(angle).rad});
      fmt::print("cells of {} um, turned by {:.0f} degrees: {:.3f} for {:.3f} min ({:+.2f} %)\n", cell, angle, turned,
                 upright, 100 * (turned / upright - 1));
      EXPECT_NEAR(turned, upright, 0.02 * upright) << angle;
    }
  }
}

TEST(Invariance, ShiftedCellsTakeTheSameTime) {
  for (int cell : {50, 100}) {
    const double here = minutesOfBoth({.cell_um = cell});
    for (double share : {0.3, 0.5, 0.8}) {
      const double there = minutesOfBoth({.cell_um = cell, .shift_mm = share * cell / 1000.0});
      fmt::print("cells of {} um, shifted by {:.1f}: {:.3f} for {:.3f} min ({:+.2f} %)\n", cell, share, there, here,
                 100 * (there / here - 1));
      EXPECT_NEAR(there, here, 0.02 * here) << share;
    }
  }
}

}  // namespace
}  // namespace chipledger::path
