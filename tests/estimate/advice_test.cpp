// What would make it cheaper: each kind of advice on a plate drawn so that it applies.
#include <chipledger/estimate/advice.hpp>

#include <algorithm>

#include "drawn_estimate.hpp"

using namespace chipledger;
using namespace chipledger::test;

namespace {

/// Long islands side by side, 3 mm apart wall to wall; two pockets of unlike radii on the back.
draw::Chassis chassis(double islandHeight) {
  draw::Chassis c = plainPlate(2);
  c.islands.push_back(island("a", {-12, -4}, 26, 5, islandHeight));
  c.islands.push_back(island("b", {-12, 4}, 26, 5, islandHeight));
  draw::Pocket sharp = pocket("sharp", {20, 4}, 9, 7, 0.8, 0.8), wide = pocket("wide", {-20, -8}, 14, 7, 0.8, 2.5);
  sharp.side = wide.side = draw::Side::Back;
  c.pockets = {sharp, wide};
  return c;
}

estimate::Advice const* find(const std::vector<estimate::Advice>& list, const std::string& words) {
  for (const estimate::Advice& a : list)
    if (a.change.find(words) != std::string::npos) return &a;
  return nullptr;
}

std::string allOf(const std::vector<estimate::Advice>& list) {
  std::string text;
  for (const estimate::Advice& a : list)
    text += a.change + " | " + a.why + " | " + a.looks + " | " + std::to_string(toUnits(a.saves[2].money)) + "\n";
  return text;
}

struct Advised {
  part::Part part;
  shop::Shop shop;
  estimate::Estimate estimate;
  std::unique_ptr<Replannable> again;
  std::vector<estimate::Advice> advice;
};

Advised advised(const draw::Chassis& c) {
  Advised a;
  a.part = readDrawn(c);
  a.shop = medlarShop();
  a.estimate = estimated(a.part, a.shop, quick());
  a.again = std::make_unique<Replannable>(a.part, a.shop, quick());
  a.advice = estimate::advise(a.again->replanner(), a.shop, a.estimate);
  return a;
}

}  // namespace

// Body 2.0 + 3.5 + two heavy skims of 0.3 + 0.3 under-thickness = 6.4: one twentieth too much for the 6.35 plate.
TEST(Advice, TellsEachWayThatApplies) {
  const Advised a = advised(chassis(3.5));
  ASSERT_DOUBLE_EQ(toMm(a.estimate.blank.step), 8.0);
  const std::string all = allOf(a.advice);

  const auto* lower = find(a.advice, "lower island-1 and island-2 to 3.45 mm");
  ASSERT_NE(lower, nullptr) << all;
  EXPECT_NE(lower->change.find("fits the 6.35 plate"), std::string::npos) << lower->change;
  EXPECT_NE(lower->why.find("8.00 plate instead of 6.35"), std::string::npos) << lower->why;
  EXPECT_TRUE(lower->seen);
  EXPECT_NE(lower->looks.find("assumed"), std::string::npos) << lower->looks;
  EXPECT_GT(lower->saves[2].money.micros, 0);

  const auto* neck = find(a.advice, "the neck between island-1 and island-2 is then");
  ASSERT_NE(neck, nullptr) << all;
  EXPECT_GT(neck->saves[2].money.micros, 0);

  const auto* radii = find(a.advice, "in one family, R2.50");
  ASSERT_NE(radii, nullptr) << all;
  EXPECT_FALSE(radii->seen) << radii->looks;
  EXPECT_GT(radii->saves[2].money.micros, 0);

  const auto* pressed = find(a.advice, "press ");
  const auto* screwed = find(a.advice, "screw ");
  ASSERT_NE(pressed, nullptr) << all;
  ASSERT_NE(screwed, nullptr) << all;
  ASSERT_EQ(pressed->upTo.size(), 4u);

  // Ranked by money at the reference batch.
  const auto reference = static_cast<std::size_t>(a.estimate.referenceBatch);
  EXPECT_TRUE(std::is_sorted(a.advice.begin(), a.advice.end(), [&](const auto& x, const auto& y) {
    return x.saves[reference].money > y.saves[reference].money;
  }));
  for (const estimate::Advice& each : a.advice) {
    EXPECT_FALSE(each.looks.empty()) << each.change;
    EXPECT_FALSE(each.details.empty()) << each.change;
    ASSERT_EQ(each.saves.size(), a.estimate.batches.size());
    for (const estimate::Difference& d : each.saves) EXPECT_EQ(estimate::total(d.lines), d.money);
  }

  // At the price named, a boss costs what milling it from solid costs.
  for (std::size_t b = 0; b < pressed->upTo.size(); ++b) {
    shop::Shop shop = a.shop;
    shop.boss.price = toUnits(pressed->upTo[b]);
    const double bosses = 2.0;
    EXPECT_NEAR(toUnits(pressed->saves[b].money) + bosses * a.shop.boss.price, bosses * shop.boss.price, 0.01);
  }
}

