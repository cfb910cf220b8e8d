// The grafting folder's variants side by side. Order at 50 sets from the trade's own worked tables (plain < pocketed <
// islands, domed the dearest); every difference has a cause.
#include <gtest/gtest.h>
#include <chipledger/compare/compare.hpp>
#include <chipledger/part/read.hpp>
#include <chipledger/shop/load.hpp>

#include <algorithm>
#include <filesystem>

namespace chipledger::compare {
namespace {

const std::string kSamples = std::string(CHIPLEDGER_SOURCE_DIR) + "/step_samples/";

estimate::Estimate priced(const std::string& path, const char* shopFile) {
  const auto shop = shop::loadShop(kSamples + shopFile);
  EXPECT_TRUE(shop.has_value()) << sentence(shop.error());
  const auto part = part::readPart(path);
  EXPECT_TRUE(part.has_value()) << sentence(part.error());
  estimate::Options options;
  options.batches = {10, 50, 100};
  options.priceDetails = false;
  options.cell_um = 100;
  auto estimate = estimate::estimateBody(*part, part->bodies.front(), *shop, options);
  EXPECT_TRUE(estimate.has_value()) << sentence(estimate.error());
  return *estimate;
}

double at50(const estimate::Estimate& e) { return toUnits(e.batches[1].perPiece); }

TEST(MedlarVariants, KeepTheirOrderAndEachIsExplained) {
  std::vector<estimate::Estimate> variants;
  for (const char* name : {"medlar-plain", "medlar-pocketed", "medlar-islands", "medlar-domed"})
    variants.push_back(priced(kSamples + name + ".step", "shop-medlar.toml"));
  EXPECT_LT(at50(variants[0]), at50(variants[1]));
  EXPECT_LT(at50(variants[1]), at50(variants[2]));
  EXPECT_LT(at50(variants[2]), at50(variants[3]));
  const auto comparison = compareVariants(variants);
  ASSERT_TRUE(comparison.has_value()) << sentence(comparison.error());
  EXPECT_EQ(comparison->order[1], (std::vector<std::size_t>{0, 1, 2, 3}));
  for (const Against& a : comparison->against) {
    EXPECT_FALSE(a.sameGeometry);
    EXPECT_FALSE(a.details.empty());
    Money sum;
    for (const LineDifference& line : a.lines) {
      EXPECT_FALSE(line.cause.empty()) << ledger::word(line.line);
      sum += line.money;
    }
    EXPECT_EQ(sum, a.differences[1].money) << "the lines add up to the difference";
  }
  // What islands cost comes with the plate, and is said so.
  const Against& islands = comparison->against[1];
  const auto metal = std::find_if(islands.lines.begin(), islands.lines.end(),
                                  [](const LineDifference& l) { return l.line == ledger::Line::Metal; });
  ASSERT_NE(metal, islands.lines.end());
  EXPECT_EQ(metal->cause, "6.35 plate instead of 2.54");
  const auto added = std::count_if(islands.details.begin(), islands.details.end(), [](const DetailChange& c) {
    return c.fate == Fate::Added && c.after.starts_with("island");
  });
  EXPECT_EQ(added, 2);
}

// The fifth variant: bosses pressed into the plain plate. Told at 50 sets of two plates: plain 132, pressed 162,
// pocketed 172. The solid holds the reamed plate; bosses and their fitting are added from the shop.
TEST(MedlarVariants, PressedBossesLieBetweenPlainAndIslands) {
  const std::vector<estimate::Estimate> variants{priced(kSamples + "medlar-plain.step", "shop-medlar.toml"),
                                                 priced(kSamples + "medlar-pressed.step", "shop-medlar.toml"),
                                                 priced(kSamples + "medlar-islands.step", "shop-medlar.toml"),
                                                 priced(kSamples + "medlar-domed.step", "shop-medlar.toml")};
  const shop::Shop shop = shop::loadShop(kSamples + "shop-medlar.toml").value();
  constexpr int kBosses = 2;
  const double bosses = kBosses * (shop.boss.price + toHours(shop.boss.pressed) * shop.rates.benchPerHour) +
                        (shop.boss.hoursOnce * shop.rates.machinistPerHour + shop.boss.boughtOnce) / 50.0;
  EXPECT_LT(at50(variants[0]), at50(variants[1]));
  EXPECT_LT(at50(variants[1]) + bosses, at50(variants[2]));
  EXPECT_LT(at50(variants[2]), at50(variants[3]));
  const auto comparison = compareVariants(variants);
  ASSERT_TRUE(comparison.has_value());
  const auto added = std::count_if(comparison->against[0].details.begin(), comparison->against[0].details.end(),
                                   [](const DetailChange& c) { return c.fate == Fate::Added; });
  EXPECT_EQ(added, 4) << "two spigots a boss";
  for (const Against& a : comparison->against)
    for (const LineDifference& line : a.lines) EXPECT_FALSE(line.cause.empty()) << ledger::word(line.line);
}

TEST(MedlarVariants, TheSamePartUnderAnotherNameIsSaidToBeTheSame) {
  const auto copy = std::filesystem::temp_directory_path() / "chipledger-medlar-under-another-name.step";
  std::filesystem::copy_file(kSamples + "medlar-plain.step", copy, std::filesystem::copy_options::overwrite_existing);
  const std::vector<estimate::Estimate> variants{priced(kSamples + "medlar-plain.step", "shop-medlar.toml"),
                                                 priced(copy.string(), "shop-medlar.toml")};
  std::filesystem::remove(copy);
  const auto comparison = compareVariants(variants);
  ASSERT_TRUE(comparison.has_value());
  EXPECT_TRUE(comparison->against[0].sameGeometry);
  EXPECT_TRUE(comparison->against[0].lines.empty());
  EXPECT_TRUE(comparison->crossings.empty());
}

}  // namespace
}  // namespace chipledger::compare
