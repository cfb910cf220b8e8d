// What a run may take has a flag, a default and a sentence; stopping it leaves nothing half written.
#include "support/run_program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

using namespace chipledger::test;
using testing::HasSubstr;

namespace {

struct LimitCall {
  const char* name;
  const char* before;  ///< what the shell does first
  const char* arguments;
  int code;
  const char* says;
};
void PrintTo(const LimitCall& c, std::ostream* out) { *out << c.name; }

class Limit : public testing::TestWithParam<LimitCall> {};

TEST_P(Limit, IsSaidAndLeavesNothingBehind) {
  const LimitCall& c = GetParam();
  const auto folder = scratchFolder(std::string("limit-") + c.name);
  std::string arguments = c.arguments;
  arguments.replace(arguments.find("%S"), 2, sample("medlar-islands.step"));
  const Ran ran = run(arguments, folder, c.before);
  EXPECT_EQ(ran.code, c.code) << ran.err;
  EXPECT_THAT(ran.err, HasSubstr(c.says));
  for (const auto& entry : std::filesystem::directory_iterator(folder))
    EXPECT_EQ(entry.path().filename().string().find("out.json"), std::string::npos) << "left behind: " << entry.path();
}

INSTANTIATE_TEST_SUITE_P(
    Flags, Limit,
    testing::Values(LimitCall{"Faces", "", "look %S --json out.json --face-limit 10", 5, "--face-limit"},
                    LimitCall{"FileSize", "", "look %S --json out.json --file-limit 0.01", 5, "limit"},
                    LimitCall{"Output", "", "look %S --json out.json --output-limit 0.001", 5, "--output-limit"},
                    LimitCall{"Run", "", "price %S --json out.json --cell 0.01 --run-limit 1", 5, "--run-limit"},
                    LimitCall{"Cells", "", "price %S --json out.json --cell-limit 0.01", 5, "--cell-limit"},
                    LimitCall{"FullDisk", "ulimit -f 1 &&", "look %S --quiet --json out.json", 3, "cannot be written"},
                    LimitCall{"NoFolder", "", "look %S --quiet --json /proc/out.json", 3, "cannot be written"},
                    LimitCall{"Interrupted", "timeout --preserve-status -s INT 1",
                              "price %S --json out.json --cell 0.01", 130, ""}),
    [](const testing::TestParamInfo<LimitCall>& row) { return std::string(row.param.name); });

TEST(Limit, OfCellsMakesThemLargerAndSaysSo) {
  const auto folder = scratchFolder("cells");
  const Ran ran = run("price " + sample("medlar-plain.step") + " --no-detail-prices --cell-limit 0.3", folder);
  EXPECT_THAT(ran.out, HasSubstr("within the memory bound"));
  EXPECT_THAT(ran.out, HasSubstr("cells of 0.1"));
}

TEST(Manual, NamesEveryCommandOfTheHelp) {
  const auto folder = scratchFolder("manual");
  const std::string page = readText(std::filesystem::path(CHIPLEDGER_BINARY).parent_path() / "manual/chipledger.1");
  ASSERT_FALSE(page.empty());
  const Ran help = run("--help", folder);
  for (const char* command : {"look", "price", "detail", "compare", "vary", "draw", "route", "shop"}) {
    EXPECT_THAT(help.out, HasSubstr(command));
    EXPECT_THAT(page, HasSubstr(std::string(".SS ") + command));
  }
}

}  // namespace
