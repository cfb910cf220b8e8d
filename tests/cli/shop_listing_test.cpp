// The full listing of the shop: no number stands there without saying where it is from.
#include "support/run_program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cctype>
#include <sstream>
#include <string>
#include <vector>

using namespace chipledger::test;

namespace {

bool hasDigit(const std::string& text) {
  return std::any_of(text.begin(), text.end(), [](unsigned char c) { return std::isdigit(c) != 0; });
}

/// The first line of a row: no rule, no heading, no continuation of a wrapped cell.
bool isRow(const std::string& line) {
  return line.size() > 2 && line.compare(0, 2, "  ") == 0 && line[2] != ' ' && line.find("  source ") != 0 &&
         line.find("---") == std::string::npos;
}

TEST(ShopListing, EveryRowWithANumberSaysWhereItIsFrom) {
  const Ran ran = run("shop", scratchFolder("shop-listing"));
  ASSERT_EQ(ran.code, 0) << ran.err;
  std::istringstream lines(ran.out);
  int rows = 0, tables = 0;
  bool below = false;  // the rule under the head of a table
  for (std::string line; std::getline(lines, line);) {
    if (line.find("---") != std::string::npos) {
      below = true;
      ++tables;
      continue;
    }
    if (line.empty()) below = false;
    if (!below || !isRow(line)) continue;
    ++rows;
    bool from = false;
    for (const char* word : {"table", "guessed", "entered", "clocked"})
      from = from || line.find(word) != std::string::npos;
    EXPECT_TRUE(from || !hasDigit(line)) << line;
  }
  EXPECT_GT(rows, 900);
  EXPECT_GE(tables, 12 + 5);
}

TEST(ShopListing, EverySourceNumberHasItsText) {
  const Ran ran = run("shop", scratchFolder("shop-sources"));
  ASSERT_EQ(ran.code, 0) << ran.err;
  std::istringstream lines(ran.out);
  bool cutting = false;
  int highest = 0, texts = 0, tables = 0;
  const auto close = [&] {
    EXPECT_EQ(cutting ? highest : 0, cutting ? texts : 0);
    highest = texts = 0;
  };
  for (std::string line; std::getline(lines, line);) {
    if (line.find("   [[") != std::string::npos) {
      close();
      cutting = true;
      ++tables;
    } else if (line.find("  source ") == 0) {
      ++texts;
      EXPECT_GT(line.size(), std::string("  source 1: ").size()) << line;
    } else if (cutting && isRow(line)) {
      const std::size_t last = line.find_last_of(' ');
      const std::string number = line.substr(last + 1);
      if (!number.empty() && std::all_of(number.begin(), number.end(), [](unsigned char c) { return std::isdigit(c); }))
        highest = std::max(highest, std::stoi(number));
    }
  }
  close();
  EXPECT_EQ(tables, 12);
}

TEST(ShopListing, TheListingOfAShopFileNamesItsLine) {
  const auto folder = scratchFolder("shop-own");
  writeText(folder / "mine.toml", "name = \"mine\"\n[[cutter]]\nid = \"flat-6\"\nprice = 41\n");
  const Ran ran = run("shop mine.toml", folder);
  ASSERT_EQ(ran.code, 0) << ran.err;
  EXPECT_THAT(ran.out, testing::HasSubstr("mine.toml line 2"));
  EXPECT_THAT(ran.out, testing::HasSubstr("entered, own"));
}

}  // namespace
