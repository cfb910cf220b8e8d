// The plate rows and the density of the tables in the price of a blank.
#include <chipledger/shop/load.hpp>

#include <gtest/gtest.h>

#include <functional>
#include <string>

using namespace chipledger;

namespace {

/// A plate of 60 x 20 mm and this height, in this material, under the shop as changed.
Result<stock::Blank> blankOf(double height_mm, const std::string& material,
                             const std::function<void(shop::Shop&)>& change = {}) {
  shop::Shop shop = shop::builtInShop();
  if (change) change(shop);
  shop::refreshPlates(shop);
  const Box3 part{{0, 0, 0}, {60, 20, height_mm}};
  // So little is cut away that the light skim holds at every thickness.
  return stock::chooseBlank(part, mm3(66 * 26 * height_mm), shop.plates.at(material));
}

TEST(PlateRows, EachOneMovesTheBlankTheRightWay) {
  const shop::Shop shop = shop::builtInShop();
  int rows = 0;
  for (std::size_t i = 0; i < shop.tables.plates.size(); ++i) {
    const cutting::PlateRow row = shop.tables.plates[i];
    SCOPED_TRACE(row.material + " " + std::to_string(row.thickness_mm));
    // The tallest part that this plate carries: light skim on both sides and what the plate may lack.
    const double height = row.thickness_mm - row.under_mm - 2 * toMm(shop.blank.skimLight) - 0.01;
    const auto before = blankOf(height, row.material);
    ASSERT_TRUE(before) << sentence(before.error());
    ASSERT_NEAR(toMm(before->step), row.thickness_mm, 1e-9);
    const auto dearer = blankOf(height, row.material, [&](auto& s) { s.tables.plates[i].pricePerKg *= 1.1; });
    EXPECT_NEAR(toUnits(dearer->price) / toUnits(before->price), 1.1, 1e-5);
    const auto thinner = blankOf(height, row.material, [&](auto& s) { s.tables.plates[i].under_mm += 0.05; });
    EXPECT_TRUE(!thinner || thinner->step > before->step);
    const auto heavier = blankOf(height, row.material, [&](auto& s) {
      for (auto& m : s.tables.materials)
        if (m.name == row.material) m.density_g_cm3 *= 1.1;
    });
    EXPECT_NEAR(toUnits(heavier->price) / toUnits(before->price), 1.1, 1e-5);
    ++rows;
  }
  EXPECT_GT(rows, 60);
}

TEST(PlateRows, AShopsOwnAllowanceHoldsForPlateAndNotForSheet) {
  const auto thick = [](auto& s) { s.blank.underThickness = mm(0.5); };
  EXPECT_GT(blankOf(5.65, "Ti-6Al-4V", thick)->step, blankOf(5.65, "Ti-6Al-4V")->step);
  EXPECT_EQ(blankOf(2.0, "Ti-6Al-4V", thick)->step.base, blankOf(2.0, "Ti-6Al-4V")->step.base);
}

TEST(PlateRows, AShopFileMayPriceOneThicknessApart) {
  const auto shop =
      shop::loadShopText("[[plate]]\nmaterial = \"Ti-6Al-4V\"\nthickness_mm = 6.35\nprice_per_kg = 120\n", "shop.toml");
  ASSERT_TRUE(shop) << sentence(shop.error());
  const Box3 part{{0, 0, 0}, {60, 20, 5.7}}, low{{0, 0, 0}, {60, 20, 5.3}};
  const auto& rules = shop->plates.at("Ti-6Al-4V");
  const auto a = stock::chooseBlank(part, mm3(9000), rules), b = stock::chooseBlank(low, mm3(9000), rules);
  ASSERT_TRUE(a && b);
  ASSERT_NEAR(toMm(a->step), 6.35, 1e-9);
  ASSERT_NEAR(toMm(b->step), 6.0, 1e-9);
  EXPECT_NEAR(toUnits(a->price) / a->mass_g / (toUnits(b->price) / b->mass_g), 120.0 / 75.0, 1e-4);
}

}  // namespace
