// The plan of every sample, labelled: leaders do not cross, labels lie on the paper and apart. Prices are made up, so
// that nothing is planned; which details get a label turns on their order, so several orders are tried.
#include <chipledger/estimate/drawn_part.hpp>
#include <chipledger/part/read.hpp>
#include <chipledger/report/label_placement.hpp>
#include <chipledger/report/plan_svg.hpp>

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <numeric>
#include <random>
#include <regex>

namespace chipledger::report {
namespace {

const std::string kSamples = std::string(CHIPLEDGER_SOURCE_DIR) + "/step_samples/";

std::vector<std::string> sampleNames() {
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator(kSamples))
    if (entry.path().extension() == ".step") names.push_back(entry.path().stem().string());
  std::sort(names.begin(), names.end());
  return names;
}

// The part as read, with a price on every detail: 1 to n, in an order drawn from the seed.
estimate::Estimate madeUp(const estimate::DrawnPart& drawn, const part::Body& body, unsigned seed) {
  estimate::Estimate e;
  e.file = "sample.step";
  e.bodyName = body.name;
  e.currency = "EUR";
  e.details = drawn.details;
  e.partToStock = drawn.setups.partToPlate;
  e.size_mm = {0, 0, drawn.solid->high() - drawn.solid->low()};
  e.batches = {{50, money(100), money(90), money(120), {}}};
  std::vector<int> order(e.details.list.size());
  std::iota(order.begin(), order.end(), 1);
  std::shuffle(order.begin(), order.end(), std::mt19937(seed));
  for (std::size_t i = 0; i < order.size(); ++i) {
    estimate::DetailPrice p;
    p.detail = static_cast<int>(i);
    p.withMinusWithout = {{50, money(order[i]), {}}};
    e.detailPrices.push_back(p);
  }
  return e;
}

struct Leader {
  Vec2 foot, end;
};

std::vector<Leader> leadersOf(const std::string& svg) {
  std::vector<Leader> leaders;
  const std::regex line(R"re(<path d="M([-0-9.]+) ([-0-9.]+)L([-0-9.]+) ([-0-9.]+)"/><circle r="0\.4")re");
  for (std::sregex_iterator it(svg.begin(), svg.end(), line), end; it != end; ++it) {
    const auto number = [&](std::size_t k) { return std::stod((*it)[k].str()); };
    leaders.push_back({{number(1), number(2)}, {number(3), number(4)}});
  }
  return leaders;
}

struct Rect {
  double x, y, width, height;
};

std::vector<Rect> labelsOf(const std::string& svg) {
  std::vector<Rect> labels;
  const std::regex box(
      R"re(<rect fill="#fff" fill-opacity="0" x="([-0-9.]+)" y="([-0-9.]+)" width="([-0-9.]+)" height="([-0-9.]+)")re");
  for (std::sregex_iterator it(svg.begin(), svg.end(), box), end; it != end; ++it) {
    const auto number = [&](std::size_t k) { return std::stod((*it)[k].str()); };
    labels.push_back({number(1), number(2), number(3), number(4)});
  }
  return labels;
}

class Plan : public testing::TestWithParam<std::string> {};

TEST_P(Plan, LeadersDoNotCrossAndLabelsLieApart) {
  const auto part = part::readPart(kSamples + GetParam() + ".step");
  ASSERT_TRUE(part) << sentence(part.error());
  const part::Body& body = part->bodies.front();
  estimate::Options options;
  options.cell_um = 200;
  const auto drawn = estimate::drawnPart(body, shop::builtInShop(), options);
  ASSERT_TRUE(drawn) << sentence(drawn.error());
  for (const unsigned seed : {1U, 2U, 3U}) {
    const std::string svg = planSvg(madeUp(*drawn, body, seed), body);
    const std::vector<Leader> leaders = leadersOf(svg);
    EXPECT_EQ(leaders.empty(), drawn->details.list.empty());
    for (std::size_t i = 0; i < leaders.size(); ++i)
      for (std::size_t j = 0; j < i; ++j)
        EXPECT_FALSE(crossing(leaders[i].foot, leaders[i].end, leaders[j].foot, leaders[j].end))
            << "seed " << seed << ": leaders from " << leaders[i].foot.x << " " << leaders[i].foot.y << " and "
            << leaders[j].foot.x << " " << leaders[j].foot.y;
    std::smatch m;
    const std::regex paper(R"re(viewBox="0 0 ([0-9.]+) ([0-9.]+)")re");
    ASSERT_TRUE(std::regex_search(svg, m, paper));
    const double width = std::stod(m[1]), height = std::stod(m[2]);
    const std::vector<Rect> labels = labelsOf(svg);
    EXPECT_EQ(labels.size(), leaders.size());
    for (std::size_t i = 0; i < labels.size(); ++i) {
      const Rect& a = labels[i];
      EXPECT_TRUE(a.x >= 0 && a.y >= 0 && a.x + a.width <= width && a.y + a.height <= height) << "label " << i;
      for (std::size_t j = 0; j < i; ++j) {
        const Rect& b = labels[j];
        const bool apart =
            a.x + a.width <= b.x || b.x + b.width <= a.x || a.y + a.height <= b.y || b.y + b.height <= a.y;
        EXPECT_TRUE(apart) << "labels " << i << " and " << j << ", seed " << seed;
      }
    }
  }
}

// Words end on the paper too: those of a dimension stand outside the part. Narrow digits: 0.45 of the font each.
TEST_P(Plan, DimensionsLieOnThePaper) {
  const auto part = part::readPart(kSamples + GetParam() + ".step");
  ASSERT_TRUE(part) << sentence(part.error());
  const part::Body& body = part->bodies.front();
  estimate::Options options;
  options.cell_um = 200;
  const auto drawn = estimate::drawnPart(body, shop::builtInShop(), options);
  ASSERT_TRUE(drawn) << sentence(drawn.error());
  const std::string svg = planSvg(madeUp(*drawn, body, 1), body);
  const std::regex ending(R"re(<text x="([-0-9.]+)" y="[-0-9.]+" text-anchor="end">([^<]+)</text>)re");
  constexpr double kNarrowGlyph = 0.45 * 2.3;
  for (std::sregex_iterator it(svg.begin(), svg.end(), ending), end; it != end; ++it)
    EXPECT_GE(std::stod((*it)[1].str()), kNarrowGlyph * static_cast<double>((*it)[2].str().size())) << (*it)[2].str();
}

INSTANTIATE_TEST_SUITE_P(EverySample, Plan, testing::ValuesIn(sampleNames()), [](const auto& row) {
  std::string name = row.param;
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
});

}  // namespace
}  // namespace chipledger::report
