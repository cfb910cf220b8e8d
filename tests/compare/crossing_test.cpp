// The batch from which another variant is the cheapest, against pricing every batch size one by one.
#include <gtest/gtest.h>
#include <chipledger/compare/compare.hpp>
#include <chipledger/part/read.hpp>
#include <chipledger/shop/load.hpp>

#include <algorithm>
#include <numeric>

namespace chipledger::compare {
namespace {

const std::string kSamples = std::string(CHIPLEDGER_SOURCE_DIR) + "/step_samples/";

estimate::Estimate priced(const std::string& name, const shop::Shop& shop, std::vector<int> batches) {
  const auto part = part::readPart(kSamples + name + ".step");
  EXPECT_TRUE(part.has_value()) << sentence(part.error());
  estimate::Options options;
  options.batches = std::move(batches);
  options.priceDetails = false;
  options.cell_um = 100;
  auto estimate = estimate::estimateBody(*part, part->bodies.front(), shop, options);
  EXPECT_TRUE(estimate.has_value()) << sentence(estimate.error());
  return *estimate;
}

std::vector<int> everyUpTo(int most) {
  std::vector<int> all(static_cast<std::size_t>(most));
  std::iota(all.begin(), all.end(), 1);
  return all;
}

struct Made {
  const char* name;
  double learning, overhead;
  int within;  ///< batches: what the bend of learning leaves between the batches that are priced
  friend std::ostream& operator<<(std::ostream& out, const Made& m) { return out << m.name; }
};
class Crossings : public testing::TestWithParam<Made> {};

// A made shop: plates with islands are programmed and fixed for nothing more than plain ones, and pockets need a
// fixture of 6,000 but lose no hand work. The pocketed plate is dearer at 10 and cheaper at 100 than the one with
// islands.
TEST_P(Crossings, AreWhereEveryBatchPricedOneByOneTurns) {
  const Made& made = GetParam();
  shop::Shop shop = shop::loadShop(kSamples + "shop-medlar.toml").value();
  shop::findSetting("once.bought_pockets")->set(shop, 2500);
  shop::findSetting("bench.learning")->set(shop, made.learning);
  shop::findSetting("rates.overhead_share")->set(shop, made.overhead);
  constexpr int kMost = 400;
  const std::vector<int> few{10, 25, 50, 100};
  std::vector<estimate::Estimate> sparse, dense;
  for (const char* name : {"medlar-islands", "medlar-pocketed"}) {
    sparse.push_back(priced(name, shop, few));
    dense.push_back(priced(name, shop, everyUpTo(kMost)));
  }
  ASSERT_LT(sparse[0].batches.front().perPiece, sparse[1].batches.front().perPiece);
  ASSERT_GT(sparse[0].batches.back().perPiece, sparse[1].batches.back().perPiece);
  int turns = 0, turn = 0;
  for (int n = 2; n <= kMost; ++n) {
    const auto cheaper = [&](int size) {
      const auto b = static_cast<std::size_t>(size - 1);
      return dense[1].batches[b].perPiece < dense[0].batches[b].perPiece;
    };
    if (cheaper(n) == cheaper(n - 1)) continue;
    ++turns;
    turn = n;
  }
  ASSERT_EQ(turns, 1);
  const auto comparison = compareVariants(sparse);
  ASSERT_TRUE(comparison.has_value());
  ASSERT_EQ(comparison->crossings.size(), 1u);
  EXPECT_EQ(comparison->crossings[0].cheaper, 1u);
  EXPECT_EQ(comparison->crossings[0].dearer, 0u);
  EXPECT_NEAR(comparison->crossings[0].batch, turn, made.within);
  EXPECT_EQ(comparison->cheapest.front(), 0u);
  EXPECT_EQ(comparison->cheapest.back(), 1u);
  // Priced for every batch, the crossing is the turn itself.
  const auto every = compareVariants(dense);
  ASSERT_TRUE(every.has_value());
  ASSERT_EQ(every->crossings.size(), 1u);
  EXPECT_EQ(every->crossings[0].batch, turn);
}
INSTANTIATE_TEST_SUITE_P(Made, Crossings,
                         testing::Values(Made{"NoLearning", 1.0, 0.0, 0}, Made{"Overhead", 1.0, 0.18, 0},
                                         Made{"Learning", 0.9, 0.0, 1}),
                         [](const auto& row) { return std::string(row.param.name); });

// One batch alone: lines that are paid once tell what falls with the batch.
TEST(Crossings, OfOneBatchComeFromItsLines) {
  shop::Shop shop = shop::loadShop(kSamples + "shop-medlar.toml").value();
  shop::findSetting("once.bought_pockets")->set(shop, 2500);
  shop::findSetting("rates.overhead_share")->set(shop, 0.18);
  std::vector<estimate::Estimate> one, four;
  for (const char* name : {"medlar-islands", "medlar-pocketed"}) {
    one.push_back(priced(name, shop, {50}));
    four.push_back(priced(name, shop, {10, 25, 50, 100}));
  }
  const auto a = compareVariants(one), b = compareVariants(four);
  ASSERT_TRUE(a && b);
  ASSERT_EQ(a->crossings.size(), 1u);
  EXPECT_EQ(a->crossings[0].batch, b->crossings[0].batch);
}

}  // namespace
}  // namespace chipledger::compare
