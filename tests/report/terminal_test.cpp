#include "support/sample_estimate.hpp"

#include <chipledger/report/number.hpp>
#include <chipledger/report/sections.hpp>
#include <chipledger/report/terminal.hpp>
#include <chipledger/report/wording.hpp>

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

std::string withoutEscapes(std::string text) {
  for (std::size_t at = text.find('\x1b'); at != std::string::npos; at = text.find('\x1b')) {
    text.erase(at, text.find('m', at) - at + 1);
  }
  return text;
}

setup::Plan samplePlan() {
  setup::Plan plan;
  for (const estimate::SetupResult& s : support::sampleEstimate().setups) plan.setups.push_back(s.setup);
  plan.unseen.push_back({6});
  plan.notes.push_back({NoteSeverity::LeftOut, "undercut", "A face cannot be reached from either side.", ""});
  return plan;
}

std::vector<std::string> everySheet(const TerminalOptions& options) {
  const part::Part part = support::samplePart();
  const estimate::Estimate e = support::sampleEstimate();
  std::vector<std::string> sheets{renderPrice(e, options),
                                  renderLook(part, part.bodies.front(), samplePlan(), e.details, options),
                                  renderShop("built-in starting values", e.assumptions, options)};
  for (int i = 0; i < static_cast<int>(e.details.list.size()); ++i) sheets.push_back(renderDetail(e, i, options));
  return sheets;
}

class Width : public testing::TestWithParam<int> {};

TEST_P(Width, NoLineIsWiderThanTheTerminal) {
  for (const std::string& sheet : everySheet({GetParam(), false})) {
    for (const std::string& line : linesOf(sheet)) EXPECT_LE(columnsOf(line), GetParam()) << line;
  }
}

TEST_P(Width, ColourAddsOnlyEscapes) {
  const auto plainSheets = everySheet({GetParam(), false});
  const auto colourSheets = everySheet({GetParam(), true});
  for (std::size_t i = 0; i < plainSheets.size(); ++i) {
    EXPECT_EQ(plainSheets[i].find('\x1b'), std::string::npos);
    EXPECT_NE(colourSheets[i].find('\x1b'), std::string::npos);
    EXPECT_EQ(withoutEscapes(colourSheets[i]), plainSheets[i]);
  }
}

INSTANTIATE_TEST_SUITE_P(Terminals, Width, testing::Values(60, 80, 100, 140, 200));

TEST(Price, SectionsComeInOrderEachOnce) {
  const std::vector<std::string> lines = linesOf(renderPrice(support::sampleEstimate(), {100, false}));
  std::vector<std::string> found;
  for (const std::string& line : lines) {
    for (const char* section : kSections)
      if (line == section) found.push_back(line);
  }
  EXPECT_EQ(found, std::vector<std::string>(std::begin(kSections), std::end(kSections)));
}

TEST(Price, TheFirstScreenAnswersTheOwner) {
  const estimate::Estimate e = support::sampleEstimate();
  std::vector<std::string> lines = linesOf(renderPrice(e, {100, false}));
  lines.resize(24);  // a small terminal's screen
  std::string screen;
  for (const std::string& line : lines) screen += line + '\n';
  for (const estimate::BatchPrice& b : e.batches) EXPECT_NE(screen.find(moneyText(b.perPiece)), std::string::npos);
  EXPECT_NE(screen.find("island-1"), std::string::npos) << "dearest detail";
  EXPECT_NE(screen.find("6.35 plate instead of 2.54"), std::string::npos) << "what makes it cost that";
  EXPECT_NE(screen.find("75 % of the 6.35 mm plate"), std::string::npos);
  EXPECT_NE(screen.find("cutter life"), std::string::npos) << "how sure";
  EXPECT_NE(screen.find("Island-1 3.1 high instead of 3.2, which saves 2.4"), std::string::npos) << "what to change";
  EXPECT_NE(screen.find(kEstimateNotQuote), std::string::npos);
}

TEST(Price, NarrowScreensKeepTheReferenceBatchAndLikelyMinutes) {
  const std::string text = renderPrice(support::sampleEstimate(), {60, false});
  EXPECT_NE(text.find("at 50"), std::string::npos);
  EXPECT_NE(text.find("likely"), std::string::npos);
}

TEST(Price, SaysWhereNumbersAreFrom) {
  const std::string text = renderPrice(support::sampleEstimate(), {140, false});
  for (const char* mark : {"entered", "table", "guessed", "clocked"})
    EXPECT_NE(text.find(mark), std::string::npos) << mark;
}

TEST(Price, PrintsTheCautionsAndTheDoubts) {
  std::string text = renderPrice(support::sampleEstimate(), {1000, false});
  EXPECT_NE(text.find("Titanium chips burn"), std::string::npos);
  EXPECT_NE(text.find("A lock is a safety part"), std::string::npos);
  EXPECT_NE(text.find("not for typing into a machine"), std::string::npos);
  EXPECT_NE(text.find("Hand deburring and finishing are not in the price"), std::string::npos);
  EXPECT_NE(text.find("M2.5 thread?"), std::string::npos);
}

