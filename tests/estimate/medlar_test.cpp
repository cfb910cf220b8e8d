// The grafting folder's plates, priced: the blank, what is cut away, what the islands cost.
#include <gtest/gtest.h>
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/part/read.hpp>
#include <chipledger/shop/load.hpp>

#include <algorithm>

#include "drawn_estimate.hpp"

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

// Worked by hand in the demo this sample is drawn after, for a set of two plates: 136 / 89 / 73 / 65 at 10 / 25 / 50 /
// 100 sets; its own note says 25 % either way. It takes the lock cut to cost the same with islands and without. It does
// not: under islands the 1 mm cutter must stick out farther, runs slower and wears sooner, 1.6 min and 3.3 a plate. So
// both plates are priced without their lock cut. What is left above the worked figures is the pass round the feet of
// the islands, which the example has free with the floor.
TEST(Medlar, IslandsCostASetWhatTheWorkedExampleSays) {
  shop::Shop shop = test::medlarShop();
  shop.piecesPerSet = 2;
  const auto price = [&](const char* name) {
    draw::Chassis chassis = test::sampleChassis(name);
    chassis.slots.clear();
    return test::estimated(test::readDrawn(chassis), shop, test::quick()).batches;
  };
  const auto islands = price("medlar-islands.toml"), plain = price("medlar-plain.toml");
  const double worked[] = {136, 89, 73, 65};
  for (std::size_t b = 0; b < 4; ++b) {
    const double aSet = 2.0 * (toUnits(islands[b].perPiece) - toUnits(plain[b].perPiece));
    EXPECT_NEAR(aSet / worked[b], 1.0, 0.25) << islands[b].size << " sets: " << aSet;
  }
}

// The first island buys the thick plate, the next one only its own walls, top and bench minutes.
TEST(Medlar, TheFirstIslandIsDearTheSecondCheap) {
  const auto e = priced("medlar-islands.step", true);
  const auto reference = static_cast<std::size_t>(e.referenceBatch);
  const auto all = std::find_if(e.groups.begin(), e.groups.end(),
                                [](const estimate::GroupPrice& g) { return g.name == "all islands"; });
  ASSERT_NE(all, e.groups.end());
  const double both = toUnits(all->withMinusWithout[reference].money);
  for (const auto& d : e.detailPrices) {
    if (e.details.list[static_cast<std::size_t>(d.detail)].kind != detail::DetailKind::Island) continue;
    const double second = toUnits(d.withMinusWithout[reference].money);
    EXPECT_GT(second, 0.0);
    EXPECT_LT(second, 0.25 * both) << "the other one still stands";
  }
}

}  // namespace
