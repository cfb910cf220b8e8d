// Contrast of the pages, from the style sheet itself. WCAG 2.2: relative luminance, contrast (L1 + 0.05) / (L2 + 0.05),
// 4.5 for text (success criterion 1.4.3), 3 for what is drawn (1.4.11).
#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <iterator>
#include <regex>
#include <set>
#include <string>

#include "chipledger/report/charts.hpp"

namespace chipledger::report {
namespace {

std::string fileText(const std::string& path) {
  std::ifstream in(std::string(CHIPLEDGER_SOURCE_DIR) + "/" + path);
  return {std::istreambuf_iterator<char>(in), {}};
}

double luminance(const std::string& colour) {
  const auto channel = [&](std::size_t k) {
    const std::string pair = colour.size() == 4 ? std::string(2, colour[1 + k]) : colour.substr(1 + 2 * k, 2);
    const double c = std::stoi(pair, nullptr, 16) / 255.0;
    return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
  };
  return 0.2126 * channel(0) + 0.7152 * channel(1) + 0.0722 * channel(2);
}

double contrast(const std::string& a, const std::string& b) {
  const double l = luminance(a), m = luminance(b);
  return (std::max(l, m) + 0.05) / (std::min(l, m) + 0.05);
}

std::set<std::string> coloursAfter(const std::string& text, const std::string& property) {
  std::set<std::string> found;
  const std::regex use("[;{\" ]" + property + "(#[0-9a-f]{6}|#[0-9a-f]{3})\\b");
  for (std::sregex_iterator it(text.begin(), text.end(), use), end; it != end; ++it) found.insert((*it)[1].str());
  return found;
}

TEST(Style, PublishedContrasts) {
  EXPECT_NEAR(contrast("#000", "#fff"), 21, 1e-9);
  EXPECT_NEAR(contrast("#777777", "#ffffff"), 4.48, 0.005);  // the grey just below 4.5 that guides on WCAG name
}

TEST(Style, EveryTextColourStandsOutFromEveryBackground) {
  const std::string css = fileText("src/report/page/page.css");
  ASSERT_FALSE(css.empty());
  const std::set<std::string> texts = coloursAfter(css, "color:"), grounds = coloursAfter(css, "background:");
  EXPECT_GE(texts.size(), 2U);
  EXPECT_GE(grounds.size(), 3U);
  for (const std::string& text : texts)
    for (const std::string& ground : grounds) EXPECT_GE(contrast(text, ground), 4.5) << text << " on " << ground;
}

TEST(Style, TextInDrawingsStandsOutFromPaper) {
  const std::regex words("chartText\\([^;]*?fill=\\\\\"(#[0-9a-f]{3,6})|planText\\([^;]*?fill=\\\\\"(#[0-9a-f]{3,6})");
  int seen = 0;
  for (const char* file : {"charts.cpp", "chart_first.cpp", "chart_route.cpp", "plan_svg.cpp", "plan_words.cpp",
                           "page_vary.cpp", "page_compare.cpp", "minutes_chart.cpp"}) {
    const std::string text = fileText(std::string("src/report/") + file);
    for (std::sregex_iterator it(text.begin(), text.end(), words), end; it != end; ++it, ++seen) {
      const std::string colour = (*it)[1].matched ? (*it)[1].str() : (*it)[2].str();
      EXPECT_GE(contrast(colour, "#ffffff"), 4.5) << file << " " << colour;
    }
  }
  EXPECT_GT(seen, 5);
}

TEST(Style, IsLightOnlyAndPrints) {
  const std::string css = fileText("src/report/page/page.css");
  EXPECT_NE(css.find("color-scheme:light"), std::string::npos);
  EXPECT_EQ(css.find("prefers-color-scheme"), std::string::npos);
  EXPECT_NE(css.find("@page{size:A4"), std::string::npos);
  for (const std::string& ground : coloursAfter(css, "background:"))
    EXPECT_GT(luminance(ground), 0.75) << ground << ": dark print wastes ink";
}

}  // namespace
}  // namespace chipledger::report
