#include "support/sample_estimate.hpp"

#include <chipledger/report/markup.hpp>
#include <chipledger/report/pages.hpp>
#include <chipledger/report/solid_view.hpp>

#include <gtest/gtest.h>

namespace chipledger::report {
namespace {

SheetOptions dated() { return {"2024-05-17", "0.1.0"}; }

// RFC 4648, section 10.
TEST(Base64, PublishedVectors) {
  const auto of = [](const std::string& text) { return base64({text.begin(), text.end()}); };
  EXPECT_EQ(of(""), "");
  EXPECT_EQ(of("f"), "Zg==");
  EXPECT_EQ(of("fo"), "Zm8=");
  EXPECT_EQ(of("foo"), "Zm9v");
  EXPECT_EQ(of("foob"), "Zm9vYg==");
  EXPECT_EQ(of("foobar"), "Zm9vYmFy");
}

TEST(Solid, SpotsLieOnTheirDetails) {
  const estimate::Estimate e = support::sampleEstimate();
  const part::Body body = support::sampleBody();
  for (std::size_t i = 0; i < e.details.list.size(); ++i) {
    const detail::Detail& d = e.details.list[i];
    const std::vector<Spot> spots = spotsOf(e, body, i);
    ASSERT_FALSE(spots.empty()) << d.name;
    if (d.kind == detail::DetailKind::Outline) continue;
    for (const Spot& spot : spots) {
      EXPECT_TRUE(contains(d.footprint, spot.place.xy())) << d.name;
      EXPECT_NEAR(norm(spot.normal), 1, 1e-12);
    }
    EXPECT_EQ(spots.size(), d.through ? 2U : 1U) << d.name;
  }
}

TEST(Solid, ABodyWithoutTrianglesHasOnlyItsPlan) { EXPECT_EQ(solidView(support::sampleEstimate(), part::Body{}), ""); }

TEST(Markup, DirectionOfWritingCannotBeTurned) {
  EXPECT_EQ(escaped("a\u202Eb\u2066c\u200Fd"), "a\uFFFDb\uFFFDc\uFFFDd");
  EXPECT_EQ(escaped("\u0627\u0644\u2013"), "\u0627\u0644\u2013") << "other writing stays";
}

TEST(Markup, ShortenedCountsCharactersNotBytes) {
  EXPECT_EQ(shortened("abc", 3), "abc");
  EXPECT_EQ(shortened("abcd", 3), "abc\u2026");
  EXPECT_EQ(shortened("\u00d8\u00d8\u00d8\u00d8", 2), "\u00d8\u00d8\u2026");
}

TEST(Pages, OneDetailSaysWithWithoutAndDifference) {
  const std::string html = detailHtml(support::sampleEstimate(), support::sampleBody(), 1, dated());
  for (const char* words : {"with it", "without it", "difference", "island-1 of "})
    EXPECT_NE(html.find(words), std::string::npos) << words;
  EXPECT_EQ(html, detailHtml(support::sampleEstimate(), support::sampleBody(), 1, dated()));
}

// One point of a sweep over the machine's hour.
vary::Table sweep() {
  vary::Table table;
  table.file = "medlar-islands.step";
  table.currency = "EUR";
  table.axes = {{"shop.rates.machine_per_hour", "per hour", {40, 60}, true, 46}};
  table.batches = {50};
  for (const double rate : table.axes.front().values) {
    vary::Row row;
    row.at = {rate};
    row.batch = 50;
    row.machine = countTime(minutes(30));
    row.lines[1] = money(rate / 2);
    row.perPiece = row.lines[1];
    row.low = row.high = row.perPiece;
    table.rows.push_back(row);
  }
  return table;
}

TEST(Pages, ASweepOpensToFormulasWithWhatWasVaried) {
  const estimate::Estimate drawn = support::sampleEstimate();
  const std::string html = varyHtml(sweep(), &drawn, dated());
  EXPECT_NE(html.find("30 min / 60 \u00d7 40 = 20.00."), std::string::npos);
  EXPECT_NE(html.find("30 min / 60 \u00d7 60 = 30.00."), std::string::npos);
  EXPECT_NE(html.find("rates.machine_per_hour = 60 per hour <span class=\"from entered\">entered</span> varied here"),
            std::string::npos);
  EXPECT_NE(html.find("age: mocked"), std::string::npos) << "some of the sample is clocked";
  EXPECT_NE(html.find("id=\"values\""), std::string::npos);
}

TEST(Pages, VariantsOpenToTheFormulaOfBoth) {
  std::vector<estimate::Estimate> both{support::sampleEstimate(), support::sampleEstimate()};
  for (estimate::BatchPrice& b : both[1].batches) {
    b.lines[0] += money(3);
    b.perPiece += money(3);
  }
  const auto compared = compare::compareVariants(both);
  ASSERT_TRUE(compared);
  const part::Body body = support::sampleBody();
  const std::string html = compareHtml(both, *compared, {&body, &body}, dated());
  EXPECT_NE(html.find("metal, B minus A."), std::string::npos);
  EXPECT_NE(html.find("<li>B: Mass of the blank"), std::string::npos);
  EXPECT_NE(html.find("<li>A: Mass of the blank"), std::string::npos);
  EXPECT_NE(html.find(">all</td>"), std::string::npos) << "values say in which variants they hold";
}

TEST(Pages, ASweepWithoutRowsAndAProductWithoutRoutesAreStillPages) {
  EXPECT_NE(varyHtml({}, nullptr, dated()).find("No point could be priced"), std::string::npos);
  route::ProductResult product;
  product.variants.resize(1);
  EXPECT_NE(routeHtml(product, dated()).find("No route was reckoned"), std::string::npos);
  EXPECT_NE(compareHtml({}, {}, {}, dated()).find("Nothing to compare"), std::string::npos);
}

}  // namespace
}  // namespace chipledger::report
