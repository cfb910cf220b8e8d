// The program as its user runs it: bad input ends in a sentence and the right exit code, nothing is half written.
#include "support/run_program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

using namespace chipledger::test;
using testing::HasSubstr;

namespace {

struct BadCall {
  const char* name;
  const char* arguments;  ///< %S: a good sample
  int code;
  const char* says;  ///< part of what standard error must say
};
void PrintTo(const BadCall& c, std::ostream* out) { *out << c.name; }

class BadInput : public testing::TestWithParam<BadCall> {};

std::string withSample(std::string text) {
  for (std::size_t at; (at = text.find("%S")) != std::string::npos;) text.replace(at, 2, sample("medlar-plain.step"));
  return text;
}

TEST_P(BadInput, EndsInASentenceAndAnExitCode) {
  const BadCall& c = GetParam();
  const auto folder = scratchFolder(std::string("bad-") + c.name);
  writeText(folder / "empty.step", "");
  writeText(folder / "page.step", "<!DOCTYPE html><html><body>moved</body></html>\n");
  const std::string good = readText(std::string(CHIPLEDGER_SOURCE_DIR) + "/step_samples/medlar-plain.step");
  writeText(folder / "cut.step", good.substr(0, good.size() / 2));
  writeText(folder / "misspelt.toml", "[rates]\nmachine_per_hour = 50\nmachinst_per_hour = 41\n");
  writeText(folder / "negative.toml", "[rates]\nmachine_per_hour = -3\n");
  writeText(folder / "words.toml", "[rates]\nmachine_per_hour = \"fifty\"\n");
  writeText(folder / "broken.toml", "[rates\nmachine_per_hour = 3\n");
  std::filesystem::create_directories(folder / "folder.step");
  const Ran ran = run(withSample(c.arguments), folder);
  EXPECT_EQ(ran.code, c.code) << ran.err;
  EXPECT_THAT(ran.err, HasSubstr(c.says));
  EXPECT_FALSE(std::filesystem::exists(folder / "out.json")) << "a file was left behind";
  EXPECT_EQ(ran.out.find("nan"), std::string::npos);
}

INSTANTIATE_TEST_SUITE_P(
    Calls, BadInput,
    testing::Values(BadCall{"NoSuchFile", "price nowhere.step --json out.json", 3, "nowhere.step"},
                    BadCall{"Folder", "price folder.step --json out.json", 3, "folder"},
                    BadCall{"Empty", "price empty.step --json out.json", 3, "empty"},
                    BadCall{"Html", "look page.step --json out.json", 3, "page.step"},
                    BadCall{"Truncated", "price cut.step --json out.json", 3, "cut.step"},
                    BadCall{"ZeroBatch", "price %S --batch 0 --json out.json", 2, "--batch"},
                    BadCall{"WordBatch", "price %S --batch ten --json out.json", 2, "ten"},
                    BadCall{"UnknownMaterial", "price %S --material unobtainium --json out.json", 2, "unobtainium"},
                    BadCall{"MisspeltKey", "price %S --shop misspelt.toml --json out.json", 3, "misspelt.toml:3"},
                    BadCall{"NegativeRate", "price %S --shop negative.toml --json out.json", 3, "negative.toml:2"},
                    BadCall{"WordForNumber", "price %S --shop words.toml --json out.json", 3, "words.toml:2"},
                    BadCall{"BrokenToml", "price %S --shop broken.toml --json out.json", 3, "broken.toml"},
                    BadCall{"BadCell", "price %S --cell 7 --json out.json", 2, "--cell"},
                    BadCall{"NoSuchBody", "price %S --body nothing --json out.json", 2, "nothing"},
                    BadCall{"NoSuchDetail", "detail %S --cell 0.1 island-9 --json out.json", 2, "Nearest"},
                    BadCall{"NoCommand", "", 2, "--help"}, BadCall{"UnknownCommand", "cost %S", 2, "--help"},
                    BadCall{"CannotWrite", "look %S --quiet --json missing/out.json", 3, "missing/out.json"}),
    [](const testing::TestParamInfo<BadCall>& row) { return std::string(row.param.name); });

TEST(CommandLine, HelpHasExamplesAndVersionIsOneLine) {
  const auto folder = scratchFolder("help");
  const Ran help = run("--help", folder);
  EXPECT_EQ(help.code, 0);
  EXPECT_THAT(help.out, HasSubstr("chipledger price chassis.step"));
  const Ran version = run("--version", folder);
  EXPECT_EQ(version.code, 0);
  EXPECT_THAT(version.out, HasSubstr("chipledger 0."));
}

TEST(CommandLine, SameBytesWithOneAndTwoThreadsAndFromRunToRun) {
  const auto folder = scratchFolder("bytes");
  const std::string call = "price " + sample("medlar-islands.step") + " --quiet --no-detail-prices --cell 0.1 --json ";
  ASSERT_THAT(run(call + "a.json --threads 1", folder).code, testing::AnyOf(0, 4));
  ASSERT_THAT(run(call + "b.json --threads 2", folder).code, testing::AnyOf(0, 4));
  ASSERT_THAT(run(call + "c.json --threads 2", folder).code, testing::AnyOf(0, 4));
  const std::string a = readText(folder / "a.json");
  EXPECT_GT(a.size(), 1000u);
  EXPECT_EQ(a, readText(folder / "b.json"));
  EXPECT_EQ(a, readText(folder / "c.json"));
}

TEST(CommandLine, DetailPricesAreTheSameBytesWithOneAndTwoThreads) {
  const auto folder = scratchFolder("detail-bytes");
  const std::string call = "detail " + sample("medlar-islands.step") + " island-1 --quiet --cell 0.1 --json ";
  ASSERT_THAT(run(call + "a.json --threads 1", folder).code, testing::AnyOf(0, 4));
  ASSERT_THAT(run(call + "b.json --threads 2", folder).code, testing::AnyOf(0, 4));
  EXPECT_EQ(readText(folder / "a.json"), readText(folder / "b.json"));
}

TEST(CommandLine, StarterShopFileIsAcceptedAndChangesNothing) {
  const auto folder = scratchFolder("starter");
  const Ran starter = run("shop --starter", folder);
  ASSERT_EQ(starter.code, 0) << starter.err;
  writeText(folder / "mine.toml", starter.out);
  const std::string call = "price " + sample("medlar-plain.step") + " --quiet --no-detail-prices --cell 0.1 --json ";
  ASSERT_THAT(run(call + "a.json", folder).code, testing::AnyOf(0, 4));
  const Ran mine = run(call + "b.json --shop mine.toml", folder);
  ASSERT_THAT(mine.code, testing::AnyOf(0, 4)) << mine.err;
}

TEST(CommandLine, NoColourCodesOutsideATerminal) {
  const auto folder = scratchFolder("colour");
  const Ran ran = run("look " + sample("medlar-plain.step"), folder);
  EXPECT_THAT(ran.code, testing::AnyOf(0, 4));
  EXPECT_EQ(ran.out.find('\033'), std::string::npos);
}

}  // namespace
