#include <chipledger/route/client.hpp>

#include <gtest/gtest.h>

namespace chipledger::route {
namespace {

// 60 % direct, 40 % through dealers at 35 % off; 2.5 % fees, 3 % warranty: received 0.86, kept 0.86 x 0.945 = 0.8127.
Terms terms() {
  Terms t;
  t.list = money(690);
  t.channels = {{"direct", 0.6, 0.0}, {"dealers", 0.4, 0.35}};
  t.fees = 0.025;
  t.warranty = 0.03;
  t.salesTax = 0.2;
  t.wantedMargin = 0.35;
  t.priceStep = 5;
  return t;
}

VariantResult variant(const std::string& name, double at50, double at10, bool asInFile) {
  VariantResult v;
  v.name = name;
  v.asInFile = asInFile;
  RouteResult r;
  r.list = money(690);
  for (const auto& [sets, each] : {std::pair{10, at10}, {50, at50}}) {
    BatchResult b;
    b.sets = sets;
    b.stack.perSet = money(each);
    b.capacity.weeks = {2, 4};
    r.batches.push_back(b);
  }
  r.reference = 1;
  v.routes = {r};
  return v;
}

ProductResult product() {
  ProductResult p;
  p.terms = terms();
  p.sets = 50;
  p.variants = {variant("A plain", 300, 420, false), variant("B islands", 400, 560, true)};
  return p;
}

TEST(Client, TheListedOneCostsItsListPrice) {
  const auto options = clientOptions(product());
  ASSERT_EQ(options.size(), 2U);
  EXPECT_EQ(options[0].name, "B islands");
  EXPECT_TRUE(options[0].listed);
  EXPECT_EQ(options[0].prices[1].price, money(690));
  EXPECT_EQ(options[0].prices[1].withTax, money(828));
}

TEST(Client, OthersLeaveAsMuchOfEachTool) {
  // By hand: 690 + (300 - 400) / 0.8127 = 566.95, up to 570; 690 + (560 - 400) / 0.8127 = 886.87, up to 890.
  const auto options = clientOptions(product());
  EXPECT_EQ(options[1].prices[1].price, money(570));
  EXPECT_EQ(options[0].prices[0].price, money(890));
  const auto left = [&](Money price, double cost) { return toUnits(meanNet(price, terms()).net) - cost; };
  EXPECT_GE(left(options[1].prices[1].price, 300), left(money(690), 400));
}

TEST(Client, WhatCanBeLeftOutStandsAtTheBatchOfTheAnswers) {
  ProductResult p = product();
  Earning e;
  e.what = "all islands";
  e.perSet = money(100);
  p.variants[1].earnings = {e};
  const auto options = clientOptions(p);
  ASSERT_EQ(options.size(), 3U);
  EXPECT_EQ(options[1].name, "B islands without all islands");
  ASSERT_EQ(options[1].prices.size(), 1U);
  EXPECT_EQ(options[1].prices[0].sets, 50);
  EXPECT_EQ(options[1].prices[0].price, money(570));
}

TEST(Client, WithoutAListPriceTheWantedMarginIsOnIt) {
  ProductResult p = product();
  p.terms.list = {};
  p.variants[1].routes[0].list = {};
  // 400 / (0.86 x (0.945 - 0.35)) = 781.71, up to 785.
  EXPECT_EQ(clientOptions(p)[0].prices[1].price, money(785));
  EXPECT_EQ(askedFor(money(400), terms()), money(785));
}

TEST(Client, NothingKeptIsNoPrice) {
  ProductResult p = product();
  p.terms.fees = 0.98;
  EXPECT_TRUE(clientOptions(p).empty());
  EXPECT_FALSE(askedFor(money(400), p.terms));
  EXPECT_TRUE(clientOptions({}).empty());
}

}  // namespace
}  // namespace chipledger::route
