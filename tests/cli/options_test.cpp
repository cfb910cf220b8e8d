// Every option of every command: one call of each command takes all of them, each bad value ends in a sentence.
#include "support/run_program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <regex>
#include <set>

using namespace chipledger::test;
using testing::HasSubstr;
using testing::Not;

namespace {

const char* const kLimits =
    " --time-limit 50 --run-limit 500 --memory-limit 3000 --file-limit 100 --face-limit 5000 --cell-limit 4 "
    "--output-limit 100";

// A product with two variants of one small part.
const char* const kProduct = R"toml(name = "Block"
batches = [10, 50]
[sales]
list_price = 300
[[milled]]
name = "block"
step = "island.step"
[[variant]]
name = "island"
[[variant]]
name = "bare"
steps = { block = "box.step" }
)toml";

struct WholeCall {
  const char* command;
  const char* arguments;
  std::vector<std::string> written;
};
void PrintTo(const WholeCall& c, std::ostream* out) { *out << c.command; }

const WholeCall kWhole[] = {
    {"look",
     "bores.step --body block-bores-m2 --answers answers.toml --shop shop.toml --threads 1 --json out.json --quiet "
     "--write-answers open.toml",
     {"out.json", "open.toml"}},
    {"price",
     "island.step --body block-island --answers none.toml --shop shop.toml --threads 2 --json out.json --quiet "
     "--material Ti-6Al-4V --batch 10,50 --cell 0.5 --no-detail-prices --csv out.csv --plan out.svg --paths paths.csv "
     "--report out.html --sheet client --terms product.toml --age mocked",
     {"out.json", "out.csv", "out.svg", "paths.csv", "out.html"}},
    {"detail",
     "island.step island-1 --body block-island --answers none.toml --shop shop.toml --threads 2 --json out.json "
     "--quiet --material Ti-6Al-4V --batch 10,50 --cell 0.5 --plan out.svg --report out.html --age proved",
     {"out.json", "out.svg", "out.html"}},
    {"compare",
     "island.step island.step --body block-island --answers none.toml --shop shop.toml --threads 2 --json out.json "
     "--quiet --material Ti-6Al-4V --batch 10,50 --cell 0.5 --no-detail-prices --csv out.csv --report out.html --age "
     "run",
     {"out.json", "out.csv", "out.html"}},
    {"vary",
     "island.step --set island-1.height=2,2.5 --body block-island --answers none.toml --shop shop.toml --threads 2 "
     "--json out.json --quiet --material Ti-6Al-4V --batch 10,50 --cell 0.5 --csv out.csv --resume --report out.html "
     "--age sketch",
     {"out.json", "out.csv", "out.html"}},
    {"route",
     "product.toml --shop shop.toml --batch 10,50 --sets 50 --variant bare --what \"metal +20%\" --target-list 290 "
     "--advice --cell 0.5 --threads 2 --json out.json --csv out.csv --report out.html --sheet owner --age drawn "
     "--quiet",
     {"out.json", "out.csv", "out.html"}},
    {"draw", "chassis.toml --output out.step", {"out.step"}},
    {"shop", "shop.toml --air-cut air.csv", {"air.csv"}},
};
// Those that print a file to start from and do nothing else.
const char* const kStarters[] = {"route --starter", "route --starter-routes", "shop --starter"};

bool hasLimits(const std::string& command) { return command != "draw" && command != "shop"; }

std::string samplePath(const std::string& name) { return std::string(CHIPLEDGER_SOURCE_DIR) + "/step_samples/" + name; }

std::filesystem::path folderOfFiles(const std::string& name) {
  const auto folder = scratchFolder(name);
  for (const auto& [from, to] : {std::pair{"block-bores-m2.step", "bores.step"},
                                 {"block-island.step", "island.step"},
                                 {"block-box.step", "box.step"},
                                 {"sundew-plain.toml", "chassis.toml"},
                                 {"shop-medlar.toml", "shop.toml"}})
    std::filesystem::copy_file(samplePath(from), folder / to);
  writeText(folder / "product.toml", kProduct);
  writeText(folder / "none.toml", "");
  writeText(folder / "answers.toml",
            "[part]\ntight-bores = []\nseen-side = \"outer\"\nmate = \"mirror\"\n[bore-1]\nthread = \"M2\"\n");
  return folder;
}

