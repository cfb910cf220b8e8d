#include "support/sample_estimate.hpp"

#include <chipledger/report/charts.hpp>
#include <chipledger/report/minutes_chart.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/sections.hpp>
#include <chipledger/report/sheet_html.hpp>

#include <gtest/gtest.h>

#include <cmath>
#include <regex>
#include <set>

namespace chipledger::report {
namespace {

std::string sheet(const estimate::Estimate& e) { return sheetHtml(e, support::sampleBody(), {"2024-05-17", "0.1.0"}); }

// The text as the whole content of an element.
std::string content(const std::string& text) {
  std::string out(1, '>');
  out += text;
  out += '<';
  return out;
}

/// Every element closed in order; attributes quoted. Returns the first fault, empty when well formed.
std::string markupFault(const std::string& html) {
  static const std::set<std::string> empty{"meta", "br", "input", "!DOCTYPE"};
  std::vector<std::string> open;
  for (std::size_t at = html.find('<'); at != std::string::npos; at = html.find('<', at + 1)) {
    std::size_t end = at + 1;
    bool quoted = false;
    while (end < html.size() && (quoted || html[end] != '>')) {
      if (html[end] == '"') quoted = !quoted;
      if (!quoted && html[end] == '<') return "a < inside a tag: " + html.substr(at, 60);
      ++end;
    }
    const std::string tag = html.substr(at + 1, end - at - 1);
    const bool closing = tag.front() == '/';
    const std::string name = tag.substr(closing ? 1 : 0, tag.find_first_of(" /\n", 1) - (closing ? 1 : 0));
    const std::string bare = closing ? tag.substr(1) : name;
    if (closing) {
      if (open.empty() || open.back() != bare)
        return "</" + bare + "> closes " + (open.empty() ? "nothing" : open.back());
      open.pop_back();
    } else if (tag.back() != '/' && empty.count(name) == 0) {
      open.push_back(name);
      // Their content is not markup.
      if (name == "style" || name == "script") end = html.find("</" + name, end) - 1;
    }
    at = end;
  }
  return open.empty() ? "" : "<" + open.back() + "> stays open";
}

TEST(SheetHtml, IsWellFormed) {
  EXPECT_EQ(markupFault(sheet(support::sampleEstimate())), "");
  EXPECT_EQ(markupFault(sheet(estimate::Estimate{})), "");
  EXPECT_NE(markupFault("<p><b></p></b>"), "");
}

TEST(SheetHtml, NeedsNothingElse) {
  const std::string html = sheet(support::sampleEstimate());
  for (const char* reach : {"src=", "@import", "url(http", "fetch(", "XMLHttpRequest", "<link", "<iframe", "<img"}) {
    EXPECT_EQ(html.find(reach), std::string::npos) << reach;
  }
  // Only the name of the SVG namespace looks like an address.
  const std::regex address("https?://(?!www\\.w3\\.org/2000/svg)");
  EXPECT_FALSE(std::regex_search(html, address));
}

TEST(SheetHtml, SectionsComeInOrderEachOnce) {
  const std::string html = sheet(support::sampleEstimate());
  std::size_t at = 0;
  for (const char* section : kSections) {
    const std::string heading = std::string("<h2>") + section + "</h2>";
    const std::size_t found = html.find(heading);
    ASSERT_NE(found, std::string::npos) << section;
    EXPECT_GT(found, at) << section;
    EXPECT_EQ(html.find(heading, found + 1), std::string::npos) << section;
    at = found;
  }
}

TEST(SheetHtml, EveryPricedDetailIsLinkedWithTheDrawing) {
  const estimate::Estimate e = support::sampleEstimate();
  const std::string html = sheet(e);
  for (const estimate::DetailPrice& p : e.detailPrices) {
    if (p.withMinusWithout.empty()) continue;
    const std::string mark = "data-d=\"" + std::to_string(p.detail) + "\"";
    std::size_t count = 0;
    for (std::size_t at = html.find(mark); at != std::string::npos; at = html.find(mark, at + 1)) ++count;
    EXPECT_GE(count, 4U) << "drawing, label, chart, table: " << e.details.list[static_cast<std::size_t>(p.detail)].name;
  }
}

TEST(SheetHtml, NumbersOpenToInputsWithOriginAndSource) {
  const std::string html = sheet(support::sampleEstimate());
  EXPECT_NE(html.find("<summary>25.30</summary><div id=\"price3-1\"><p>Likely machine minutes"), std::string::npos);
  EXPECT_NE(
      html.find("rates.machine_per_hour = 46 per hour <span class=\"from entered\">entered</span> shop.toml line 8"),
      std::string::npos);
}

TEST(SheetHtml, EveryFigureOfAChartNamesOneNumberOfThePage) {
  const std::string html = sheet(support::sampleEstimate());
  const std::regex link("<a href=\"#([^\"]+)\"");
  int links = 0;
  for (std::sregex_iterator it(html.begin(), html.end(), link), end; it != end; ++it, ++links) {
    const std::string name = " id=\"" + (*it)[1].str() + "\"";
    const std::size_t first = html.find(name);
    ASSERT_NE(first, std::string::npos) << name;
    EXPECT_EQ(html.find(name, first + 1), std::string::npos) << name;
  }
  EXPECT_GT(links, 60);
}

TEST(SheetHtml, ALineOpensToItsBookings) {
  estimate::Estimate e = support::sampleEstimate();
  ledger::Entry entry;
  entry.line = ledger::Line::Metal;
  entry.cost = money(8.06);
  entry.note = "blank 104 x 32 x 6.35";
  e.ledger.book(entry);
  EXPECT_NE(sheet(e).find("<li>blank 104 x 32 x 6.35, shared: 8.06</li>"), std::string::npos);
}

TEST(SheetHtml, ValuesOfOperationsAreAmongTheValuesOnce) {
  estimate::Estimate e = support::sampleEstimate();
  for (estimate::OperationResult& o : e.operations) {
    o.operation.conditions.assumptions = {{"speed.rough-only-here", 75, "m/min", From::Table, "catalogue, p. 7"}};
  }
  const std::string html = sheet(e);
  const std::string values = html.substr(html.find("id=\"values\""));
  const std::size_t at = values.find("speed.rough-only-here");
  ASSERT_NE(at, std::string::npos);
  EXPECT_EQ(values.find("speed.rough-only-here", at + 1), std::string::npos);
}

TEST(SheetHtml, GuessedValuesStandFirst) {
  const std::string html = sheet(support::sampleEstimate());
  const std::string values = html.substr(html.find("id=\"values\""));
  EXPECT_LT(values.find("from guessed"), values.find("from entered"));
  EXPECT_LT(values.find("from guessed"), values.find("from table"));
}

TEST(SheetHtml, ForeignTextStaysText) {
  estimate::Estimate e = support::sampleEstimate();
  const std::string evil = "<img src=x onerror=alert(1)>\"'&</script>";
  e.file = e.bodyName = e.material = e.unit = e.currency = e.fingerprint = evil;
  for (detail::Detail& d : e.details.list) d.name = evil;
  for (estimate::SetupResult& s : e.setups) s.setup.name = evil;
  for (estimate::OperationResult& o : e.operations) o.operation.id = o.operation.cutter = o.operation.why = evil;
  for (estimate::CutterUse& c : e.cutters) c.cutter.id = c.cutter.source = evil;
  for (estimate::DetailPrice& p : e.detailPrices) p.why = evil;
  for (Assumption& a : e.assumptions) a.source = a.unit = evil;
  for (Note& n : e.notes) n.text = n.about = evil;
  for (detail::Question& q : e.details.questions) q.about = q.question = q.assumed = q.key = evil;
  for (estimate::Doubt& d : e.doubts) d.name = d.range = evil;
  for (estimate::Advice& a : e.advice) a.change = a.why = evil;
  for (estimate::GroupPrice& g : e.groups) g.name = g.why = evil;
  e.cautions = {evil};
  const std::string html = sheetHtml(e, support::sampleBody(), {evil, evil});
  EXPECT_EQ(html.find("<img"), std::string::npos);
  EXPECT_EQ(html.find("onerror=alert(1)>"), std::string::npos);
  EXPECT_EQ(markupFault(html), "");
}

TEST(SheetHtml, SaysDateVersionAndFingerprintAndIsTheSameEachTime) {
  const std::string html = sheet(support::sampleEstimate());
  const std::string foot = html.substr(html.find("<footer>"));
  EXPECT_NE(foot.find("2024-05-17"), std::string::npos);
  EXPECT_NE(foot.find("chipledger 0.1.0"), std::string::npos);
  EXPECT_NE(foot.find(support::sampleEstimate().fingerprint), std::string::npos);
  EXPECT_EQ(html, sheet(support::sampleEstimate()));
}

TEST(SheetHtml, SaysSetsWhereABatchCountsSets) {
  estimate::Estimate e = support::sampleEstimate();
  EXPECT_EQ(sheet(e).find("a set</th>"), std::string::npos);
  e.piecesPerSet = 2;
  const std::string html = sheet(e);
  EXPECT_NE(html.find("</select> sets of 2"), std::string::npos);
  EXPECT_NE(html.find("EUR a set</th>"), std::string::npos);
  EXPECT_NE(html.find("a set of 2"), std::string::npos);
  EXPECT_NE(html.find("At 50 sets, with minus without"), std::string::npos);
  EXPECT_EQ(html.find("50 pieces:"), std::string::npos);
}

TEST(SheetHtml, TellsItsAge) {
  estimate::Estimate e = support::sampleEstimate();
  for (Assumption& a : e.assumptions) a.from = From::Guessed;
  for (estimate::OperationResult& o : e.operations) o.operation.conditions.assumptions.clear();
  e.assumptions.front().from = From::Entered;
  EXPECT_NE(sheet(e).find("age: drawn"), std::string::npos);
  e.assumptions.front().from = From::Table;
  EXPECT_NE(sheet(e).find("age: sketch"), std::string::npos);
  e.assumptions.front().from = From::Clocked;
  EXPECT_NE(sheet(e).find("age: mocked"), std::string::npos);
  SheetOptions options{"2024-05-17", "0.1.0"};
  options.age = Age::Run;
  EXPECT_NE(sheetHtml(e, support::sampleBody(), options).find("age: run"), std::string::npos);
  for (const Age age : kAges) EXPECT_EQ(*readAge(word(age)), age);
  EXPECT_EQ(readAge("old").error().code, FaultCode::Usage);
}

TEST(SheetHtml, SaysWhatToBuyWhatABossMayCostAndWhatIsSeen) {
  estimate::Estimate e = support::sampleEstimate();
  for (estimate::CutterUse& use : e.cutters) use.buy.assign(e.batches.size(), {4.2, 0.5, 7, 2});
  ASSERT_FALSE(e.advice.empty());
  e.advice.front().looks = "hidden, outer side (assumed)";
  e.advice.front().upTo.assign(e.batches.size(), money(19.32));
  const std::string html = sheet(e);
  EXPECT_NE(html.find("4.2 worn, 0.5 broken, rounded up to whole ones, 2 spare: 7"), std::string::npos);
  EXPECT_NE(html.find("boss up to 19.32"), std::string::npos);
  EXPECT_NE(html.find("hidden, outer side (assumed)"), std::string::npos);
}

SheetOptions forReader(Reader reader) {
  SheetOptions options{"2024-05-17", "0.1.0"};
  options.reader = reader;
  return options;
}

TEST(SheetReaders, AreReadByNameAndRefusedWithTheList) {
  for (const Reader reader : {Reader::Owner, Reader::Machinist, Reader::Client}) {
    const auto read = readReader(word(reader));
    ASSERT_TRUE(read);
    EXPECT_EQ(*read, reader);
  }
  const auto wrong = readReader("dealer");
  ASSERT_FALSE(wrong);
  EXPECT_EQ(wrong.error().code, FaultCode::Usage);
  EXPECT_NE(wrong.error().next.find("machinist"), std::string::npos);
}

TEST(SheetReaders, TheMachinistSeesNoMoney) {
  estimate::Estimate e = support::sampleEstimate();
  e.currency = "KRONER";
  const std::string html = sheetHtml(e, support::sampleBody(), forReader(Reader::Machinist));
  EXPECT_EQ(markupFault(html), "");
  EXPECT_EQ(html.find("KRONER"), std::string::npos);
  for (const estimate::BatchPrice& b : e.batches)
    EXPECT_EQ(html.find(content(moneyText(b.perPiece))), std::string::npos);
  EXPECT_EQ(html.find("data-p="), std::string::npos);
  for (const estimate::OperationResult& o : e.operations) EXPECT_NE(html.find(o.operation.id), std::string::npos);
  for (const estimate::CutterUse& c : e.cutters) EXPECT_NE(html.find(c.cutter.id), std::string::npos);
  EXPECT_NE(html.find("class=\"blank\""), std::string::npos) << "room to write real times";
}

TEST(SheetReaders, TheClientSeesRoundPricesAndNoCostLines) {
  const estimate::Estimate e = support::sampleEstimate();
  const std::string html = sheetHtml(e, support::sampleBody(), forReader(Reader::Client));
  EXPECT_EQ(markupFault(html), "");
  EXPECT_NE(html.find("estimate, not a quote"), std::string::npos);
  EXPECT_NE(html.find(">110 EUR<"), std::string::npos) << "108 goes up to its step of 5";
  for (const ledger::Line line : ledger::kLines)
    EXPECT_EQ(html.find(content(ledger::word(line))), std::string::npos) << ledger::word(line);
  EXPECT_EQ(html.find("min/piece"), std::string::npos);
  EXPECT_EQ(html.find("data-p="), std::string::npos);
}

TEST(SheetReaders, TheClientSeesTheTermsOfSaleWhenTheyAreGiven) {
  SheetOptions options = forReader(Reader::Client);
  options.terms = route::Terms{};
  options.terms->fees = 0.05;
  options.terms->wantedMargin = 0.45;
  options.terms->priceStep = 10;
  const estimate::Estimate e = support::sampleEstimate();
  const std::string html = sheetHtml(e, support::sampleBody(), options);
  // 104.63 at 50 pieces / (1 - 0.05 - 0.45) = twice that, up to the next ten.
  const double cost = toUnits(e.batches[3].perPiece);
  EXPECT_NE(html.find(content(fixed(std::ceil(cost / 0.5 / 10) * 10, 0) + " EUR")), std::string::npos);
  EXPECT_NE(html.find("before sales tax"), std::string::npos);
}

TEST(SheetReaders, ClientPricesGoUpToTheirStep) {
  struct Row {
    double price, shown;
  };
  for (const Row& row : {Row{12.3, 13}, Row{42.1, 44}, Row{108, 110}, Row{110, 110}, Row{199, 200}, Row{333, 340},
                         Row{690, 700}, Row{1318, 1350}})
    EXPECT_DOUBLE_EQ(toUnits(roundedForClient(money(row.price))), row.shown) << row.price;
  EXPECT_EQ(roundedForClient(money(-3)).micros, 0);
}

TEST(MinutesCharts, StepsAreRoundAndReachTheTop) {
  EXPECT_EQ(mapSteps(0.73, 0.9), (std::vector<double>{0.02, 0.05, 0.1, 0.2, 0.5}));
  EXPECT_EQ(mapSteps(0.24, 72.6), (std::vector<double>{0.02, 0.05, 0.1, 0.2, 10})) << "a slot has its own step";
  EXPECT_TRUE(mapSteps(0, 0).empty());
}

TEST(Charts, ShowEveryFigureAndSurviveNothing) {
  const estimate::Estimate e = support::sampleEstimate();
  const std::string details = detailChart(e);
  for (const estimate::DetailPrice& p : e.detailPrices) {
    if (p.withMinusWithout.empty()) continue;
    EXPECT_NE(details.find(moneyText(p.withMinusWithout[3].money)), std::string::npos);
  }
  EXPECT_NE(thicknessChart(e).find("left before the next plate 0.25 mm"), std::string::npos);
  EXPECT_NE(batchChart(e).find("10 pieces: "), std::string::npos);
  EXPECT_NE(doubtChart(e).find("cutter life"), std::string::npos);
  const estimate::Estimate none;
  EXPECT_EQ(batchChart(none) + detailChart(none) + thicknessChart(none) + doubtChart(none), "");
}

TEST(Charts, WhatALineSavesStandsLeftOfZero) {
  estimate::Estimate e = support::sampleEstimate();
  estimate::Difference& d = e.detailPrices[1].withMinusWithout[3];
  d.lines[0] = money(-5);
  const std::string svg = detailChart(e);
  EXPECT_NE(svg.find("metal: -5.00"), std::string::npos);
  EXPECT_EQ(svg.find("width=\"-"), std::string::npos);
}

}  // namespace
}  // namespace chipledger::report
