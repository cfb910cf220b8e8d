// Conditions as the planner asks for them.
#include <chipledger/cutting/tables.hpp>
#include <chipledger/path/kit.hpp>

#include <gtest/gtest.h>

using namespace chipledger;
using namespace chipledger::path;

namespace {

class Kit : public testing::Test {
protected:
  Kit() {
    work_.material = &material_;
    work_.tables = &cutting::builtInTables();
    work_.spindle = {rpm(200), rpm(12000), kilowatts(3), newtonMetres(20)};
    work_.moneyPerMachineMinute = 1.0;
  }
  const cutting::Material material_ = *cutting::findMaterial(cutting::builtInTables(), "Ti-6Al-4V");
  const cutting::Cutter six_ = *cutting::findCutter(cutting::builtInTables(), "flat-6");
  Work work_;
};

TEST_F(Kit, FullWidthAtTheDepthOfRoughingIsSlowerThanInSlotSteps) {
  const auto mill = millFor(work_, six_, cutting::CutKind::Rough, 6, 6);
  ASSERT_TRUE(mill);
  EXPECT_LT(mill->slotStep_mm, toMm(mill->conditions.axialStep));
  // A corner met at full width and depth bends more than a slot step: its feed is its own.
  EXPECT_LT(mill->conditions.slotFeed, mill->slotStepFeed);
  EXPECT_EQ(inSlotSteps(*mill).conditions.slotFeed.base, mill->slotStepFeed.base);
}

TEST_F(Kit, ThinFloorsAndWallsSlowTheFinishingPassByTheTable) {
  using cutting::CutKind;
  const auto solid = millFor(work_, six_, CutKind::Floor, 0.15, 3),
             thin = millFor(work_, six_, CutKind::Floor, 0.15, 3, {.floor_mm = 0.8});
  ASSERT_TRUE(solid && thin);
  EXPECT_NEAR(solid->conditions.feed / thin->conditions.feed, 1.3, 1e-9);  // 0.8 mm left: 30 % more time
  EXPECT_EQ(thin->conditions.heldBackBy, "thin floor 0.80 mm");
  const auto wall = millFor(work_, six_, CutKind::Wall, 8, 8),
             rib = millFor(work_, six_, CutKind::Wall, 8, 8, {.wall_mm = 1.0});
  ASSERT_TRUE(wall && rib);
  EXPECT_NEAR(wall->conditions.feed / rib->conditions.feed, 1.5, 1e-9);  // eight times as high as thick
  EXPECT_EQ(rib->conditions.heldBackBy, "thin wall 1.00 mm");
}

}  // namespace
