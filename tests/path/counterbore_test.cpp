// Counterbores: the helix against its closed form, the seat cut to its cylinder, cleared like a pocket where no mill
// does it in one go.
#include <chipledger/path/counterbore.hpp>
#include <chipledger/path/entry.hpp>
#include <chipledger/path/wall.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "path/shop_floor.hpp"

namespace chipledger::path {
namespace {

TEST(Counterbore, LengthIsTheHelixAndItsLevelTurn) {
  // Seat of 7 over a hole of 3.4: 2 mm deep with a mill of 4, ramp 2 degrees.
  HoleSpot spot;
  spot.diameter_mm = 3.4;
  spot.seat_mm = 7.0;
  spot.top_mm = 1.0;
  cutting::Cutter mill;
  mill.diameter = mm(4);
  const double e = 1.5 - kFinishGuard_mm;
  EXPECT_NEAR(boreOffset(spot, mill), e, 1e-12);
  const double round = 2.0 * std::numbers::pi * e, pitch = round * std::tan(degrees(2).rad);
  EXPECT_NEAR(pathLength(counterborePath(spot, mill, 3.0, degrees(2))), 2.0 / pitch * std::hypot(round, pitch) + round,
              1e-9);
}

struct Seat {
  test::PlatePart part{test::roundedRectangle({0, 0}, {30, 20}, 3), 4.0, 4.0};
  int hole{};
  Seat(double diameter, double seat, double depth) {
    part.pocket(disc({10, 10}, 0.5 * seat), 4.0 - depth);
    hole = part.bore({10, 10}, diameter, detail::Side::Outer);
    // The recess is the bore's own wider part, no detail by itself.
    part.details.list[static_cast<std::size_t>(hole - 1)].kind = detail::DetailKind::Body;
    detail::Detail& d = part.details.list[static_cast<std::size_t>(hole)];
    d.dimensions.counterDiameter = mm(seat);
    d.dimensions.counterDepth = mm(depth);
    d.footprint = disc({10, 10}, 0.5 * seat);
    part.finish();
  }
};

const Operation* counterboreOf(const SetupPlan& plan) {
  const auto found = std::find_if(plan.operations.begin(), plan.operations.end(),
                                  [](const Operation& o) { return o.kind == OperationKind::Counterbore; });
  return found == plan.operations.end() ? nullptr : &*found;
}

TEST(Counterbore, IsCutToItsCylinderAfterTheDrill) {
  Seat seat(3.4, 7.0, 2.0);
  ShopFloor floor(seat.part, 0.0, 4.0);
  const SetupPlan plan = floor.run(1, {seat.hole}, false);
  const Operation* op = counterboreOf(plan);
  ASSERT_NE(op, nullptr);
  EXPECT_EQ(op->holes, 1.0);
  EXPECT_EQ(plan.gouged.um3, 0);
  // The ring round the drilled hole: pi / 4 (7^2 - 3.4^2) x 2, but for the guard and half a cell.
  const double ring = 0.25 * std::numbers::pi * (49.0 - 3.4 * 3.4) * 2.0;
  EXPECT_NEAR(static_cast<double>(op->removed.um3) * 1e-9, ring, 0.02 * ring);
  // No core: with the mill's radius the helix reaches into the hole.
  const cutting::Cutter mill = *cutting::findCutter(cutting::builtInTables(), op->cutter);
  const double e = 0.5 * (7.0 - toMm(mill.diameter));
  EXPECT_LE(e - 0.5 * toMm(mill.diameter), 1.7);
  // Nothing else clears it.
  for (const Operation& o : plan.operations)
    EXPECT_TRUE(o.kind == OperationKind::Spot || o.kind == OperationKind::Drill || o.kind == OperationKind::Counterbore)
        << o.id;
}

TEST(Counterbore, DeeperCostsMoreAndWiderIsALongerWay) {
  const auto minutes = [](double width, double depth) {
    Seat seat(3.4, width, depth);
    ShopFloor floor(seat.part, 0.0, 4.0);
    return minutesOf(floor.run(1, {seat.hole}, false));
  };
  const double base = minutes(7.0, 1.0);
  EXPECT_GT(minutes(7.0, 2.0), base);
  // Wider with the same mill; of all mills a wider one may do it quicker.
  HoleSpot spot;
  spot.diameter_mm = 3.4;
  cutting::Cutter mill;
  mill.diameter = mm(4);
  const auto way = [&](double width) {
    spot.seat_mm = width;
    return pathLength(counterborePath(spot, mill, 1.0, degrees(2)));
  };
  EXPECT_GT(way(8.5), way(7.0));
}

TEST(Counterbore, TooWideForOneTurnIsClearedLikeAPocket) {
  // 14 mm over a hole of 2.1: the largest mill whose helix meets the hole would be wider than half of it.
  Seat seat(2.1, 14.0, 1.0);
  ShopFloor floor(seat.part, 0.0, 4.0);
  std::erase_if(floor.crib,
                [](const cutting::Cutter& c) { return c.kind == cutting::CutterKind::Flat && toMm(c.diameter) > 5.0; });
  const SetupPlan plan = floor.run(1, {seat.hole}, false);
  EXPECT_EQ(counterboreOf(plan), nullptr);
  EXPECT_TRUE(std::any_of(plan.operations.begin(), plan.operations.end(),
                          [](const Operation& o) { return o.kind == OperationKind::Rough; }));
  EXPECT_EQ(plan.gouged.um3, 0);
}

}  // namespace
}  // namespace chipledger::path