TEST(Price, ForeignTextCannotDriveTheTerminal) {
  estimate::Estimate e = support::sampleEstimate();
  e.bodyName = "plate\x1b]0;title\x07";
  e.details.list[1].name = "island\x1b[2J";
  e.notes.push_back({NoteSeverity::Doubt, "x", "a\x1b[31mb", "c\r"});
  e.details.questions.front().question = "is\x1b it?";
  EXPECT_EQ(renderPrice(e, {100, false}).find_first_of("\x1b\x07\r"), std::string::npos);
  EXPECT_EQ(renderDetail(e, 1, {100, false}).find_first_of("\x1b\x07\r"), std::string::npos);
}

TEST(Price, AnEmptyEstimateIsASheetNotACrash) {
  const std::string text = renderPrice(estimate::Estimate{}, {80, false});
  EXPECT_NE(text.find("No batch was priced"), std::string::npos);
}

TEST(Wording, NotesAreSaidOnceAndNotLedTwice) {
  estimate::Estimate e = support::sampleEstimate();
  e.details.notes = e.notes;
  e.notes.push_back({NoteSeverity::Doubt, "thin-floor", "pocket-1 leaves a floor of 0.75 mm.", "pocket-1"});
  EXPECT_EQ(allNotes(e).size(), e.notes.size());
  EXPECT_EQ(noteSentence(e.notes.back()), "pocket-1 leaves a floor of 0.75 mm.");
  EXPECT_EQ(noteSentence({NoteSeverity::Doubt, "x", "It may dish.", "pocket-1"}), "pocket-1: It may dish.");
}

TEST(DetailSheet, WithIsWithoutPlusDifferenceOnEveryLine) {
  const estimate::Estimate e = support::sampleEstimate();
  const std::string text = renderDetail(e, 1, {100, false});
  const estimate::BatchPrice& b = e.batches[3];
  const estimate::Difference& d = e.detailPrices[1].withMinusWithout[3];
  EXPECT_NE(text.find(moneyText(b.perPiece - d.money)), std::string::npos);
  EXPECT_NE(text.find(moneySigned(d.money)), std::string::npos);
  for (std::size_t l = 0; l < estimate::kLineCount; ++l) {
    EXPECT_NE(text.find(moneyText(b.lines[l] - d.lines[l])), std::string::npos) << ledger::word(ledger::kLines[l]);
  }
}

TEST(DetailSheet, SaysWhenADetailHasNoPriceOfItsOwn) {
  const estimate::Estimate e = support::sampleEstimate();
  EXPECT_NE(renderDetail(e, 0, {100, false}).find("cannot be taken away"), std::string::npos);
  EXPECT_NE(renderDetail(e, 99, {100, false}).find("no such detail"), std::string::npos);
  EXPECT_NE(renderDetail(e, -1, {100, false}).find("no such detail"), std::string::npos);
}

TEST(Wording, DearestFirstAndThoseWithoutPriceLast) {
  const estimate::Estimate e = support::sampleEstimate();
  const auto order = dearestFirst(e);
  EXPECT_EQ(e.details.list[order[0]].name, "island-1");
  EXPECT_EQ(e.details.list[order[1]].name, "lock-cut-1");
  EXPECT_EQ(e.details.list[order.back()].name, "outline");
}

TEST(Terminal, SaysSetsWhereABatchCountsSets) {
  estimate::Estimate e = support::sampleEstimate();
  e.piecesPerSet = 2;
  for (const std::string& sheet : {renderPrice(e, {100, false}), renderDetail(e, 1, {100, false})}) {
    EXPECT_NE(sheet.find("sets"), std::string::npos);
    for (const estimate::BatchPrice& b : e.batches) {
      std::string words = std::to_string(b.size);
      words += " pieces";
      EXPECT_EQ(sheet.find(words), std::string::npos) << words;
    }
    for (const std::string& line : linesOf(sheet)) EXPECT_NE(line.rfind("  pieces ", 0), 0U) << line;
  }
  EXPECT_NE(renderPrice(e, {100, false}).find("for 50 sets"), std::string::npos) << "cutters to buy";
}

TEST(Wording, GuessedComesFirst) {
  const Assumptions sorted = guessedFirst(support::sampleEstimate().assumptions);
  EXPECT_EQ(sorted.front().from, From::Guessed);
  EXPECT_EQ(sorted.size(), support::sampleEstimate().assumptions.size());
  EXPECT_EQ(fromLetters(sorted), "e4 t2 g3 c1");
  EXPECT_EQ(fromWords(sorted), "4 entered, 2 table, 3 guessed, 1 clocked");
}

TEST(Wording, DimensionsAreWordedShort) {
  const estimate::Estimate e = support::sampleEstimate();
  EXPECT_EQ(dimensionsText(e.details.list[1].dimensions), "14 x 6, 3.2 high, root R0.5");
  EXPECT_EQ(dimensionsText(e.details.list[4].dimensions), "\u00d85, 2 deep");
}

}  // namespace
}  // namespace chipledger::report
