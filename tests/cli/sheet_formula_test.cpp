// A formula on the sheet names values of the estimate; one that is not there would stand as a question mark.
#include "support/run_program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

using namespace chipledger::test;

namespace {

TEST(SheetFormulas, MissNoValue) {
  const auto folder = scratchFolder("formulas");
  const Ran ran = run("price " + sample("sundew-plain.step") + " --no-detail-prices --quiet --report out.html", folder);
  ASSERT_THAT(ran.code, testing::AnyOf(0, 4)) << ran.err;
  const std::string page = readText(folder / "out.html");
  ASSERT_GT(page.size(), 10000u);
  for (const char* missing : {"\u00d7 ?", "+ ?)", "(? ", "/ ?"})
    EXPECT_EQ(page.find(missing), std::string::npos) << missing;
}

}  // namespace
