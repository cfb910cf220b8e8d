// From a product file and STEP files to the answers, on small drawn parts.
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <chipledger/part/read.hpp>
#include <chipledger/route/load.hpp>
#include <chipledger/route/price_product.hpp>
#include <chipledger/shop/load.hpp>

#include <map>

using namespace chipledger;
using namespace chipledger::route;
using testing::HasSubstr;

namespace {

const std::string kSamples = CHIPLEDGER_SOURCE_DIR "/step_samples/";

/// Each file is read once for all tests.
Result<part::Part> readOnce(const std::string& path) {
  static std::map<std::string, part::Part> known;
  const auto at = known.find(path);
  if (at != known.end()) return at->second;
  auto part = part::readPart(path);
  if (part) known.emplace(path, *part);
  return part;
}

RouteOptions options() {
  RouteOptions o;
  o.cell_um = 200;
  o.read = readOnce;
  o.tornado = false;
  return o;
}

Product block() {
  Product p;
  p.name = "block";
  p.file = "product.toml";
  p.batches = {10, 50};
  p.sets = 50;
  MilledPart part;
  part.name = "block";
  part.step = kSamples + "block-island.step";
  p.milled = {part};
  p.terms.list = money(300);
  return p;
}

/// Nothing but what the estimate books: no design, no looks, no packing.
Route bare() {
  Route route;
  route.name = "bare";
  const auto add = [&](const char* name, Who who, Takes takes) {
    RouteStep step;
    step.name = name;
    step.who = who;
    step.takes = takes;
    route.steps.push_back(step);
  };
  add("programming", Who::Machinist, Takes::Programming);
  add("setting up", Who::Machinist, Takes::SettingUp);
  add("loading", Who::Machinist, Takes::Loading);
  add("milling", Who::Machinist, Takes::Machine);
  add("bench", Who::Bench, Takes::Bench);
  return route;
}

// A route with nothing but the milled part costs what the estimate of the part says, at every batch size.
TEST(PriceProduct, BareRouteCostsWhatTheEstimateSays) {
  for (const bool mate : {false, true}) {
    Product product = block();
    product.milled[0].mirrorMate = mate;
    shop::Shop shop = shop::builtInShop();
    shop.rates.overhead = 0.18;
    const auto result = priceProduct(product, {bare()}, shop, options());
    ASSERT_TRUE(result.has_value()) << sentence(result.error());
    const auto part = readOnce(product.milled[0].step);
    ASSERT_TRUE(part.has_value());
    estimate::Options asked;
    asked.batches = {10, 50};
    asked.cell_um = 200;
    asked.priceDetails = false;
    shop.piecesPerSet = mate ? 2 : 1;
    const auto priced = estimate::estimateBody(*part, part->bodies.front(), shop, asked);
    ASSERT_TRUE(priced.has_value());
    for (std::size_t b = 0; b < 2; ++b) {
      const BatchResult& batch = result->variants[0].routes[0].batches[b];
      EXPECT_NEAR(toUnits(batch.stack.perSet), toUnits(priced->batches[b].perPiece) * shop.piecesPerSet, 2e-3)
          << batch.sets << " sets";
    }
  }
}

TEST(PriceProduct, VariantsHaveTheirOwnFilesPartsAndSteps) {
  Product product = block();
  Variant plain{"plain", {{"block", kSamples + "block-bores-m2.step"}}, {}}, island{"island", {}, {}};
  product.variants = {plain, island};
  BoughtPart boss;
  boss.name = "boss";
  boss.each = money(4);
  boss.only = {"plain"};
  product.bought = {boss};
  const auto result = priceProduct(product, builtInRoutes(), shop::builtInShop(), options());
  ASSERT_TRUE(result.has_value()) << sentence(result.error());
  ASSERT_EQ(result->variants.size(), 2u);
  EXPECT_THAT(result->variants[0].milled[0].file, HasSubstr("block-bores-m2"));
  EXPECT_THAT(result->variants[1].milled[0].file, HasSubstr("block-island"));
  EXPECT_EQ(result->variants[0].buy.parts.size(), 1u);
  EXPECT_TRUE(result->variants[1].buy.parts.empty());
  ASSERT_TRUE(result->variants[1].dearerThanFirst.has_value());
  const auto cost = [](const VariantResult& v) { return v.routes[v.shopBuilt].batches[1].stack.perSet; };
  const Money dearer = cost(result->variants[1]) - cost(result->variants[0]);
  EXPECT_EQ(*result->variants[1].dearerThanFirst, dearer);
  EXPECT_NEAR(toUnits(*result->variants[1].listRiseAgainstFirst),
              toUnits(dearer) / meanNet(product.terms.list, product.terms).netShare, 1e-3);
  EXPECT_FALSE(result->variants[0].dearerThanFirst.has_value());
  for (const VariantResult& v : result->variants) {
    ASSERT_TRUE(v.custom.has_value());
    EXPECT_EQ(v.routes[*v.custom].batches.size(), 1u);
    EXPECT_EQ(v.routes[*v.custom].batches[0].sets, 1);
  }
}

TEST(PriceProduct, DealersAtALossAreToldWithTheListPriceThatEndsIt) {
  Product product = block();
  product.terms.list = money(100);
  product.terms.channels = {{"direct", 0.5, 0}, {"shops", 0.5, 0.6}};
  const auto result = priceProduct(product, builtInRoutes(), shop::builtInShop(), options());
  ASSERT_TRUE(result.has_value()) << sentence(result.error());
  const VariantResult& v = result->variants[0];
  const RouteResult& route = v.routes[v.shopBuilt];
  ASSERT_LT(route.channels[1].waterfall.left, Money{});
  EXPECT_TRUE(std::any_of(v.notes.begin(), v.notes.end(), [](const Note& n) { return n.code == "sold-at-a-loss"; }));
  const auto end = std::find_if(route.lists.begin(), route.lists.end(), [](const ListPrice& p) {
    return p.aim == ListPrice::Aim::NoLoss && p.channel == "shops";
  });
  ASSERT_NE(end, route.lists.end());
  const Money cost = route.batches[route.reference].stack.perSet;
  const SaleTerms terms = termsOf(product.terms.channels[1], product.terms);
  EXPECT_GE(stepDown(end->rounded, cost, terms).left, Money{});
  EXPECT_LT(stepDown(end->rounded - money(product.terms.priceStep), cost, terms).left, Money{});
}

TEST(PriceProduct, CustomBenchIsTheYardstick) {
  Product product = block();
  product.custom = {money(2600), money(310), money(250), 26};
  const auto result = priceProduct(product, builtInRoutes(), shop::builtInShop(), options());
  ASSERT_TRUE(result.has_value());
  EXPECT_NEAR(result->variants[0].customPerHour, 78.46, 0.005);
  product.custom = {};
  const auto without = priceProduct(product, builtInRoutes(), shop::builtInShop(), options());
  ASSERT_TRUE(without.has_value());
  EXPECT_EQ(without->variants[0].customPerHour, shop::builtInShop().rates.ownerPerHour);
}

TEST(PriceProduct, CrossingIsWhereTheBatchFirstBeatsTheBench) {
  Product product = block();
  product.custom = {money(2600), money(310), money(250), 26};
  const auto result = priceProduct(product, builtInRoutes(), shop::builtInShop(), options());
  ASSERT_TRUE(result.has_value());
  const VariantResult& v = result->variants[0];
  const Crossing& c = v.routes[v.shopBuilt].crossing;
  ASSERT_TRUE(c.cash && c.perHour);
  for (const CurvePoint& p : v.routes[v.shopBuilt].curve) {
    EXPECT_EQ(p.left >= Money{}, p.sets >= *c.cash) << p.sets;
    EXPECT_EQ(*perOwnerHour(p.left, p.ownerHours) >= v.customPerHour, p.sets >= *c.perHour) << p.sets;
  }
}

TEST(PriceProduct, CurrenciesAreNeverMixed) {
  Product product = block();
  product.currency = "USD";
  product.currencyPlace = {"product.toml", 2};
  const auto result = priceProduct(product, builtInRoutes(), shop::builtInShop(), options());
  ASSERT_FALSE(result.has_value());
  EXPECT_THAT(sentence(result.error()), HasSubstr("product.toml:2"));
}

TEST(PriceProduct, ARouteThatMillsNothingIsTold) {
  Route route = bare();
  route.steps.pop_back();
  route.steps.pop_back();
  const auto result = priceProduct(block(), {route}, shop::builtInShop(), options());
  ASSERT_FALSE(result.has_value());
  EXPECT_THAT(sentence(result.error()), HasSubstr("Nobody mills"));
}

TEST(PriceProduct, UnknownVariantAndBodyAreTold) {
  RouteOptions o = options();
  o.variant = "x";
  const auto variant = priceProduct(block(), builtInRoutes(), shop::builtInShop(), o);
  ASSERT_FALSE(variant.has_value());
  EXPECT_EQ(variant.error().code, FaultCode::Usage);
  Product product = block();
  product.milled[0].body = "nobody";
  const auto body = priceProduct(product, builtInRoutes(), shop::builtInShop(), options());
  ASSERT_FALSE(body.has_value());
  EXPECT_THAT(sentence(body.error()), HasSubstr("nobody"));
}

TEST(PriceProduct, WhatIfsAreShownEachAloneAndAllTogether) {
  RouteOptions o = options();
  o.whatIfs = {*readChanges("metal +20%"), *readChanges("list = 400")};
  const auto result = priceProduct(block(), builtInRoutes(), shop::builtInShop(), o);
  ASSERT_TRUE(result.has_value());
  const auto& w = result->variants[0].whatIfs;
  ASSERT_EQ(w.size(), 3u);
  EXPECT_GT(w[0].after.costPerSet, w[0].before.costPerSet);
  EXPECT_EQ(w[1].after.costPerSet, w[1].before.costPerSet);
  EXPECT_GT(w[1].after.left, w[1].before.left);
  EXPECT_EQ(w[2].changes.size(), 2u);
  EXPECT_EQ(w[2].after.costPerSet, w[0].after.costPerSet);
}

TEST(PriceProduct, WhatCanGoForATargetListPrice) {
  Product product = block();
  RouteOptions o = options();
  o.advice = true;
  const auto dear = priceProduct(product, builtInRoutes(), shop::builtInShop(), o);
  ASSERT_TRUE(dear.has_value());
  const VariantResult& v = dear->variants[0];
  ASSERT_FALSE(v.earnings.empty());
  EXPECT_THAT(v.earnings[0].what, HasSubstr("island"));
  // A target that only the island is in the way of.
  const auto& route = v.routes[v.shopBuilt];
  const Money cost = route.batches[route.reference].stack.perSet;
  o.targetList =
      listToKeep(cost - money(toUnits(v.earnings[0].perSet) * 0.9), product.terms.wantedMargin, product.terms);
  const auto result = priceProduct(product, builtInRoutes(), shop::builtInShop(), o);
  ASSERT_TRUE(result.has_value() && result->variants[0].target);
  const Target& t = *result->variants[0].target;
  EXPECT_NEAR(toUnits(t.toCut), 0.9 * toUnits(v.earnings[0].perSet), 1e-3);
  EXPECT_TRUE(t.reached);
  Money saved;
  for (const Cut& cut : t.cuts)
    if (cut.needed) saved += cut.perSet;
  EXPECT_GE(saved, t.toCut);
}

/// A product file that ships, with everything in it.
ProductResult sample(const std::string& name, const std::string& variant = "") {
  const auto file = loadProduct(kSamples + name);
  EXPECT_TRUE(file.has_value());
  const auto shop = shop::loadShop(file->product.shopFile);
  EXPECT_TRUE(shop.has_value());
  RouteOptions o = options();
  o.variant = variant;
  o.cell_um = 100;  // coarser ones lose the small cutters of a chassis
  auto result = priceProduct(file->product, file->routes, *shop, o);
  EXPECT_TRUE(result.has_value());
  return result ? std::move(*result) : ProductResult{};
}

// One command answers for every variant from which batch on shop-built beats the custom bench. The order of the
// variants is that of the trade brief's own reckoning: plain first, then the light ones, islands, contour.
TEST(SampleProducts, MedlarSaysFromWhichBatchEachVariantBeatsTheBench) {
  const ProductResult r = sample("product-medlar.toml");
  ASSERT_EQ(r.variants.size(), 5u);
  std::map<std::string, int> from;
  for (const VariantResult& v : r.variants) {
    const Crossing& c = v.routes[v.shopBuilt].crossing;
    // A domed face may cost more than a set brings: then the answer is never, said with how far was looked.
    EXPECT_EQ(c.searchedTo, kLargestBatch);
    if (v.name[0] != 'D') {
      ASSERT_TRUE(c.cash && c.perHour) << v.name;
      EXPECT_LT(*c.cash, *c.perHour) << v.name;
    }
    from[v.name.substr(0, 2)] = c.perHour.value_or(kLargestBatch + 1);
    EXPECT_NEAR(v.customPerHour, 78.46, 0.005);
  }
  EXPECT_LT(from["A "], from["B2"]);
  EXPECT_LT(from["A "], from["C "]);
  EXPECT_LT(from["B2"], from["B "]);
  EXPECT_LT(from["C "], from["B "]);
  EXPECT_LT(from["B "], from["D "]);
  // Printed there: 20 for plain, 32 with islands, from the brief's own minutes. Here a lock cut by a cutter of 1 mm
  // takes 11.2 min and 0.9 cutters where the brief reckons with 5 to 9 min, so both come later (29 and 67 when this was
  // written); the brief's crossings from the brief's inputs are tested with the worked route.
  EXPECT_GE(from["A "], 20);
  EXPECT_LE(from["A "], 40);
  EXPECT_GE(from["B "], 32);
  EXPECT_LE(from["B "], 100);
}

TEST(SampleProducts, SundewThroughMuseumShopsLosesAndSaysWhatMendsIt) {
  const ProductResult r = sample("product-sundew.toml", "B island");
  const VariantResult& v = r.variants.at(0);
  const RouteResult& route = v.routes[v.shopBuilt];
  ASSERT_EQ(route.channels.at(1).channel.name, "museum shops");
  EXPECT_LT(route.channels[1].waterfall.left, Money{});
  EXPECT_NEAR(toUnits(route.channels[1].waterfall.net), 204, 0.5);
  EXPECT_NEAR(toUnits(route.channels[0].waterfall.net), 340, 0.5);
  EXPECT_TRUE(std::any_of(v.notes.begin(), v.notes.end(), [](const Note& n) { return n.code == "sold-at-a-loss"; }));
}

TEST(PriceProduct, EveryValueSaysWhereItIsFrom) {
  const auto result = priceProduct(block(), builtInRoutes(), shop::builtInShop(), options());
  ASSERT_TRUE(result.has_value());
  EXPECT_FALSE(result->assumptions.empty());
  for (const Assumption& a : result->assumptions) {
    EXPECT_FALSE(a.name.empty());
    EXPECT_FALSE(a.source.empty()) << a.name;
  }
}

}  // namespace
