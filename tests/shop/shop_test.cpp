#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <chipledger/motion/calibration.hpp>
#include <chipledger/shop/learning.hpp>
#include <chipledger/shop/load.hpp>
#include <chipledger/shop/machine_hour.hpp>

using namespace chipledger;
using namespace chipledger::shop;
using testing::HasSubstr;

namespace {

struct BadFile {
  const char* name;
  const char* text;
  const char* where;
  const char* says;
};
void PrintTo(const BadFile& f, std::ostream* out) { *out << f.name; }

class BadShop : public testing::TestWithParam<BadFile> {};

TEST_P(BadShop, NamesTheLineAndTheMend) {
  const BadFile& f = GetParam();
  const auto shop = loadShopText(f.text, "shop.toml");
  ASSERT_FALSE(shop.has_value());
  EXPECT_EQ(shop.error().code, FaultCode::BadFile);
  EXPECT_THAT(shop.error().where, HasSubstr(f.where));
  EXPECT_THAT(sentence(shop.error()), HasSubstr(f.says));
  EXPECT_FALSE(shop.error().next.empty());
}

INSTANTIATE_TEST_SUITE_P(
    Files, BadShop,
    testing::Values(BadFile{"Misspelt", "[rates]\nmachinst_per_hour = 40\n", "shop.toml:2", "machinist_per_hour"},
                    BadFile{"UnknownSection", "[rats]\nx = 1\n", "shop.toml:1", "rates"},
                    BadFile{"WrongUnit", "[hands]\nload_per_setup_h = 0.1\n", "shop.toml:2", "load_per_setup_min"},
                    BadFile{"Text", "[rates]\nmachine_per_hour = \"46\"\n", "shop.toml:2", "must be a number"},
                    BadFile{"Negative", "[rates]\n\nmachine_per_hour = -1\n", "shop.toml:3", "cannot be"},
                    BadFile{"NotANumber", "[rates]\nmachine_per_hour = nan\n", "shop.toml:2", "cannot be"},
                    BadFile{"NotToml", "rates = [\n", "shop.toml", "not TOML"},
                    BadFile{"SectionAsValue", "rates = 3\n", "shop.toml:1", "[rates]"},
                    BadFile{"ZeroBatch", "batches = [10, 0]\n", "shop.toml:1", "batch"},
                    BadFile{"BadColour", "[colours]\nred = \"tight\"\n", "shop.toml:2", "#rrggbb"},
                    BadFile{"BadMeaning", "[colours]\n\"#ff0000\" = \"nice\"\n", "shop.toml:2", "cosmetic"},
                    BadFile{"BadMachine", "[machine]\nkind = \"lathe\"\n", "shop.toml:2", "Known"},
                    BadFile{"MachineHourWithoutYears", "[machine_hour]\nprice = 3\n", "shop.toml:1", "years"}),
    [](const testing::TestParamInfo<BadFile>& row) { return std::string(row.param.name); });

TEST(Shop, FileLiesOverTheBuiltInValuesAndSaysSo) {
  const auto shop = loadShopText("pieces_per_set = 2\n[rates]\nmachine_per_hour = 51.5\n", "mine.toml");
  ASSERT_TRUE(shop.has_value()) << sentence(shop.error());
  EXPECT_DOUBLE_EQ(shop->rates.machinePerHour, 51.5);
  EXPECT_EQ(shop->piecesPerSet, 2);
  EXPECT_DOUBLE_EQ(shop->rates.benchPerHour, builtInShop().rates.benchPerHour);
  int entered = 0;
  for (const Assumption& a : describe(*shop)) entered += a.from == From::Entered ? 1 : 0;
  EXPECT_EQ(entered, 2);
}

TEST(Shop, StopwatchReadingCorrectsTheMachine) {
  const auto slow = loadShopText("[machine]\nair_cut_s = 60\n", "mine.toml");
  ASSERT_TRUE(slow.has_value()) << sentence(slow.error());
  EXPECT_LT(slow->machine.x.jerk, builtInShop().machine.x.jerk);
  const auto time = motion::calibrationTime(slow->machine);
  ASSERT_TRUE(time.has_value());
  EXPECT_NEAR(toSeconds(time->likely), 60.0, 0.06);
  const auto absurd = loadShopText("[machine]\nair_cut_s = 2\n", "mine.toml");
  ASSERT_FALSE(absurd.has_value());
  EXPECT_THAT(absurd.error().where, HasSubstr("mine.toml:2"));
}

TEST(Shop, StarterFileIsTheBuiltInShop) {
  const auto shop = loadShopText(starterFile(), "starter.toml");
  ASSERT_TRUE(shop.has_value()) << sentence(shop.error());
  const Shop built = builtInShop();
  for (const Setting& s : settings()) EXPECT_DOUBLE_EQ(s.get(*shop), s.get(built)) << s.key;
  for (const motion::MachineValue& v : motion::machineValues())
    EXPECT_DOUBLE_EQ(v.get(shop->machine), v.get(built.machine)) << v.key;
}

TEST(Shop, EveryValueSaysWhereItIsFrom) {
  for (const Assumption& a : describe(builtInShop())) {
    EXPECT_FALSE(a.name.empty());
    EXPECT_FALSE(a.source.empty()) << a.name;
  }
}

TEST(Shop, EverySettingReadsBackWhatItWrites) {
  Shop shop = builtInShop();
  for (const Setting& s : settings()) {
    const double value = std::floor(s.low + 0.5 * (s.high - s.low));
    s.set(shop, value);
    EXPECT_NEAR(s.get(shop), value, 1e-9 * std::max(1.0, value)) << s.key;
    EXPECT_EQ(findSetting(s.key), &s);
  }
}

// Worked example (arithmetic by hand, common practice, no source): 95,000 down to 20,000 in 8 years at 6 %, service
// 4,500, power 2,600, floor 4,800, insurance 1,200.
TEST(MachineHour, WorkedExample) {
  MachineHour m{95000, 20000, 8, 0.06, 4500, 2600, 4800, 1200, 600, 0};
  EXPECT_NEAR(yearlyCost(m), 25925, 1);
  const double hours[] = {600, 900, 1200, 1600}, rates[] = {43, 29, 22, 16};
  for (int i = 0; i < 4; ++i) {
    m.productiveHours = hours[i];
    EXPECT_NEAR(hourlyRate(m), rates[i], 0.5);
  }
}

// Worked averages (arithmetic by hand, common practice, no source).
TEST(Learning, AveragesOverABatch) {
  EXPECT_NEAR(averageLearning(0.90, 10), 0.80, 0.005);
  EXPECT_NEAR(averageLearning(0.90, 25), 0.71, 0.005);
  EXPECT_NEAR(averageLearning(0.90, 50), 0.64, 0.005);
  EXPECT_NEAR(averageLearning(0.95, 10), 0.90, 0.005);
  EXPECT_NEAR(averageLearning(0.95, 25), 0.84, 0.007);
  EXPECT_NEAR(averageLearning(0.95, 50), 0.80, 0.005);
}

// Operations-management solutions manual, ch. 13 Learning Curves: T1 = 60 min, 95 %, unit 4 takes 54.15 min.
TEST(Learning, PublishedUnitTime) { EXPECT_NEAR(60 * unitLearning(0.95, 4), 54.15, 0.005); }

TEST(Learning, IntegralMeetsTheSum) {
  double sum = 0;
  for (int k = 1; k <= 5000; ++k) sum += unitLearning(0.9, k);
  EXPECT_NEAR(averageLearning(0.9, 5000), sum / 5000, 1e-6);
  EXPECT_DOUBLE_EQ(averageLearning(1.0, 50), 1.0);
  EXPECT_DOUBLE_EQ(learningFactor(0.93, kUsualPieces), 1.0);
}

}  // namespace
