// Random chassis draw soundly and hold the volume their description adds up to.
#include "../support/random_chassis.hpp"

#include <chipledger/draw/drawn.hpp>

#include <gtest/gtest.h>

namespace chipledger::draw {
namespace {

constexpr std::uint32_t kSeedsEach = 25;

// A hundred seeds in four tests, so that they can run side by side.
class RandomChassis : public ::testing::TestWithParam<std::uint32_t> {};

TEST_P(RandomChassis, DrawsAndKeepsItsVolume) {
  int closed = 0, details = 0;
  for (std::uint32_t seed = GetParam(); seed < GetParam() + kSeedsEach; ++seed) {
    const Chassis chassis = chipledger::testing::randomChassis(seed);
    const auto drawn = drawChassis(chassis);
    ASSERT_TRUE(drawn) << "seed " << seed << ": " << sentence(drawn.error());
    EXPECT_TRUE(drawn->notes.empty()) << "seed " << seed << ": " << drawn->notes[0].text;
    details += static_cast<int>(drawn->details.size());
    if (!drawn->closedForm) continue;
    ++closed;
    const double v = toMm3(*drawn->closedForm);
    EXPECT_NEAR(toMm3(drawn->volume), v, 1e-5 * v) << "seed " << seed;
  }
  EXPECT_GE(closed, 20);
  EXPECT_GE(details, 200);
}
INSTANTIATE_TEST_SUITE_P(Seeds, RandomChassis, ::testing::Values(1u, 26u, 51u, 76u));

}  // namespace
}  // namespace chipledger::draw
