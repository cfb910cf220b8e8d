// The grafting folder's plates, priced: the blank, what is cut away, what the islands cost.
#include <gtest/gtest.h>
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/part/read.hpp>
#include <chipledger/shop/load.hpp>

using namespace chipledger;

namespace {

estimate::Estimate priced(const std::string& name, bool details = false) {
  const auto shop = shop::loadShop(std::string(CHIPLEDGER_SOURCE_DIR) + "/step_samples/shop-medlar.toml");
  EXPECT_TRUE(shop.has_value()) << sentence(shop.error());
  const auto part = part::readPart(std::string(CHIPLEDGER_SOURCE_DIR) + "/step_samples/" + name);
  EXPECT_TRUE(part.has_value()) << sentence(part.error());
  estimate::Options options;
  options.batches = {10, 25, 50, 100};
  options.priceDetails = details;
  options.cell_um = 100;
  auto estimate = estimate::estimateBody(*part, part->bodies.front(), *shop, options);
  EXPECT_TRUE(estimate.has_value()) << sentence(estimate.error());
  return *estimate;
}

double likelyMinutes(const estimate::Estimate& e) { return toMinutes(toDuration(e.ledger.minutes().likely)); }

// Plate steps, skim and under-thickness: common practice, no source (worked by hand).
TEST(Medlar, IslandsNeedThe635PlateWithAQuarterMillimetreLeft) {
  const auto e = priced("medlar-islands.step");
  EXPECT_DOUBLE_EQ(toMm(e.blank.step), 6.35);
  EXPECT_NEAR(toMm(e.blank.leftBeforeNextStep), 0.25, 0.005);
  const double away = 1.0 - toMm3(e.partVolume) / toMm3(e.blank.volume);
  EXPECT_NEAR(away, 0.79, 0.03);
}

TEST(Medlar, PlainPlateIsCutFromThe254Plate) { EXPECT_DOUBLE_EQ(toMm(priced("medlar-plain.step").blank.step), 2.54); }

TEST(Medlar, RoughingDominatesWhatTheIslandsAddInMinutes) {
  const auto islands = priced("medlar-islands.step"), plain = priced("medlar-plain.step");
  const auto roughing = [](const estimate::Estimate& e) {
    double sum = 0;
    for (const auto& op : e.operations)
      if (op.operation.kind == path::OperationKind::Rough || op.operation.kind == path::OperationKind::RestRough ||
          op.operation.kind == path::OperationKind::Skim)
        sum += toMinutes(toDuration(op.minutes.likely));
    return sum;
  };
  const double all = likelyMinutes(islands) - likelyMinutes(plain);
  EXPECT_GT(all, 0);
  EXPECT_GT(roughing(islands) - roughing(plain), 0.5 * all);
}

TEST(Medlar, LinesAddUpToThePriceAndTheLedgerToTheReferenceBatchExactly) {
  const auto e = priced("medlar-islands.step", true);
  for (const auto& batch : e.batches) EXPECT_EQ(estimate::total(batch.lines), batch.perPiece);
  EXPECT_EQ(e.ledger.cost(), e.batches[static_cast<std::size_t>(e.referenceBatch)].perPiece);
  EXPECT_EQ(e.ledger.removed(), e.removed);
  for (std::size_t b = 0; b < e.batches.size(); ++b) {
    Money sum = e.shared[b].money;
    for (const auto& d : e.detailPrices)
      if (!d.withMinusWithout.empty()) sum += d.withMinusWithout[b].money;
    EXPECT_EQ(sum, e.batches[b].perPiece);
  }
}

TEST(Medlar, MetalBalances) {
  for (const char* name : {"medlar-islands.step", "medlar-plain.step", "medlar-pocketed.step"}) {
    const auto e = priced(name);
    EXPECT_EQ(e.gouged.um3, 0) << name;
    // Booked by the walks against what is left on the stock: two counts of the same metal.
    EXPECT_EQ(e.blankVolume, e.removed + e.left + e.partOnGrid) << name;
    const double stockMinusPart = toMm3(e.blank.volume) - toMm3(e.partVolume);
    const double booked = toMm3(toVolume(e.removed)) + toMm3(toVolume(e.left));
    EXPECT_NEAR(booked / stockMinusPart, 1.0, 0.001) << name;
  }
}

}  // namespace