std::set<std::string> optionsIn(const std::string& text) {
  const std::regex option("--[a-z][-a-z]*");
  std::set<std::string> found;
  for (std::sregex_iterator it(text.begin(), text.end(), option), end; it != end; ++it) found.insert(it->str());
  return found;
}

class Whole : public testing::TestWithParam<WholeCall> {};

TEST_P(Whole, TakesEveryOptionOfItsHelp) {
  const WholeCall& c = GetParam();
  const auto folder = folderOfFiles(std::string("whole-") + c.command);
  const std::string call = std::string(c.command) + " " + c.arguments + (hasLimits(c.command) ? kLimits : "");
  const Ran ran = run(call, folder);
  EXPECT_TRUE(ran.code == 0 || ran.code == 4) << ran.err;
  for (const std::string& file : c.written) EXPECT_GT(readText(folder / file).size(), 20U) << file;
  std::set<std::string> tried = optionsIn(call);
  tried.insert("--help");
  for (const char* starter : kStarters)
    if (std::string(starter).rfind(c.command, 0) == 0) tried.merge(optionsIn(starter));
  // Options stand first on their lines; the words beside them may name others.
  const Ran help = run(std::string(c.command) + " --help", folder);
  const std::regex line("\n +(-[a-zA-Z],)?(--[a-z][-a-z]*)");
  int options = 0;
  for (std::sregex_iterator it(help.out.begin(), help.out.end(), line), end; it != end; ++it, ++options)
    EXPECT_EQ(tried.count((*it)[2].str()), 1U) << (*it)[2].str() << " of " << c.command << " is tried nowhere";
  EXPECT_GE(options, 2);
}

INSTANTIATE_TEST_SUITE_P(Commands, Whole, testing::ValuesIn(kWhole),
                         [](const auto& row) { return std::string(row.param.command); });

TEST(Starters, PrintAFileToStartFrom) {
  const auto folder = folderOfFiles("starters");
  for (const char* starter : kStarters) {
    const Ran ran = run(starter, folder);
    EXPECT_EQ(ran.code, 0) << ran.err;
    EXPECT_GT(ran.out.size(), 300U) << starter;
  }
}

struct BadValue {
  const char* name;
  const char* arguments;
  int code;
  const char* says;
};
void PrintTo(const BadValue& c, std::ostream* out) { *out << c.name; }

class Bad : public testing::TestWithParam<BadValue> {};

TEST_P(Bad, ValueEndsInASentence) {
  const BadValue& c = GetParam();
  const auto folder = folderOfFiles(std::string("value-") + c.name);
  const Ran ran = run(c.arguments, folder);
  EXPECT_EQ(ran.code, c.code) << ran.err;
  EXPECT_THAT(ran.err, HasSubstr(c.says));
  EXPECT_THAT(ran.err, HasSubstr(". ")) << "what is wrong, and what to do";
  EXPECT_EQ(ran.out, "");
  for (const char* file : {"out.html", "out.json", "out.csv"}) EXPECT_FALSE(std::filesystem::exists(folder / file));
}

