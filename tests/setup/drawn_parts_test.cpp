#include <gtest/gtest.h>
#include <unistd.h>
#include <chipledger/draw/blocks.hpp>
#include <chipledger/draw/drawn.hpp>
#include <chipledger/part/read.hpp>
#include <chipledger/setup/setup.hpp>

#include <algorithm>
#include <filesystem>

#include "support/random_chassis.hpp"

using namespace chipledger;

namespace {

Result<part::Part> written(const draw::Drawn& drawn, const draw::StepOptions& step = {}) {
  const std::string path =
      (std::filesystem::temp_directory_path() / ("chipledger-setup-" + std::to_string(::getpid()) + ".step")).string();
  const auto file = draw::writeStep(drawn, path, step);
  EXPECT_TRUE(file);
  auto part = part::readPart(path);
  std::filesystem::remove(path);
  return part;
}

struct DirectionRow {
  const char* file;
  std::size_t directions;
};
void PrintTo(const DirectionRow& row, std::ostream* out) { *out << row.file; }
class Directions : public ::testing::TestWithParam<DirectionRow> {};

}  // namespace

TEST(DrawnParts, APlateNeedsItsTwoSidesWhateverItsPose) {
  chipledger::testing::RandomChassisOptions options;
  options.back = false;  // islands, bores and pockets on the outer side alone
  const Vec3 a = unit({1, 2, 3}), b = unit(cross(a, Vec3{0.3, -1, 0.2}));
  const Frame poses[] = {{},
                         {{0, 1, 0}, {0, 0, 1}, {1, 0, 0}, {5, -3, 40}},
                         {{1, 0, 0}, {0, -1, 0}, {0, 0, -1}, {}},
                         {a, b, cross(a, b), {30, 20, -10}}};
  std::uint32_t seed = 501;
  for (const Frame& pose : poses) {
    const auto drawn = draw::drawChassis(chipledger::testing::randomChassis(seed++, options));
    ASSERT_TRUE(drawn) << sentence(drawn.error());
    draw::StepOptions step;
    step.frame = pose;
    const auto part = written(*drawn, step);
    ASSERT_TRUE(part) << sentence(part.error());
    const auto plan = setup::planSetups(part->bodies.front());
    ASSERT_TRUE(plan);
    EXPECT_EQ(plan->setups.size(), 2u);
    EXPECT_TRUE(plan->unseen.empty());
    EXPECT_NEAR(dot(plan->partToPlate.z, pose.turn({0, 0, 1})), 1, 1e-6);
    EXPECT_NEAR(std::abs(dot(plan->partToPlate.x, pose.turn({1, 0, 0}))), 1, 1e-4);
  }
}

TEST(DrawnParts, ATShapedSlotIsAnUndercut) {
  auto block = draw::undercutBlock("t-slot", {60, 40, 20}, {mm(8), mm(5), mm(16), mm(6)});
  ASSERT_TRUE(block) << sentence(block.error());
  const auto part = written(block->drawn);
  ASSERT_TRUE(part) << sentence(part.error());
  const auto plan = setup::planSetups(part->bodies.front());
  ASSERT_TRUE(plan);
  EXPECT_GE(plan->unseen.size(), 4u);  // two ceilings and two walls of the wide part at least
  EXPECT_TRUE(std::any_of(plan->notes.begin(), plan->notes.end(),
                          [](const Note& n) { return n.code == "undercut" && n.severity == NoteSeverity::LeftOut; }));
}

TEST_P(Directions, AsCountedOnThePart) {
  const std::string path = std::string(CHIPLEDGER_SHARED_DIR) + "/step-public/" + GetParam().file;
  if (!std::filesystem::exists(path)) GTEST_SKIP() << "The open files are not here.";
  const auto part = part::readPart(path);
  ASSERT_TRUE(part) << sentence(part.error());
  const auto plan = setup::planSetups(part->bodies.front());
  ASSERT_TRUE(plan);
  EXPECT_EQ(plan->setups.size(), GetParam().directions);
  EXPECT_TRUE(plan->unseen.empty());
}
// Plates with bores into their edges need those edges as well; the rest are done from two sides.
INSTANTIATE_TEST_SUITE_P(
    Rows, Directions,
    ::testing::Values(DirectionRow{"openeai_JXS-01-01.step", 2}, DirectionRow{"openeai_JXS-04-02.step", 2},
                      DirectionRow{"openeai_JXS-04-04.step", 3}, DirectionRow{"openeai_JXS-07-05.step", 3},
                      DirectionRow{"openeai_JXS-02-01.step", 4}, DirectionRow{"stepcode_as1-oc-214.stp", 2}));
