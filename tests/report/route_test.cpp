// The route sheet: JSON against its schema, CSV, and the terminal at several widths.
#include "support/schema_check.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <chipledger/part/read.hpp>
#include <chipledger/report/route.hpp>
#include <chipledger/report/route_wording.hpp>
#include <chipledger/route/price_product.hpp>
#include <chipledger/shop/shop.hpp>

#include <fstream>
#include <sstream>

using namespace chipledger;
using namespace chipledger::route;
using testing::HasSubstr;
using testing::Not;

namespace {

const std::string kSamples = CHIPLEDGER_SOURCE_DIR "/step_samples/";

Product product() {
  Product p;
  p.name = "block\x1b[31m";  // what drives a terminal must not reach it
  p.file = "product.toml";
  p.batches = {10, 25, 50};
  p.sets = 25;
  MilledPart part;
  part.name = "plate";
  part.step = kSamples + "block-island.step";
  part.mirrorMate = true;
  p.milled = {part};
  p.variants = {{"A pocket", {{"plate", kSamples + "block-bores-m2.step"}}, {}}, {"B island", {}, {}}};
  p.terms.list = money(180);
  p.terms.channels = {{"direct", 0.5, 0}, {"shops", 0.5, 0.5}};
  p.terms.salesTax = 0.2;
  p.terms.fees = 0.03;
  p.custom = {money(900), money(150), money(80), 12};
  BoughtPart blade;
  blade.name = "blade";
  blade.each = money(12);
  blade.minimumOrder = 30;
  p.bought = {blade};
  SentOut relief;
  relief.name = "=relief";
  relief.quantity = 2;
  relief.each = money(5);
  relief.minimumCharge = money(300);
  relief.daysLow = 3;
  relief.daysHigh = 10;
  p.sentOut = {relief};
  return p;
}

const ProductResult& result() {
  static const ProductResult made = [] {
    RouteOptions o;
    o.cell_um = 200;
    o.advice = true;
    o.targetList = money(120);
    o.whatIfs = {*readChanges("metal +20%"), *readChanges("scrap = 12%")};
    o.read = [](const std::string& path) { return part::readPart(path); };
    auto priced = priceProduct(product(), builtInRoutes(), shop::builtInShop(), o);
    if (!priced) throw std::runtime_error(sentence(priced.error()));
    return *priced;
  }();
  return made;
}

TEST(RouteJson, FitsItsSchema) {
  std::ifstream file(CHIPLEDGER_SOURCE_DIR "/docs/chipledger.route.schema.json");
  const auto schema = support::Json::parse(file);
  const auto value = support::Json::parse(report::routeJson(result()));
  EXPECT_THAT(support::schemaFaults(value, schema), testing::IsEmpty());
}

TEST(RouteJson, LinesAddUpAsTheyArePrinted) {
  const auto value = support::Json::parse(report::routeJson(result()));
  for (const auto& variant : value["variants"])
    for (const auto& route : variant["routes"])
      for (const auto& batch : route["batches"]) {
        long long batchSum = 0, setSum = 0;
        const auto micros = [](const support::Json& v) { return std::llround(v.get<double>() * 1e6); };
        for (const auto& line : batch["lines"]) batchSum += micros(line["batch"]), setSum += micros(line["per_set"]);
        EXPECT_EQ(batchSum, micros(batch["cost"]));
        EXPECT_EQ(setSum, micros(batch["cost_per_set"]));
      }
}

TEST(RouteJson, SameInputSameBytes) { EXPECT_EQ(report::routeJson(result()), report::routeJson(result())); }

TEST(RouteCsv, OneRowPerVariantRouteAndBatch) {
  std::stringstream rows(report::routeCsv(result()));
  std::string line;
  int count = 0;
  std::size_t columns = 0;
  while (std::getline(rows, line)) {
    const auto cells = static_cast<std::size_t>(std::count(line.begin(), line.end(), ','));
    if (count++ == 0) columns = cells;
    EXPECT_EQ(cells, columns) << line;
  }
  EXPECT_EQ(count, 1 + 2 * (3 + 1));  // three batches shop-built, one custom
}

class RouteTerminal : public testing::TestWithParam<int> {};
TEST_P(RouteTerminal, NoLineIsWiderThanTheTerminal) {
  const report::TerminalOptions options{GetParam(), false};
  std::stringstream text(report::renderRoute(result(), options));
  std::string line;
  while (std::getline(text, line)) EXPECT_LE(report::columnsOf(line), options.width) << line;
}
INSTANTIATE_TEST_SUITE_P(Widths, RouteTerminal, testing::Values(60, 80, 100, 160));

TEST(RouteTerminal, FirstScreenAnswersTheOwner) {
  const std::string text = report::renderRoute(result(), {100, false});
  constexpr std::size_t kScreen = 40;
  std::stringstream lines(text);
  std::string line, first;
  for (std::size_t i = 0; i < kScreen && std::getline(lines, line); ++i) first += line + '\n';
  EXPECT_THAT(first, HasSubstr("beats custom"));
  EXPECT_THAT(first, HasSubstr("at what list price"));
  EXPECT_THAT(first, HasSubstr("my hours"));
  EXPECT_THAT(first, HasSubstr("A pocket"));
  EXPECT_THAT(first, HasSubstr("B island"));
  EXPECT_THAT(text, Not(HasSubstr("\x1b")));
  EXPECT_THAT(text, HasSubstr("What if"));
  EXPECT_THAT(text, HasSubstr("metal +20%, scrap = 12%"));
  EXPECT_THAT(text, HasSubstr("What must go for the target"));
}

TEST(RouteTerminal, ALossIsSaidPlainlyWithWhatMendsIt) {
  const auto summary = report::summariseRoute(result(), report::leadVariant(result()));
  EXPECT_THAT(summary.channels, HasSubstr("Every set sold through shops loses"));
  EXPECT_THAT(summary.channels, HasSubstr("a list price of"));
}

TEST(RouteTerminal, AmountsHaveTheCurrencysDecimals) {
  EXPECT_EQ(report::amountText(money(12.5), 2), "12.50");
  EXPECT_EQ(report::amountText(money(1250), 0), "1250");
  EXPECT_EQ(report::amountRounded(money(-16453.4)), "-16,453");
  EXPECT_EQ(report::amountRounded(money(99.94)), "99.9");
}

}  // namespace