INSTANTIATE_TEST_SUITE_P(
    Values, Bad,
    testing::Values(
        BadValue{"Age", "price box.step --age old --report out.html", 2, "sketch, drawn, mocked, proved, run"},
        BadValue{"AgeOfARoute", "route product.toml --age old --report out.html", 2, "sketch, drawn"},
        BadValue{"Sheet", "price box.step --sheet dealer --report out.html", 2, "owner, machinist, client"},
        BadValue{"SheetWithoutReport", "price box.step --sheet machinist", 2, "--report"},
        BadValue{"MachinistOfARoute", "route product.toml --sheet machinist --report out.html", 2,
                 "price PART.step --sheet machinist"},
        BadValue{"TermsNowhere", "price box.step --sheet client --terms nowhere.toml --report out.html", 3,
                 "nowhere.toml"},
        BadValue{"TermsOfAShopFile", "price box.step --sheet client --terms shop.toml --report out.html", 3,
                 "shop.toml:"},
        BadValue{"TermsWithoutClient", "price box.step --terms product.toml --report out.html", 2, "--sheet client"},
        BadValue{"AnswersNowhere", "price box.step --answers nowhere.toml", 3, "nowhere.toml"},
        BadValue{"AnswersThere", "look bores.step --write-answers answers.toml", 2, "would be lost"},
        BadValue{"ShopNowhere", "price box.step --shop nowhere.toml", 3, "nowhere.toml"},
        BadValue{"ShopFileNowhere", "shop nowhere.toml", 3, "nowhere.toml"},
        BadValue{"ThreadsTooMany", "look box.step --threads 9999", 2, "--threads"},
        BadValue{"ThreadsAWord", "look box.step --threads two", 2, "--threads"},
        BadValue{"TimeLimit", "look box.step --time-limit 0.5", 2, "--time-limit"},
        BadValue{"MemoryLimit", "look box.step --memory-limit 1", 2, "--memory-limit"},
        BadValue{"RunLimit", "look box.step --run-limit 0", 2, "--run-limit"},
        BadValue{"FileLimit", "look box.step --file-limit none", 2, "--file-limit"},
        BadValue{"FaceLimit", "look box.step --face-limit 0", 2, "--face-limit"},
        BadValue{"FaceLimitOfVary", "vary island.step --set island-1.height=2,3 --face-limit 3 --csv out.csv", 5,
                 "--face-limit"},
        BadValue{"CellLimit", "look box.step --cell-limit 0", 2, "--cell-limit"},
        BadValue{"OutputLimit", "look box.step --output-limit -1", 2, "--output-limit"},
        BadValue{"SetWithoutValues", "vary island.step --set island-1.height --csv out.csv", 2, "--set"},
        BadValue{"SetBackwards", "vary island.step --set island-1.height=5:2:0.1 --csv out.csv", 2, "Swap the ends"},
        BadValue{"SetOfNothing", "vary island.step --set island-9.height=2,3 --csv out.csv", 2, "island-1.height"},
        BadValue{"ResumeWithoutFile", "vary island.step --set island-1.height=2,3 --resume", 2, "--csv FILE"},
        BadValue{"OneVariant", "compare box.step", 2, "two or more"},
        BadValue{"VariantOfNoName", "route product.toml --variant nobody --report out.html", 2, "island, bare"},
        BadValue{"WhatOfNothing", "route product.toml --what nonsense --report out.html", 2, "metal"},
        BadValue{"SetsOfNone", "route product.toml --sets 0 --report out.html", 2, "--sets"},
        BadValue{"ListBelowNothing", "route product.toml --target-list -5 --report out.html", 2, "--target-list"},
        BadValue{"CellOfARoute", "route product.toml --cell 7 --report out.html", 2, "--cell"},
        BadValue{"BatchOfARoute", "route product.toml --batch ten --report out.html", 2, "--batch"},
        BadValue{"ProductNowhere", "route nowhere.toml --report out.html", 3, "nowhere.toml"},
        BadValue{"ChassisNowhere", "draw nowhere.toml -o out.step", 3, "nowhere.toml"},
        BadValue{"DrawToNowhere", "draw chassis.toml -o missing/out.step", 3, "missing/out.step"},
        BadValue{"DrawWithoutOutput", "draw chassis.toml", 2, "--output"},
        BadValue{"AirCutToNowhere", "shop --air-cut missing/air.csv", 3, "missing/air.csv"},
        BadValue{"ReportToNowhere", "price box.step --cell 1 --quiet --report missing/out.html", 3, "missing/out.html"},
        BadValue{"PlanToNowhere", "price box.step --cell 1 --quiet --plan missing/out.svg", 3, "missing/out.svg"},
        BadValue{"PathsToNowhere", "price box.step --cell 1 --quiet --paths missing/out.csv", 3, "missing/out.csv"},
        BadValue{"CsvToNowhere", "price box.step --cell 1 --quiet --csv missing/out.csv", 3, "missing/out.csv"},
        BadValue{"CsvOfVaryToNowhere", "vary island.step --set island-1.height=2,3 --cell 1 --csv missing/out.csv", 3,
                 "missing/out.csv"}),
    [](const auto& row) { return std::string(row.param.name); });

