// When a run says ahead that the prices of its details will take long.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "cli/long_work.hpp"

using namespace chipledger::cli;
using testing::HasSubstr;
using testing::Not;

namespace {

TEST(LongWork, NothingIsSaidOfAMinute) {
  EXPECT_FALSE(wordAhead({1.5, 40, 1, 900, 3}));
  EXPECT_FALSE(wordAhead({3.0, 40, 2, 900, 3}));
}

TEST(LongWork, MoreIsSaidWithItsMinutesAndTheWayRoundIt) {
  const auto said = wordAhead({12.0, 40, 2, 900, 20});
  ASSERT_TRUE(said);
  EXPECT_THAT(*said, HasSubstr("40 more plans of up to 12 s: up to 4 min"));
  EXPECT_THAT(*said, HasSubstr("--no-detail-prices"));
  EXPECT_THAT(*said, Not(HasSubstr("--run-limit")));
}

TEST(LongWork, ARunThatWouldBeStoppedIsTold) {
  const auto said = wordAhead({30.0, 40, 1, 900, 60});
  ASSERT_TRUE(said);
  EXPECT_THAT(*said, HasSubstr("The run ends at 900 s unless --run-limit is raised."));
}

}  // namespace
