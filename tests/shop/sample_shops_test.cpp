// The workshops of the samples load, and differ only in what their comments say.
#include <gtest/gtest.h>
#include <chipledger/shop/load.hpp>

namespace chipledger::shop {
namespace {

class SampleShop : public testing::TestWithParam<const char*> {};
TEST_P(SampleShop, Loads) {
  const auto shop = loadShop(std::string(CHIPLEDGER_SOURCE_DIR) + "/step_samples/shop-" + GetParam() + ".toml");
  ASSERT_TRUE(shop.has_value()) << sentence(shop.error());
  EXPECT_EQ(shop->batches.size(), 4u);
  EXPECT_DOUBLE_EQ(shop->rates.machinePerHour, 46);
  EXPECT_DOUBLE_EQ(shop->bench.learning, 1.0);
}
INSTANTIATE_TEST_SUITE_P(Samples, SampleShop, testing::Values("medlar", "cringle", "sundew"));

}  // namespace
}  // namespace chipledger::shop
