// People, scrap and what is paid once, held against arithmetic by hand; answers that move the price the right way.
#include <chipledger/estimate/price.hpp>
#include <chipledger/shop/learning.hpp>

#include <fstream>

#include "drawn_estimate.hpp"

using namespace chipledger;
using namespace chipledger::test;

namespace {

draw::Chassis chassis() {
  draw::Chassis c = plainPlate();
  c.islands.push_back(island("i", {-14, 0}, 14, 8, 1.5));
  c.bores = {bore("b", {6, 0}, 4), bore("m", {18, 0}, 2.05)};
  return c;
}

double benchMinutes(const ledger::Ledger& book) {
  double sum = 0.0;
  for (const ledger::Entry& e : book.entries())
    if (e.line == ledger::Line::People && e.setup == ledger::kShared) sum += toMinutes(toDuration(e.hands));
  return sum;
}

struct Booked {
  Booked(const shop::Shop& shop) : part(readDrawn(chassis()), shop, quick(false, 200)) {}
  Replannable part;
  estimate::PriceInput input() const {
    estimate::PriceInput in;
    in.plan = &part.replanner().base();
    in.details = &part.details();
    in.holes = part.request().holes;
    in.shop = &part.shop();
    return in;
  }
};

estimate::Estimate answered(const std::string& answers, const shop::Shop& shop, const part::Part& part) {
  estimate::Options options = quick(false, 200);
  const std::string file = scratchFile(".toml");
  std::ofstream(file) << answers;
  if (!answers.empty()) options.answersFile = file;
  estimate::Estimate e = estimated(part, shop, options);
  std::filesystem::remove(file);
  return e;
}

bool taps(const estimate::Estimate& e) {
  for (const estimate::OperationResult& op : e.operations)
    if (op.operation.kind == path::OperationKind::Tap || op.operation.kind == path::OperationKind::ThreadMill)
      return true;
  return false;
}

Money at50(const estimate::Estimate& e) { return e.batches[2].perPiece; }

}  // namespace

TEST(People, BenchScrapAndFixtureByHand) {
  const shop::Shop shop = shop::builtInShop();
  const Booked booked(shop);
  const estimate::PriceInput in = booked.input();
  const int pieces = 50;
  const ledger::Ledger book = estimate::bookPiece(in, pieces);

  // Hand work alone learns: (35 plate + 3 island) x the mean of 50 pieces over that of a usual batch.
  const double learn = shop::learningFactor(0.93, pieces);
  EXPECT_NEAR(benchMinutes(book), (35.0 + 3.0) * learn, 1e-6);
  EXPECT_GT(learn, 1.0);
  // Machine minutes and loading do not.
  const ledger::Ledger many = estimate::bookPiece(in, 100);
  EXPECT_EQ(book.minutes().likely.ns, many.minutes().likely.ns);
  EXPECT_EQ(book.cost(ledger::Line::Machine), many.cost(ledger::Line::Machine));

  // People: bench at 34, the attended share of the machine and two loadings of 3 min at 40 (+ bow check 3 min where
  // more than 60 % goes).
  const double machine = toMinutes(toDuration(book.minutes().likely));
  const bool heavy = in.plan->cutAwayShare > 0.60;
  const double people = (35.0 + 3.0) * learn * 34 / 60 + (0.35 * machine + 2 * 3.0 + (heavy ? 3.0 : 0.0)) * 40 / 60;
  EXPECT_NEAR(toUnits(book.cost(ledger::Line::People)), people, 0.001);

  // Scrap: 3 % plain + 3 % any island + 0.5 % this one; a lost piece takes its metal and four fifths of what was spent
  // at the machine with it, not the bench.
  const double s = 0.03 + 0.03 + 0.005;
  EXPECT_NEAR(estimate::scrapShare(in), s, 1e-12);
  const double atMachine = toUnits(book.cost(ledger::Line::Machine)) + toUnits(book.cost(ledger::Line::Cutters)) +
                           people - (35.0 + 3.0) * learn * 34 / 60;
  EXPECT_NEAR(toUnits(book.cost(ledger::Line::Scrap)),
              (toUnits(book.cost(ledger::Line::Metal)) + 0.8 * atMachine) * s / (1 - s), 0.001);

  // Once per design: 11.25 + 8.75 h at 40, 156 + 106 bought, over 50 pieces; two setups of 45 min at 46 + 40.
  EXPECT_NEAR(toUnits(book.cost(ledger::Line::Fixture)), ((11.25 + 8.75) * 40 + 156 + 106) / pieces, 0.001);
  EXPECT_NEAR(toUnits(book.cost(ledger::Line::Setup)), 2 * 0.75 * (46 + 40) / pieces, 0.001);
}

TEST(People, EachValueIsTheShopsAndMarkedGuessedUntilEntered) {
  for (const char* key : {"bench.per_island_min", "bench.learning", "scrap.any_island_share", "once.hours_islands",
                          "once.bought_islands", "hands.load_per_setup_min", "boss.price", "boss.pressed_min"}) {
    const shop::Setting* setting = shop::findSetting(key);
    ASSERT_NE(setting, nullptr) << key;
    EXPECT_EQ(setting->from, From::Guessed) << key;
  }
}

