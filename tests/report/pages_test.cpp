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

TEST(Pages, ASweepWithoutRowsAndAProductWithoutRoutesAreStillPages) {
  EXPECT_NE(varyHtml({}, nullptr, dated()).find("No point could be priced"), std::string::npos);
  route::ProductResult product;
  product.variants.resize(1);
  EXPECT_NE(routeHtml(product, dated()).find("No route was reckoned"), std::string::npos);
  EXPECT_NE(compareHtml({}, {}, {}, dated()).find("Nothing to compare"), std::string::npos);
}

}  // namespace
}  // namespace chipledger::report
