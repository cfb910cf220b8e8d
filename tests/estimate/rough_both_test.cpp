// Both sides roughed before either is finished, where the shop says from which share cut away: the side that was
// roughed first comes up once more, and what that costs is in the price.
#include <algorithm>
#include <set>

#include "drawn_estimate.hpp"

using namespace chipledger;
using namespace chipledger::test;

namespace {

draw::Chassis chassis() {
  draw::Chassis c = plainPlate();
  c.islands.push_back(island("i", {-14, 0}, 14, 8, 1.5));
  draw::Pocket back = pocket("relief", {12, 0}, 16, 10, 1.2);
  back.side = draw::Side::Back;
  c.pockets.push_back(back);
  c.bores = {bore("b", {26, 0}, 4)};
  return c;
}

bool finishes(path::OperationKind kind) {
  using K = path::OperationKind;
  return kind == K::Floor || kind == K::Wall || kind == K::Outline || kind == K::IslandTop || kind == K::Carve ||
         kind == K::Chamfer || kind == K::RootRadius;
}

TEST(RoughBoth, TheFirstSideIsFinishedAfterTheOtherIsRoughed) {
  const part::Part part = readDrawn(chassis());
  shop::Shop shop = medlarShop();
  ASSERT_EQ(shop.practice.roughBothShare, 1.0) << "never, until the shop says so";
  const estimate::Estimate plain = estimated(part, shop, quick());
  ASSERT_EQ(plain.setups.size(), 2u);
  shop.practice.roughBothShare = 0.9 * (1.0 - toMm3(plain.partVolume) / toMm3(plain.blank.volume));
  const estimate::Estimate both = estimated(part, shop, quick());
  ASSERT_EQ(both.setups.size(), 3u);
  EXPECT_EQ(both.setups[0].setup.name, plain.setups[0].setup.name);
  EXPECT_EQ(both.setups[2].setup.name, plain.setups[0].setup.name + "-again");

  std::set<std::string> ids;
  int firstRough = 0, again = 0;
  for (const estimate::OperationResult& o : both.operations) {
    EXPECT_TRUE(ids.insert(o.operation.id).second) << o.operation.id;
    if (o.operation.setup == 0) {
      EXPECT_FALSE(finishes(o.operation.kind)) << o.operation.id;
      firstRough += o.operation.kind == path::OperationKind::Rough ? 1 : 0;
    }
    if (o.operation.setup == 2) {
      EXPECT_TRUE(finishes(o.operation.kind) || o.operation.kind == path::OperationKind::Skim) << o.operation.id;
      ++again;
    }
  }
  EXPECT_GT(firstRough, 0);
  EXPECT_GT(again, 1);

  // The same part comes out: nothing gouged, every cell booked, as much left as before.
  EXPECT_EQ(both.gouged.um3, 0);
  EXPECT_EQ((both.removed + both.left + both.partOnGrid).um3, both.blankVolume.um3);
  EXPECT_NEAR(static_cast<double>(both.removed.um3), static_cast<double>(plain.removed.um3),
              1e-3 * static_cast<double>(plain.removed.um3));
  EXPECT_LE(both.leftOnPart.um3, plain.leftOnPart.um3 + plain.partOnGrid.um3 / 1000);

  // One more time up: loading, checking the bow and clamping lightly once more, another setup in every batch.
  const auto line = [](const estimate::Estimate& e, ledger::Line l) {
    return toUnits(e.batches[2].lines[static_cast<std::size_t>(l)]);
  };
  EXPECT_GT(line(both, ledger::Line::People), line(plain, ledger::Line::People));
  EXPECT_GT(line(both, ledger::Line::Setup), line(plain, ledger::Line::Setup));
  EXPECT_GT(toUnits(both.batches[2].perPiece), toUnits(plain.batches[2].perPiece));
}

TEST(RoughBoth, APlateThatIsHardlyCutAwayStaysAtTwo) {
  const part::Part part = readDrawn(plainPlate());
  shop::Shop shop = medlarShop();
  shop.practice.roughBothShare = 0.95;
  EXPECT_EQ(estimated(part, shop, quick()).setups.size(), 2u);
}

}  // namespace
