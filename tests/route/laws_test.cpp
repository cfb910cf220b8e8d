// Laws that hold for any product: seeded random inputs, small sizes.
#include <gtest/gtest.h>
#include <chipledger/route/reckon.hpp>

#include <random>

using namespace chipledger;
using namespace chipledger::route;

namespace {

constexpr int kCases = 200;

class Draw {
public:
  explicit Draw(unsigned seed) : engine_(seed) {}
  double real(double low, double high) { return std::uniform_real_distribution<double>(low, high)(engine_); }
  int whole(int low, int high) { return std::uniform_int_distribution<int>(low, high)(engine_); }
  Who anyone() { return kEveryone[static_cast<std::size_t>(whole(0, static_cast<int>(kWhoCount) - 1))]; }

private:
  std::mt19937 engine_;
};

MilledPiece randomPiece(Draw& draw) {
  MilledPiece m;
  m.name = "plate";
  m.piecesPerSet = draw.whole(1, 4);
  m.ownBatch = draw.whole(0, 3) == 0 ? draw.whole(1, 200) : 0;
  m.plates = draw.real(1, 2);
  m.metal = money(draw.real(1, 60));
  m.cutters = money(draw.real(0, 20));
  const double minutesEach = draw.real(1, 90);
  m.machine = {countTime(minutes(0.9 * minutesEach)), countTime(minutes(minutesEach)),
               countTime(minutes(1.2 * minutesEach))};
  m.loading = countTime(minutes(draw.real(0, 12)));
  m.bench = countTime(minutes(draw.real(0, 60)));
  m.setups = draw.whole(1, 4);
  m.setUpEach = countTime(minutes(45));
  m.programming = countTime(hours(draw.real(1, 40)));
  m.boughtOnce = money(draw.real(0, 500));
  m.scrap = draw.real(0, 0.2);
  m.spentWhenLost = draw.real(0, 1);
  m.cutterNeeds = {{"flat-6", draw.real(0, 0.1), money(40)}};
  return m;
}

Job job(const char* name, Who who, Takes takes) {
  Job j;
  j.name = name;
  j.who = who;
  j.takes = takes;
  return j;
}

RouteInputs randomInputs(unsigned seed) {
  Draw draw(seed);
  RouteInputs in;
  in.name = "random";
  for (int p = draw.whole(1, 3); p > 0; --p) in.milled.push_back(randomPiece(draw));
  in.jobs = {job("programming", draw.anyone(), Takes::Programming), job("setting up", draw.anyone(), Takes::SettingUp),
             job("loading", draw.anyone(), Takes::Loading), job("milling", draw.anyone(), Takes::Machine),
             job("bench", draw.anyone(), Takes::Bench)};
  in.jobs[3].attended = draw.real(0, 1);
  in.jobs[4].learning = draw.real(0.85, 1);
  for (int k = draw.whole(1, 4); k > 0; --k) {
    Job j = job(("hand " + std::to_string(k)).c_str(), draw.anyone(), Takes::Nothing);
    j.perDesign_h = draw.real(0, 30);
    j.perBatch_min = draw.real(0, 120);
    j.perSet_min = draw.real(0, 60);
    j.costPerDesign = money(draw.real(0, 900));
    j.costPerSet = money(draw.real(0, 50));
    j.learning = draw.real(0.85, 1);
    j.yield = draw.real(0.8, 1);
    j.bearsOverhead = draw.whole(0, 1) == 0;
    in.jobs.push_back(j);
  }
  BoughtPart part;
  part.name = "blade";
  part.quantity = draw.whole(1, 8);
  part.each = money(draw.real(1, 50));
  part.minimumOrder = draw.whole(1, 60);
  part.breaks = {{draw.whole(20, 60), money(toUnits(part.each) * 0.9)}};
  part.at = "bench";
  in.bought = {part};
  SentOut work;
  work.name = "relief";
  work.quantity = draw.whole(1, 4);
  work.each = money(draw.real(1, 20));
  work.minimumCharge = money(draw.real(0, 300));
  work.daysHigh = 10;
  work.at = "bench";
  in.sentOut = {work};
  in.terms.list = money(draw.real(50, 2000));
  const double direct = draw.real(0, 1);
  in.terms.channels = {{"direct", direct, 0}, {"dealers", 1 - direct, draw.real(0, 0.6)}};
  in.terms.fees = draw.real(0, 0.1);
  in.terms.warranty = draw.real(0, 0.05);
  in.overhead = draw.real(0, 0.3);
  in.usualSets = draw.whole(1, 100);
  return in;
}

Money sum(const Stack& stack, Money CostLine::*field) {
  Money total;
  for (const CostLine& line : stack.lines) total += line.*field;
  return total;
}

TEST(Laws, LinesAddUpExactlyForTheBatchAndForASet) {
  for (unsigned seed = 1; seed <= kCases; ++seed) {
    Reckoner reckoner(randomInputs(seed));
    for (int n : {1, 3, 10, 47, 250}) {
      const BatchResult b = reckoner.at(n);
      EXPECT_EQ(sum(b.stack, &CostLine::batch), b.stack.cost) << seed;
      EXPECT_EQ(sum(b.stack, &CostLine::perSet), b.stack.perSet) << seed;
      EXPECT_EQ(b.stack.fixed + b.stack.variable, b.stack.cost) << seed;
      EXPECT_EQ(b.income - b.stack.cost, b.left) << seed;
    }
  }
}

TEST(Laws, FixedCostPerSetNeverRisesWithTheBatch) {
  for (unsigned seed = 1; seed <= kCases; ++seed) {
    Reckoner reckoner(randomInputs(seed));
    double before = 1e300;
    for (int n = 1; n <= 150; ++n) {
      const double fixed = toUnits(reckoner.at(n).stack.fixed) / n;
      // A millionth of a unit is one rounding of one booking.
      EXPECT_LE(fixed, before + 2e-5) << "seed " << seed << " at " << n;
      before = fixed;
    }
  }
}

TEST(Laws, MoreScrapNeverLowersCost) {
  for (unsigned seed = 1; seed <= kCases; ++seed) {
    const RouteInputs in = randomInputs(seed);
    Money before;
    for (double factor : {0.0, 0.5, 1.0, 1.3, 2.0, 3.0}) {
      const Money cost = Reckoner(changed(in, {{Lever::Scrap, factor, false, 0, ""}})).at(40).stack.cost;
      EXPECT_GE(cost.micros + 50, before.micros) << "seed " << seed << " x" << factor;
      before = cost;
    }
  }
}

TEST(Laws, MoreDiscountNeverRaisesTheNet) {
  for (unsigned seed = 1; seed <= kCases; ++seed) {
    Draw draw(seed);
    SaleTerms t{0, draw.real(0, 0.2), draw.real(0, 0.1), 0.2};
    Money before = money(1e9);
    for (double discount = 0; discount <= 1.0; discount += 0.05) {
      t.discount = discount;
      const Waterfall w = stepDown(money(draw.real(1, 3000)), money(100), t);
      EXPECT_EQ(w.list - w.discount, w.received);
      EXPECT_EQ(w.received - w.fees - w.warranty, w.net);
      EXPECT_EQ(w.net - w.cost, w.left);
    }
    const Money list = money(draw.real(1, 3000));
    for (double discount = 0; discount <= 1.0; discount += 0.05) {
      t.discount = discount;
      const Money net = stepDown(list, money(100), t).net;
      EXPECT_LE(net, before);
      before = net;
    }
  }
}

TEST(Laws, ListPriceKeepsTheMarginItWasMadeFor) {
  for (unsigned seed = 1; seed <= kCases; ++seed) {
    Draw draw(seed);
    const SaleTerms t{draw.real(0, 0.6), draw.real(0, 0.1), draw.real(0, 0.1), 0.2};
    const double margin = draw.real(0, 0.6);
    const Money cost = money(draw.real(10, 900));
    const auto list = listToKeep(cost, margin, t);
    ASSERT_TRUE(list.has_value());
    EXPECT_NEAR(stepDown(*list, cost, t).margin, margin, 1e-6);
    EXPECT_FALSE(listToKeep(cost, 1.0 - t.fees - t.warranty, t).has_value());
  }
}

TEST(Laws, NothingOfTheOwnersIsLeftWhenTheTeamDoesEverything) {
  for (unsigned seed = 1; seed <= kCases; ++seed) {
    RouteInputs in = randomInputs(seed);
    for (Job& j : in.jobs)
      if (j.who == Who::Owner) j.who = Who::Bench;
    const BatchResult b = Reckoner(in).at(20);
    EXPECT_EQ(b.ownerHours, 0.0);
    EXPECT_FALSE(b.perOwnerHour.has_value());
  }
}

TEST(Laws, OwnersTimeCostsHoursAndNoMoney) {
  RouteInputs in = randomInputs(7);
  for (Job& j : in.jobs) j.who = Who::Owner;
  const BatchResult a = Reckoner(in).at(20);
  in.rates.ownerPerHour *= 3;
  const BatchResult b = Reckoner(in).at(20);
  EXPECT_EQ(a.stack.cost, b.stack.cost);
  EXPECT_GT(a.ownerHours, 0);
  for (Who who : {Who::Machinist, Who::Bench, Who::Packing, Who::Outside})
    EXPECT_EQ(a.hours[static_cast<std::size_t>(who)], 0.0);
}

TEST(Laws, ZeroHoursAWeekSaysWhoIsMissing) {
  RouteInputs in = randomInputs(3);
  in.jobs = {job("milling", Who::Machinist, Takes::Machine), job("bench", Who::Bench, Takes::Bench)};
  in.jobs[0].attended = 0.35;
  in.week.bench = 0;
  const Capacity c = Reckoner(in).at(20).capacity;
  ASSERT_EQ(c.missing.size(), 1u);
  EXPECT_EQ(c.missing[0], "bench");
  EXPECT_EQ(c.bottleneck, -1);
  in.week = {0, 0, 0, 0, 0, 0, 0, 0, 0, 0};
  const Capacity none = Reckoner(in).at(20).capacity;
  EXPECT_EQ(none.missing.size(), 3u);  // machinist, bench, machine
  EXPECT_TRUE(std::isfinite(none.weeks.low) && std::isfinite(none.weeks.high));
}

TEST(Laws, AllHoursAreSomebodys) {
  // Moving a step from one to another moves its hours and nothing else of the hours.
  for (unsigned seed = 1; seed <= 50; ++seed) {
    RouteInputs in = randomInputs(seed);
    const auto total = [](const BatchResult& b) {
      double sumHours = 0;
      for (double h : b.hours) sumHours += h;
      return sumHours;
    };
    for (Job& j : in.jobs)
      if (j.takes == Takes::Machine) j.who = Who::Machinist;
    const double before = total(Reckoner(in).at(30));
    for (Job& j : in.jobs)
      if (j.takes != Takes::Machine) j.who = Who::Bench;
    EXPECT_NEAR(total(Reckoner(in).at(30)), before, 1e-9 * before);
  }
}

TEST(Laws, CurveAndBatchAgree) {
  Reckoner reckoner(randomInputs(11));
  const auto curve = reckoner.curve(60);
  ASSERT_EQ(curve.size(), 60u);
  for (int n : {1, 17, 60}) {
    const BatchResult b = reckoner.at(n);
    EXPECT_EQ(curve[static_cast<std::size_t>(n - 1)].left, b.left);
    EXPECT_EQ(curve[static_cast<std::size_t>(n - 1)].costPerSet, b.stack.perSet);
  }
}

// With constant costs the crossing is the closed form ceil(fixed / margin).
TEST(Laws, CrossingMeetsTheClosedForm) {
  for (unsigned seed = 1; seed <= kCases; ++seed) {
    Draw draw(seed);
    RouteInputs in;
    Job once = job("once", Who::Bench, Takes::Nothing), each = job("each", Who::Bench, Takes::Nothing);
    once.costPerDesign = money(std::floor(draw.real(100, 5000)));
    each.costPerSet = money(std::floor(draw.real(10, 200)));
    in.jobs = {once, each};
    in.terms.list = money(std::floor(draw.real(150, 500)));
    const auto expected = breakEven(once.costPerDesign, in.terms.list - each.costPerSet);
    const Crossing c = findCrossing(Reckoner(in).curve(1000), 1e9);
    if (expected && *expected <= 1000) {
      ASSERT_TRUE(c.cash.has_value()) << seed;
      EXPECT_EQ(*c.cash, std::max(1, *expected)) << seed;
    } else {
      EXPECT_FALSE(c.cash.has_value()) << seed;
    }
  }
}

}  // namespace
