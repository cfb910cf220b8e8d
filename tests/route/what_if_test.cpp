// What-ifs: what can be typed, and what each moves.
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <chipledger/route/reckon.hpp>

using namespace chipledger;
using namespace chipledger::route;
using testing::HasSubstr;

namespace {

TEST(WhatIf, ReadsPercentSharesAndMoney) {
  const auto changes = readChanges("metal +20%, wages -5 %,scrap = 12%, list = 750");
  ASSERT_TRUE(changes.has_value()) << sentence(changes.error());
  ASSERT_EQ(changes->size(), 4u);
  EXPECT_EQ((*changes)[0].lever, Lever::Metal);
  EXPECT_DOUBLE_EQ((*changes)[0].factor, 1.2);
  EXPECT_DOUBLE_EQ((*changes)[1].factor, 0.95);
  EXPECT_TRUE((*changes)[2].absolute);
  EXPECT_DOUBLE_EQ((*changes)[2].value, 0.12);
  EXPECT_DOUBLE_EQ((*changes)[3].value, 750);
  EXPECT_EQ((*changes)[1].words, "wages -5 %");
}

struct Bad {
  const char* text;
  const char* says;
};
void PrintTo(const Bad& bad, std::ostream* out) { *out << bad.text; }
class BadWhatIf : public testing::TestWithParam<Bad> {};
TEST_P(BadWhatIf, SaysWhatIsWrongAndHowToMendIt) {
  const auto changes = readChanges(GetParam().text);
  ASSERT_FALSE(changes.has_value());
  EXPECT_EQ(changes.error().code, FaultCode::Usage);
  EXPECT_THAT(sentence(changes.error()), HasSubstr(GetParam().says));
  EXPECT_FALSE(changes.error().next.empty());
}
INSTANTIATE_TEST_SUITE_P(Texts, BadWhatIf,
                         testing::Values(Bad{"", "does not say what"}, Bad{"metal", "by how much"},
                                         Bad{"mettal +20%", "Did you mean \"metal\""}, Bad{"metal +20", "in percent"},
                                         Bad{"metal +x%", "cannot be read"}, Bad{"metal -120%", "more than all"},
                                         Bad{"metal = 3", "by percent only"}, Bad{"scrap = 120%", "below 100 %"},
                                         Bad{"list = 12%", "amount of money"}, Bad{"metal +20%,", "does not say what"},
                                         Bad{"metal +nan%", "cannot be read"}, Bad{"scrap = -3%", "below 100 %"}));

RouteInputs inputs() {
  RouteInputs in;
  MilledPiece m;
  m.name = "plate";
  m.piecesPerSet = 2;
  m.metal = money(8);
  m.cutters = money(7);
  m.machine = {countTime(minutes(30)), countTime(minutes(34)), countTime(minutes(40))};
  m.loading = countTime(minutes(9));
  m.bench = countTime(minutes(41));
  m.setups = 3;
  m.setUpEach = countTime(minutes(45));
  m.programming = countTime(hours(20));
  m.boughtOnce = money(260);
  m.scrap = 0.07;
  m.spentWhenLost = 0.8;
  in.milled = {m};
  const auto add = [&](const char* name, Who who, Takes takes) {
    Job j;
    j.name = name;
    j.who = who;
    j.takes = takes;
    j.attended = 0.35;
    in.jobs.push_back(j);
  };
  add("programming", Who::Machinist, Takes::Programming);
  add("setting up", Who::Machinist, Takes::SettingUp);
  add("loading", Who::Machinist, Takes::Loading);
  add("milling", Who::Machinist, Takes::Machine);
  add("bench", Who::Bench, Takes::Bench);
  add("look", Who::Owner, Takes::Nothing);
  in.jobs.back().perSet_min = 15;
  in.jobs.back().yield = 0.98;
  BoughtPart part;
  part.name = "blade";
  part.each = money(38);
  in.bought = {part};
  SentOut work;
  work.name = "relief";
  work.quantity = 2;
  work.each = money(6);
  work.daysHigh = 10;
  in.sentOut = {work};
  in.terms.list = money(690);
  in.terms.channels = {{"direct", 0.6, 0}, {"dealers", 0.4, 0.35}};
  in.terms.fees = 0.025;
  in.terms.warranty = 0.03;
  in.overhead = 0.18;
  return in;
}

TEST(WhatIf, EveryLeverMovesWhatItNamesAndOneIsOne) {
  const RouteInputs in = inputs();
  const BatchResult as = Reckoner(in).at(50);
  for (const LeverRow& row : levers()) {
    const BatchResult same = Reckoner(changed(in, {{row.lever, 1.0, false, 0, ""}})).at(50);
    EXPECT_EQ(same.stack.cost, as.stack.cost) << row.name;
    EXPECT_EQ(same.left, as.left) << row.name;
    const BatchResult more = Reckoner(changed(in, {{row.lever, 1.25, false, 0, ""}})).at(50);
    switch (row.lever) {
      case Lever::List:
        EXPECT_GT(more.left, as.left);
        break;
      case Lever::Discount:
      case Lever::Fees:
        EXPECT_LT(more.left, as.left) << row.name;
        break;
      case Lever::OwnerHours:
        EXPECT_EQ(more.left, as.left);
        EXPECT_NEAR(more.ownerHours, 1.25 * as.ownerHours, 1e-9);
        break;
      case Lever::Metal:
      case Lever::Machine:
      case Lever::Wages:
      case Lever::Minutes:
      case Lever::HandWork:
      case Lever::Cutters:
      case Lever::Scrap:
      case Lever::Bought:
      case Lever::Outside:
      case Lever::Once:
      case Lever::Overhead:
        EXPECT_GT(more.stack.cost, as.stack.cost) << row.name;
        break;
    }
  }
}

// By hand: 2 plates x 8 of metal, G = 1 / 0.98, 7 % lost: 16 / 0.98 / 0.93 a set, overhead 18 %; 20 % of it.
TEST(WhatIf, MetalUpTwentyPercent) {
  const RouteInputs in = inputs();
  const Money before = Reckoner(in).at(50).stack.cost;
  const Money after = Reckoner(changed(in, {{Lever::Metal, 1.2, false, 0, ""}})).at(50).stack.cost;
  EXPECT_NEAR(toUnits(after - before), 50 * 0.2 * 16 / 0.98 / 0.93 * 1.18, 1e-3);
}

// By hand: pieces lost go from 7 % to 12 %: metal and 0.8 of machine, attended, loading and cutters.
TEST(WhatIf, ScrapOfTwelveInsteadOfSeven) {
  const RouteInputs in = inputs();
  const double spent = 34 / 60.0 * 46 + 0.35 * 34 / 60.0 * 40 + 9 / 60.0 * 40 + 7;
  const double more = (0.12 / 0.88 - 0.07 / 0.93) * (8 + 0.8 * spent) * 2 * 50 / 0.98 * 1.18;
  const Money before = Reckoner(in).at(50).stack.cost;
  const Money after = Reckoner(changed(in, {{Lever::Scrap, 1, true, 0.12, ""}})).at(50).stack.cost;
  EXPECT_NEAR(toUnits(after - before), more, 1e-3);
}

}  // namespace
