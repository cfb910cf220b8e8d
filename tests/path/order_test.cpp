// The order of work within a setup, and spring passes where the shop asks for them.
#include <chipledger/path/wall.hpp>

#include <algorithm>

#include "path/shop_floor.hpp"

namespace chipledger::path {
namespace {

struct Pocketed {
  test::PlatePart part{test::roundedRectangle({0, 0}, {50, 26}, 4), 4.0, 4.0};
  Pocketed() {
    part.pocket(test::roundedRectangle({8, 6}, {40, 20}, 3.2), 1.5);
    part.finish();
  }
};

double wallCut(const SetupPlan& plan, VolumeCount* removed = nullptr) {
  double cut = 0.0;
  for (const Operation& op : plan.operations) {
    if (op.kind != OperationKind::Wall) continue;
    for (const Move& m : op.moves)
      if (m.kind == MoveKind::Cut) cut += length(m.segment);
    if (removed != nullptr) *removed += op.removed;
  }
  return cut;
}

TEST(SpringPasses, RepeatTheLastRoundWithoutMetal) {
  EXPECT_EQ(wallDistances(0.2, 0.12, 0), (std::vector<double>{0.1, 0.0}));
  EXPECT_EQ(wallDistances(0.2, 0.12, 2), (std::vector<double>{0.1, 0.0, 0.0, 0.0}));
  double none = 0.0, noneMinutes = 0.0;
  VolumeCount noneRemoved;
  for (int passes : {0, 1, 2}) {
    Pocketed p;
    ShopFloor floor(p.part, 0.0, 4.0);
    floor.practice.springPasses = passes;
    const SetupPlan plan = floor.run(1, {0, 1, 2}, false);
    VolumeCount removed;
    const double cut = wallCut(plan, &removed);
    if (passes == 0) {
      none = cut;
      noneMinutes = minutesOf(plan);
      noneRemoved = removed;
      EXPECT_GT(none, 0.0);
      continue;
    }
    // Two passes without a spring pass: each spring pass is half as much again, in length and in nothing else.
    EXPECT_NEAR(cut, none * (1.0 + 0.5 * passes), 0.01 * none);
    EXPECT_EQ(removed.um3, noneRemoved.um3);
    EXPECT_GT(minutesOf(plan), noneMinutes);
    EXPECT_EQ(plan.gouged.um3, 0);
  }
}

}  // namespace
}  // namespace chipledger::path