TEST(Age, StandsInTheHeadOfEveryReport) {
  const auto folder = folderOfFiles("age");
  const std::string quick = " --quiet --cell 1 --report out.html --age ";
  for (const std::string& call :
       {"price box.step --no-detail-prices" + quick + "run",
        "compare box.step island.step --no-detail-prices" + quick + "run",
        "vary box.step --set batch=10,50" + quick + "run", "route product.toml" + quick + "run"}) {
    const Ran ran = run(call, folder);
    ASSERT_TRUE(ran.code == 0 || ran.code == 4) << call << ran.err;
    EXPECT_THAT(readText(folder / "out.html"), HasSubstr("age: run")) << call;
  }
}

TEST(Terms, StandInTheClientsPrices) {
  const auto folder = folderOfFiles("terms");
  const std::string call = "price box.step --quiet --cell 1 --no-detail-prices --sheet client --report ";
  const Ran bare = run(call + "bare.html", folder);
  EXPECT_THAT(bare.err, HasSubstr("no margin is on them"));
  const Ran sold = run(call + "sold.html --terms product.toml", folder);
  EXPECT_THAT(sold.err, Not(HasSubstr("no margin")));
  EXPECT_THAT(readText(folder / "sold.html"), HasSubstr("before sales tax"));
  EXPECT_NE(readText(folder / "bare.html"), readText(folder / "sold.html"));
}

TEST(Answers, CloseTheirQuestions) {
  const auto folder = folderOfFiles("answers");
  const Ran open = run("look bores.step", folder), answered = run("look bores.step --answers answers.toml", folder);
  EXPECT_EQ(open.code, 4);
  EXPECT_THAT(open.out, HasSubstr("bore-1: Is this bore"));
  EXPECT_THAT(answered.out, Not(HasSubstr("bore-1: Is this bore")));
  EXPECT_THAT(answered.out, HasSubstr("bore-2: Is this bore"));
}

TEST(Resume, WithoutAFileStartsFromTheFirstPoint) {
  const auto folder = folderOfFiles("resume");
  const std::string call = "vary island.step --set island-1.height=2,2.5 --cell 0.5 --quiet --csv out.csv";
  ASSERT_TRUE(run(call + " --resume", folder).code % 4 == 0);
  const std::string resumed = readText(folder / "out.csv");
  std::filesystem::remove(folder / "out.csv");
  ASSERT_TRUE(run(call, folder).code % 4 == 0);
  EXPECT_EQ(readText(folder / "out.csv"), resumed);
}

// Two runs, one thread and two: the same bytes of every page.
TEST(Reports, AreTheSameBytesFromRunToRunAndForAnyThreads) {
  const auto folder = folderOfFiles("report-bytes");
  const std::string quick = " --quiet --cell 0.5 --report ";
  for (const std::string& call :
       {"price island.step" + quick, "price island.step --sheet machinist" + quick,
        "detail island.step island-1" + quick, "compare box.step island.step" + quick,
        "vary island.step --set island-1.height=2,2.5" + quick, "route product.toml" + quick}) {
    std::string pages[3];
    for (int k = 0; k < 3; ++k) {
      const Ran ran =
          run(call + "out.html --threads " + std::to_string(k == 0 ? 1 : 2), folder, "SOURCE_DATE_EPOCH=1715904000");
      ASSERT_TRUE(ran.code == 0 || ran.code == 4) << call << ran.err;
      pages[k] = readText(folder / "out.html");
    }
    EXPECT_GT(pages[0].size(), 5000U);
    EXPECT_THAT(pages[0], HasSubstr("2024-05-17"));
    EXPECT_EQ(pages[0], pages[1]) << call;
    EXPECT_EQ(pages[1], pages[2]) << call;
  }
}

}  // namespace
