// What holds of detail prices on every sample: they add up with what is shared, to the last unit; taking details away
// and putting them back leaves the same bytes; without everything the plain plate of that outline is left. Three
// samples of unlike kinds by default, all of them with CHIPLEDGER_ALL_SAMPLES=1.
#include <chipledger/report/json.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <map>
#include <set>

#include "estimate/drawn_estimate.hpp"

namespace chipledger {
namespace {

using detail::DetailKind;

constexpr int kCoarse_um = 200;

shop::Shop shopOf(const std::string& sample) {
  for (const char* family : {"medlar", "cringle", "sundew"})
    if (sample.rfind(family, 0) == 0) {
      auto shop = shop::loadShop(test::sampleFolder() + "shop-" + family + ".toml");
      if (shop) return std::move(*shop);
    }
  return test::medlarShop();
}

std::vector<std::string> samples() {
  if (std::getenv("CHIPLEDGER_ALL_SAMPLES") == nullptr)
    return {"block-undercut.step", "block-pocket.step", "sundew-pocketed.step"};
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator(test::sampleFolder()))
    if (entry.path().extension() == ".step") names.push_back(entry.path().filename().string());
  std::sort(names.begin(), names.end());
  return names;
}

class EverySample : public testing::TestWithParam<std::string> {};

TEST_P(EverySample, DetailsAndSharedMakeThePriceToTheLastUnit) {
  const part::Part part = test::readSample(GetParam());
  const shop::Shop shop = shopOf(GetParam());
  const estimate::Estimate e = test::estimated(part, shop, test::quick(true, kCoarse_um));
  ASSERT_EQ(e.shared.size(), e.batches.size());
  int priced = 0;
  for (std::size_t b = 0; b < e.batches.size(); ++b) {
    Money sum = e.shared[b].money;
    estimate::Stack lines = e.shared[b].lines;
    for (const estimate::DetailPrice& p : e.detailPrices) {
      if (p.withMinusWithout.empty()) continue;
      priced += b == 0;
      sum += p.withMinusWithout[b].money;
      for (std::size_t l = 0; l < lines.size(); ++l) lines[l] += p.withMinusWithout[b].lines[l];
    }
    EXPECT_EQ(sum.micros, e.batches[b].perPiece.micros);
    EXPECT_EQ(estimate::total(e.batches[b].lines).micros, e.batches[b].perPiece.micros);
    for (std::size_t l = 0; l < lines.size(); ++l) EXPECT_EQ(lines[l].micros, e.batches[b].lines[l].micros) << l;
  }
  // A detail without a price says why; an opening or a recess never pays for being there.
  for (const estimate::DetailPrice& p : e.detailPrices) {
    const detail::Detail& d = e.details.list[static_cast<std::size_t>(p.detail)];
    EXPECT_NE(p.withMinusWithout.empty(), p.cannot.empty()) << d.name << " " << p.cannot;
    if (!p.withMinusWithout.empty())
      fmt::print("{} {}: {:.2f} at {}; {}\n", GetParam(), d.name, toUnits(p.withMinusWithout[2].money),
                 p.withMinusWithout[2].size, p.why);
  }
  fmt::print("{}: {} details priced\n", GetParam(), priced);
}

TEST_P(EverySample, TakenAwayAndPutBackItIsTheSameToTheByte) {
  const part::Part part = test::readSample(GetParam());
  const shop::Shop shop = shopOf(GetParam());
  const estimate::Options options = test::quick(false, kCoarse_um);
  const std::string before = report::estimateJson(test::estimated(part, shop, options), part);
  test::Replannable again(part, shop, options);
  // One of every kind goes and comes back; then the part as drawn is asked for anew.
  std::set<DetailKind> kinds;
  std::map<int, estimate::Replanned> first;
  for (std::size_t i = 0; i < again.details().list.size(); ++i) {
    const DetailKind kind = again.details().list[i].kind;
    if (kind == DetailKind::Outline || kind == DetailKind::Body || !kinds.insert(kind).second) continue;
    first[static_cast<int>(i)] = again.replanner().without({static_cast<int>(i)});
    const estimate::Replanned back = again.replanner().changed(estimate::Variant{});
    EXPECT_EQ(back.machine.ns, 0) << detail::word(kind);
    for (const estimate::Difference& d : back.differences) EXPECT_EQ(d.money.micros, 0) << detail::word(kind);
  }
  for (const auto& [index, answer] : first) {
    const estimate::Replanned second = again.replanner().without({index});
    ASSERT_EQ(second.differences.size(), answer.differences.size());
    for (std::size_t b = 0; b < second.differences.size(); ++b)
      EXPECT_EQ(second.differences[b].lines, answer.differences[b].lines);
    EXPECT_EQ(second.why, answer.why);
  }
  EXPECT_EQ(report::estimateJson(test::estimated(part, shop, options), part), before);
}

INSTANTIATE_TEST_SUITE_P(Rows, EverySample, testing::ValuesIn(samples()), [](const auto& row) {
  std::string name = row.param.substr(0, row.param.find('.'));
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
});

class EveryChassis : public testing::TestWithParam<std::string> {};

std::vector<std::string> chassis() {
  std::vector<std::string> names;
  for (const std::string& name : samples()) {
    const std::string toml = name.substr(0, name.find('.')) + ".toml";
    if (std::filesystem::exists(test::sampleFolder() + toml)) names.push_back(toml);
  }
  return names;
}

// Drawn anew with its outline and thickness alone, on the same cells and in the same shop.
TEST_P(EveryChassis, WithoutEverythingThePlainPlateIsLeft) {
  draw::Chassis bare = test::sampleChassis(GetParam());
  const part::Part part = test::readDrawn(bare);
  bare.islands.clear();
  bare.pockets.clear();
  bare.windows.clear();
  bare.slots.clear();
  bare.bores.clear();
  bare.crown.reset();
  bare.outerEdge = bare.backEdge = {};
  const shop::Shop shop = shopOf(GetParam());
  const estimate::Options options = test::quick(false, 100);
  test::Replannable again(part, shop, options);
  std::vector<int> all;
  for (std::size_t i = 0; i < again.details().list.size(); ++i) {
    const DetailKind kind = again.details().list[i].kind;
    if (kind != DetailKind::Body && kind != DetailKind::Outline) all.push_back(static_cast<int>(i));
  }
  const estimate::Replanned gone = again.replanner().without(all);
  const estimate::Estimate with = test::estimated(part, shop, options);
  const estimate::Estimate plain = test::estimated(test::readDrawn(bare), shop, options);
  for (std::size_t b = 0; b < plain.batches.size(); ++b) {
    const double left = toUnits(with.batches[b].perPiece) - toUnits(gone.differences.at(b).money);
    fmt::print("{} at {}: {:.2f} left, plain plate {:.2f}\n", GetParam(), plain.batches[b].size, left,
               toUnits(plain.batches[b].perPiece));
    EXPECT_NEAR(left / toUnits(plain.batches[b].perPiece), 1.0, 0.01) << plain.batches[b].size;
  }
}

INSTANTIATE_TEST_SUITE_P(Rows, EveryChassis, testing::ValuesIn(chassis()), [](const auto& row) {
  std::string name = row.param.substr(0, row.param.find('.'));
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
});

}  // namespace
}  // namespace chipledger
