// What must not change the minutes: a mirror, a finer grid.
#include "path/shop_floor.hpp"

namespace chipledger::path {
namespace {

double minutesOfBoth(int cell_um, bool mirrored) {
  const auto place = [&](const Region& region) {
    return mirrored ? test::turned(mirrorX(region), 0.0, {60, 0}) : region;
  };
  test::PlatePart part(place(test::roundedRectangle({0, 0}, {60, 26}, 6)), 2.0, 5.2);
  part.island(place(test::roundedRectangle({14, 10}, {28, 16}, 2.99)), 5.2);
  part.pocket(place(test::roundedRectangle({30, 6}, {44, 12}, 1.7)), 1.0, detail::Side::Back);
  const int bore = part.bore({mirrored ? 52.0 : 8.0, 13}, 5.0);
  part.finish();
  ShopFloor floor(part, -0.45, 5.75, cell_um);
  const double back = minutesOf(floor.run(0, {3, bore}, false, {{bore, true, ""}}));
  return back + minutesOf(floor.run(1, {0, 1, 2}, true));
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
  const double plain = minutesOfBoth(50, false);
  EXPECT_NEAR(minutesOfBoth(50, true), plain, 0.005 * plain);
}

TEST(Invariance, FinerCellsTakeTheSameTime) {
  const double fine = minutesOfBoth(25, false);
  EXPECT_NEAR(minutesOfBoth(50, false), fine, 0.02 * fine);
}

}  // namespace
}  // namespace chipledger::path