TEST(People, TouchesOfTheProbeAreMachineMinutesOfEachSetup) {
  shop::Shop shop = shop::builtInShop();
  const Booked booked(shop);
  estimate::PriceInput in = booked.input();
  const ledger::Ledger without = estimate::bookPiece(in, 50);
  shop.machineSide.probeTouches = 3;
  in.shop = &shop;
  const ledger::Ledger with = estimate::bookPiece(in, 50);
  const double setups = static_cast<double>(in.plan->runs.size());
  const double each = 3 * toMinutes(shop.machine.probe);
  EXPECT_NEAR(toMinutes(toDuration(with.minutes().likely)) - toMinutes(toDuration(without.minutes().likely)),
              setups * each, 1e-9);
  EXPECT_NEAR(toUnits(with.cost(ledger::Line::Machine)) - toUnits(without.cost(ledger::Line::Machine)),
              setups * each * 46 / 60, 0.001);
}

TEST(People, BowCheckAndReclampAreStepsWhereMuchIsCutAway) {
  shop::Shop shop = shop::builtInShop();
  const Booked booked(shop);
  estimate::PriceInput in = booked.input();
  const double share = in.plan->cutAwayShare;
  const auto people = [&](double limit) {
    shop.machineSide.bowShare = limit;
    in.shop = &shop;
    return estimate::bookPiece(in, 50);
  };
  const ledger::Ledger light = people(share + 0.01), heavy = people(share - 0.01);
  // One minute to measure and two to clamp anew, at 40 an hour, in every setup but the first.
  const double setups = static_cast<double>(in.plan->runs.size()) - 1.0;
  EXPECT_GE(setups, 1.0);
  EXPECT_NEAR(toUnits(heavy.cost(ledger::Line::People)) - toUnits(light.cost(ledger::Line::People)),
              setups * (1.0 + 2.0) * 40 / 60, 0.001);
  EXPECT_EQ(heavy.cost(ledger::Line::Machine), light.cost(ledger::Line::Machine));
  // The shop's minutes, whatever they are.
  shop.machineSide.reclamp = minutes(9);
  const ledger::Ledger slow = people(share - 0.01);
  EXPECT_NEAR(toUnits(slow.cost(ledger::Line::People)) - toUnits(heavy.cost(ledger::Line::People)),
              setups * 7.0 * 40 / 60, 0.001);
}

TEST(Answers, ChangeThePriceTheRightWay) {
  const part::Part part = readDrawn(chassis());
  shop::Shop shop = medlarShop();
  shop.scrap.perThread = 0.005;
  const estimate::Estimate open = answered("", shop, part);
  // bore-1 is the pivot, bore-2 the tap drill bore: by place along the plate.
  ASSERT_TRUE(std::any_of(open.details.questions.begin(), open.details.questions.end(),
                          [](const detail::Question& q) { return q.key == "bore-2.thread"; }));
  EXPECT_FALSE(taps(open)) << "a diameter that looks like a tap drill is asked about, not tapped";

  const estimate::Estimate thread = answered("[bore-2]\nthread = \"M2.5\"\n", shop, part);
  EXPECT_TRUE(taps(thread));
  EXPECT_GT(at50(thread), at50(open));
  EXPECT_NEAR(thread.scrapShare - open.scrapShare, 0.005, 1e-12);
  EXPECT_LT(thread.details.questions.size(), open.details.questions.size());

  const estimate::Estimate none = answered("[bore-2]\nthread = \"no\"\n", shop, part);
  EXPECT_FALSE(taps(none));
  EXPECT_EQ(at50(none), at50(open));
  EXPECT_LT(none.details.questions.size(), open.details.questions.size());

  const estimate::Estimate tight = answered("[part]\ntight-bores = [\"bore-1\"]\n", shop, part);
  EXPECT_TRUE(std::any_of(tight.operations.begin(), tight.operations.end(), [](const estimate::OperationResult& op) {
    return op.operation.kind == path::OperationKind::Ream;
  }));
  EXPECT_GT(at50(tight), at50(open));
}

// The answers of one revision on the next: an island grew, a bore came in front and took the name bore-1.
TEST(Answers, SurviveANewRevisionOfThePart) {
  draw::Chassis next = chassis();
  next.islands.front().height = mm(2.0);
  next.bores.insert(next.bores.begin(), bore("new", {-25, 8}, 3));
  const part::Part first = readDrawn(chassis()), second = readDrawn(next);
  const shop::Shop shop = medlarShop();
  const estimate::Estimate e1 = answered("", shop, first);
  // As `look --write-answers` writes it: the place stands beside the name.
  std::string answers;
  for (const detail::Detail& d : e1.details.list)
    if (d.name == "bore-2")
      answers = "[bore-2]\nat = [" + std::to_string(d.dimensions.centre->x) + ", " +
                std::to_string(d.dimensions.centre->y) + ", " + std::to_string(d.dimensions.centre->z) +
                "]\nthread = \"M2.5\"\n";
  ASSERT_FALSE(answers.empty());
  const estimate::Estimate e2 = answered(answers, shop, second);
  EXPECT_TRUE(taps(e2));
  for (const detail::Detail& d : e2.details.list) {
    if (d.kind != detail::DetailKind::Thread) continue;
    EXPECT_NEAR(d.dimensions.centre->x, 18, 1e-6);
    EXPECT_EQ(d.thread, "M2.5");
  }
}