TEST(Advice, IslandHeightAndThePlateStep) {
  const auto blankOf = [](double height) {
    const part::Part part = readDrawn(chassis(height));
    return estimated(part, medlarShop(), quick(false, 200)).blank;
  };
  const auto low = blankOf(3.45), high = blankOf(3.5);
  EXPECT_DOUBLE_EQ(toMm(low.step), 6.35);
  EXPECT_NEAR(toMm(low.leftBeforeNextStep), 0.0, 1e-6);
  EXPECT_DOUBLE_EQ(toMm(high.step), 8.0);
}

// The lock cut sent out: its line-by-line saving is milling it less what the outside shop takes, and the price it names
// is where both cost the same.
TEST(Advice, TheLockCutByWire) {
  draw::Chassis c = plainPlate(2);
  draw::Slot cut;
  cut.name = "lock";
  cut.band = {{{-15, 4}, {15, 4}}, mm(1.2), {}};
  cut.use = draw::SlotUse::LockCut;
  c.slots.push_back(cut);
  Advised a = advised(c);
  const auto* wire = find(a.advice, "cut by wire");
  ASSERT_NE(wire, nullptr) << allOf(a.advice);
  EXPECT_NE(wire->why.find("pays while one cut costs less than"), std::string::npos) << wire->why;
  const int lock =
      detail::DetailKind::LockCut == a.estimate.details.list[static_cast<std::size_t>(wire->details.at(0))].kind
          ? wire->details[0]
          : -1;
  ASSERT_GE(lock, 0);
  const estimate::Replanned milled = a.again->replanner().without({lock});
  for (std::size_t b = 0; b < wire->saves.size(); ++b) {
    const estimate::Difference& d = wire->saves[b];
    EXPECT_EQ(estimate::total(d.lines), d.money);
    const double out = a.shop.wire.pricePerCut + a.shop.wire.lotCharge / (d.size * a.shop.piecesPerSet) +
                       toHours(a.shop.wire.handling) * a.shop.rates.benchPerHour;
    EXPECT_NEAR(toUnits(d.money), toUnits(milled.differences[b].money) - out * (1 + a.shop.rates.overhead), 0.01);
  }
  // Bought for nothing it saves what milling costs; for much it still shows, below 0.
  a.shop.wire = {0, 0, {}};
  const auto free = estimate::advise(a.again->replanner(), a.shop, a.estimate);
  EXPECT_EQ(find(free, "cut by wire")->saves[0].money, milled.differences[0].money);
  a.shop.wire.pricePerCut = 500;
  const auto dear = estimate::advise(a.again->replanner(), a.shop, a.estimate);
  ASSERT_NE(find(dear, "cut by wire"), nullptr);
  EXPECT_LT(find(dear, "cut by wire")->saves[0].money.micros, 0);
}

// Blind bores of one kind on both sides: that of the back, moved over, needs no cutters there any more, and it is said
// that it is seen afterwards. Where an island stands opposite it stays.
TEST(Advice, WhatIsOnTheOtherSideMovesToTheSideThatIsUp) {
  const auto plate = [](bool islandOpposite) {
    draw::Chassis c = plainPlate(3);
    for (const double x : {-20.0, -12.0}) c.bores.push_back(bore("o", {x, 6}, 3, 1.5));
    c.bores[0].name = "o1";
    draw::Bore b = bore("b", {14, 6}, 3, 1.5);
    b.side = draw::Side::Back;
    c.bores.push_back(b);
    if (islandOpposite) c.islands.push_back(island("i", {14, 0}, 24, 22, 1));
    return c;
  };
  const Advised a = advised(plate(false));
  const auto* moved = find(a.advice, "which is up anyway");
  ASSERT_NE(moved, nullptr) << allOf(a.advice);
  EXPECT_GT(moved->saves[2].money.micros, 0);
  // What it promises is what the part drawn that way costs, on the same cells.
  const bool toOuter = moved->change.find("from the outer side") != std::string::npos;
  draw::Chassis redrawn = plate(false);
  const draw::Side onto = toOuter ? draw::Side::Outer : draw::Side::Back;
  for (draw::Bore& b : redrawn.bores) b.side = onto;
  EXPECT_TRUE(moved->seen) << moved->looks;  // the side that is seen gains it or loses it
  const estimate::Estimate other = estimated(readDrawn(redrawn), a.shop, quick());
  EXPECT_NEAR(toUnits(moved->saves[2].money),
              toUnits(a.estimate.batches[2].perPiece) - toUnits(other.batches[2].perPiece),
              0.02 * toUnits(a.estimate.batches[2].perPiece));
  const Advised kept = advised(plate(true));
  const auto* onlyOuter = find(kept.advice, "from the outer side, which is up anyway");
  EXPECT_EQ(onlyOuter, nullptr) << allOf(kept.advice);
}
