#include <chipledger/report/table.hpp>

#include <gtest/gtest.h>

#include <sstream>

namespace chipledger::report {
namespace {

std::vector<std::string> linesOf(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

TEST(Columns, CountCodePointsNotBytes) {
  EXPECT_EQ(columnsOf(""), 0);
  EXPECT_EQ(columnsOf("mm"), 2);
  EXPECT_EQ(columnsOf("cm\u00b3"), 3);
  EXPECT_EQ(columnsOf("\u00d85 \u2265 4"), 6);
}

TEST(Plain, TakesTheTeethOutOfControlCharacters) {
  EXPECT_EQ(plain("island\x1b[31m"), "island?[31m");
  EXPECT_EQ(plain("a\tb\nc\x7f"), "a?b?c?");
  EXPECT_EQ(plain("\xc2\x9b"
                  "2J"),
            "?2J");  // one-byte escape introducer, as UTF-8
  EXPECT_EQ(plain("\u00d85 B\u00e4r"), "\u00d85 B\u00e4r");
}

TEST(Wrap, BreaksAtBlanksAndInsideWordsThatAreTooLong) {
  EXPECT_EQ(wrap("one two three", 7), (std::vector<std::string>{"one two", "three"}));
  EXPECT_EQ(wrap("abcdefgh", 3), (std::vector<std::string>{"abc", "def", "gh"}));
  EXPECT_EQ(wrap("\u00d8\u00d8\u00d8", 2), (std::vector<std::string>{"\u00d8\u00d8", "\u00d8"}));
  EXPECT_EQ(wrap("", 5), (std::vector<std::string>{""}));
  EXPECT_EQ(wrap("   ", 5), (std::vector<std::string>{""}));
}

TEST(Table, PutsUnitsUnderHeadsAndAlignsOnTheRight) {
  Table table({{"cutter", "", Align::Left}, {"cutting", "min"}});
  table.add({"flat-6", "18.2"});
  table.add({"flat-10", "4.0"});
  EXPECT_EQ(table.text({60, false}),
            "  cutter   cutting\n"
            "               min\n"
            "  -------  -------\n"
            "  flat-6      18.2\n"
            "  flat-10      4.0\n");
}

TEST(Table, DropsTheHighestDropOrderFirst) {
  Table table({{"name", "", Align::Left}, {"aaaaaaaaaa", "", Align::Right, 1}, {"bbbbbbbbbb", "", Align::Right, 2}});
  table.add({"x", "1", "2"});
  const std::string text = table.text({24, false});
  EXPECT_NE(text.find("aaaaaaaaaa"), std::string::npos);
  EXPECT_EQ(text.find("bbbbbbbbbb"), std::string::npos);
}

TEST(Table, WrapsInsideItsWrappingColumn) {
  Table table({{"name", "", Align::Left}, {"why", "", Align::Left, 0, true}});
  table.add({"island-1", "it forces a thicker plate, a longer roughing pass and a nest for the second side"});
  for (const std::string& line : linesOf(table.text({40, false}))) EXPECT_LE(columnsOf(line), 40) << line;
}

TEST(Table, ColourChangesNothingButEscapes) {
  Table table({{"name", "", Align::Left}, {"is", "mm"}});
  table.add({"a", "1"}, Tone::Strong);
  table.rule();
  table.add({"b", "2"}, Tone::Alert);
  std::string coloured = table.text({60, true});
  for (std::size_t at = coloured.find('\x1b'); at != std::string::npos; at = coloured.find('\x1b')) {
    coloured.erase(at, coloured.find('m', at) - at + 1);
  }
  EXPECT_EQ(coloured, table.text({60, false}));
}

}  // namespace
}  // namespace chipledger::report
