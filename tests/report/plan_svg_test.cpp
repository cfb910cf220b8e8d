#include "support/sample_estimate.hpp"

#include <chipledger/report/label_placement.hpp>
#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/plan_svg.hpp>
#include <chipledger/report/visible_edges.hpp>

#include <gtest/gtest.h>

#include <random>
#include <regex>

namespace chipledger::report {
namespace {

// The text as the whole content of an element.
std::string content(const std::string& text) {
  std::string out(1, '>');
  out += text;
  out += '<';
  return out;
}

TEST(Markup, EscapesWhatCouldBeMarkup) {
  EXPECT_EQ(escaped("<a href=\"x\">&'"), "&lt;a href=&quot;x&quot;&gt;&amp;&#39;");
  EXPECT_EQ(escaped("\u00d85 \u2265 4"), "\u00d85 \u2265 4");
  EXPECT_EQ(escaped("a\x01"
                    "b\xff"
                    "c"),
            "a\uFFFD"
            "b\uFFFD"
            "c");
  EXPECT_EQ(escaped("\xed\xa0\x80"), "\uFFFD\uFFFD\uFFFD") << "surrogates are not text";
}

TEST(Labels, NeverOverlapAndNeverCross) {
  std::mt19937 random(20240517);  // fixed: every run sees the same two hundred sheets
  for (int sheet = 0; sheet < 200; ++sheet) {
    std::uniform_real_distribution<double> x(10, 110), y(30, 60);
    std::uniform_int_distribution<int> count(1, 18);
    std::vector<Vec2> anchors(static_cast<std::size_t>(count(random)));
    for (Vec2& a : anchors) a = {x(random), y(random)};
    const LabelRows rows{4, 116, 24, 66, 12.4};
    const auto placed = placeLabels(anchors, rows);
    EXPECT_EQ(placed.size(), anchors.size());
    for (std::size_t i = 0; i < placed.size(); ++i) {
      EXPECT_GE(placed[i].end.x - 6.2, rows.left - 1e-9);
      EXPECT_LE(placed[i].end.x + 6.2, rows.right + 1e-9);
      for (std::size_t j = i + 1; j < placed.size(); ++j) {
        EXPECT_FALSE(crossing(anchors[placed[i].index], placed[i].end, anchors[placed[j].index], placed[j].end));
        if (placed[i].above == placed[j].above) {
          EXPECT_GE(std::abs(placed[i].end.x - placed[j].end.x), rows.labelWidth - 1e-9);
        }
      }
    }
  }
}

TEST(Labels, WhatDoesNotFitIsLeftOutFromTheEnd) {
  const std::vector<Vec2> anchors(9, Vec2{50, 40});
  const auto placed = placeLabels(anchors, {0, 30, 20, 60, 10});
  ASSERT_EQ(placed.size(), 6U);
  for (std::size_t i = 0; i < placed.size(); ++i) EXPECT_EQ(placed[i].index, i);
}

TEST(PointInside, LiesInsideRegionsWithHolesAndBays) {
  const Region plate = rectangle({0, 0}, {40, 20});
  const Region ring = subtract(plate, disc({20, 10}, 6));
  EXPECT_TRUE(contains(ring, pointInside(ring)));
  const Region bay = subtract(plate, rectangle({4, 4}, {40, 16}));
  EXPECT_TRUE(contains(bay, pointInside(bay)));
  EXPECT_TRUE(contains(plate, pointInside(plate)));
}

double drawnLength(const std::vector<VisibleEdge>& edges, bool (*where)(Vec2)) {
  double sum = 0;
  for (const VisibleEdge& edge : edges) {
    for (std::size_t i = 0; i + 1 < edge.points.size(); ++i) {
      if (where((edge.points[i] + edge.points[i + 1]) * 0.5)) sum += norm(edge.points[i + 1] - edge.points[i]);
    }
  }
  return sum;
}

// Near the islands of the sample, clear of every other edge.
bool byIslands(Vec2 p) { return std::abs(std::abs(p.y) - 3) < 3.5 && p.x > -28 && p.x < 11 && std::abs(p.y) < 6.5; }

TEST(VisibleEdges, IslandsAreSeenFromTheOuterSideOnly) {
  const part::Body body = support::sampleBody();
  const Frame outer;
  const Frame back{{1, 0, 0}, {0, -1, 0}, {0, 0, -1}, {}};
  const auto islands = [](Vec2 p) { return byIslands(p) && p.y > -0.5; };
  // Top and foot rings of both islands lie on each other in plan.
  const double ring = perimeter(support::sampleIsland(0)) + perimeter(support::sampleIsland(1));
  EXPECT_NEAR(drawnLength(visibleEdges(body, outer, 0.1), islands), 2 * ring, 0.02 * ring);
  // Seen from the back the islands are under the plate; turned over, they would lie at y < 0.
  const auto turned = [](Vec2 p) { return byIslands({p.x, -p.y}) && p.y < 0.5; };
  EXPECT_NEAR(drawnLength(visibleEdges(body, back, 0.1), turned), 0, 1e-9);
}

TEST(VisibleEdges, NothingIsLostWhenNothingIsInTheWay) {
  const part::Body body = support::sampleBody();
  double whole = 0;
  for (const part::Edge& edge : body.edges)
    if (edge.points.front().z > 1) whole += toMm(edge.length);
  const double drawn = drawnLength(visibleEdges(body, Frame{}, 0.1), [](Vec2) { return true; });
  EXPECT_GE(drawn, whole - 1e-6);
}

TEST(PlanSvg, NamesEveryPricedDetailWithItsPriceAtTheChosenBatch) {
  const estimate::Estimate e = support::sampleEstimate();
  const part::Body body = support::sampleBody();
  for (const std::size_t batch : {std::size_t{0}, std::size_t{3}}) {
    const std::string svg = planSvg(e, body, {batch});
    for (const estimate::DetailPrice& p : e.detailPrices) {
      if (p.withMinusWithout.empty()) continue;
      const std::string name = e.details.list[static_cast<std::size_t>(p.detail)].name;
      EXPECT_NE(svg.find(content(name)), std::string::npos) << name;
      EXPECT_NE(svg.find(content(moneyText(p.withMinusWithout[batch].money))), std::string::npos) << name;
    }
  }
}

TEST(PlanSvg, IsToScale) {
  const std::string svg = planSvg(support::sampleEstimate(), support::sampleBody());
  std::smatch m;
  const std::regex head(R"re(width="([0-9.]+)mm" height="([0-9.]+)mm" viewBox="0 0 ([0-9.]+) ([0-9.]+)")re");
  ASSERT_TRUE(std::regex_search(svg, m, head));
  EXPECT_EQ(m[1], m[3]);  // one unit is one millimetre of paper
  EXPECT_EQ(m[2], m[4]);
  EXPECT_NE(svg.find("1 : 1 when printed full size"), std::string::npos);
  EXPECT_NE(svg.find(">98<"), std::string::npos);
  EXPECT_NE(svg.find(">26<"), std::string::npos);
}

TEST(PlanSvg, SaysTheDimensionsThatMatter) {
  std::string svg = planSvg(support::sampleEstimate(), support::sampleBody());
  svg = std::regex_replace(svg, std::regex("</text>\\s*<text[^>]*>"), " ");
  EXPECT_NE(svg.find("tallest island 3.2 (island-1)"), std::string::npos);
  EXPECT_NE(svg.find("smallest inside radius R0.6 (lock-cut-1)"), std::string::npos);
}

TEST(PlanSvg, EscapesForeignNamesAndIsTheSameEachTime) {
  estimate::Estimate e = support::sampleEstimate();
  e.details.list[1].name = "<script>alert(1)</script>";
  e.bodyName = "a & b \"c\"";
  const std::string svg = planSvg(e, support::sampleBody());
  EXPECT_EQ(svg.find("<script"), std::string::npos);
  EXPECT_NE(svg.find("a &amp; b &quot;c&quot;"), std::string::npos);
  EXPECT_EQ(svg, planSvg(e, support::sampleBody()));
}

TEST(PlanSvg, DrawsWithoutDetailsOrEdges) {
  const std::string svg = planSvg(estimate::Estimate{}, part::Body{});
  EXPECT_NE(svg.find("</svg>"), std::string::npos);
}

}  // namespace
}  // namespace chipledger::report
