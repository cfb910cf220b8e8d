// The choice of cutters against whole plans with every other choice, and places that only one of them passes.
#include <chipledger/path/kit.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <numbers>

#include "path/shop_floor.hpp"

namespace chipledger::path {
namespace {

std::vector<cutting::Cutter> cribOf(const std::vector<std::string>& mills) {
  std::vector<cutting::Cutter> crib;
  for (const cutting::Cutter& c : cutting::builtInTables().crib)
    if (c.kind != cutting::CutterKind::Flat || std::find(mills.begin(), mills.end(), c.id) != mills.end())
      crib.push_back(c);
  return crib;
}

constexpr double kMoneyPerMinute = 1.0;
constexpr double kChangeSeconds = 8.0;

/// Length over feed, wear and changes of every operation with an end mill.
double millingMoney(const SetupPlan& plan) {
  double money = 0.0;
  std::string inSpindle;
  for (const Operation& op : plan.operations) {
    const cutting::Cutter cutter = *cutting::findCutter(cutting::builtInTables(), op.cutter);
    if (cutter.kind != cutting::CutterKind::Flat) continue;
    double seconds = 0.0, full = 0.0;
    for (const Move& m : op.moves) {
      const double s = length(m.segment) / (m.kind == MoveKind::Rapid ? 20000.0 / 60.0 : m.feed.base);
      seconds += s;
      if (m.kind == MoveKind::Cut && toMm(m.width) > 0.95 * toMm(cutter.diameter)) full += s;
    }
    money += seconds / 60.0 * kMoneyPerMinute;
    money += toUnits(cutter.price) *
             ((seconds - full) / toSeconds(op.conditions.life) + full / toSeconds(op.conditions.slotLife));
    if (op.cutter != inSpindle) money += kChangeSeconds / 60.0 * kMoneyPerMinute;
    inSpindle = op.cutter;
  }
  return money;
}

double metalLeft_mm3(const ShopFloor& floor) { return toMm3(toVolume(field::metalLeft(floor.stock))); }

/// A plate with a pocket, a groove and a cut that is narrower still.
struct Grooved {
  test::PlatePart part;
  Grooved() : part(test::roundedRectangle({0, 0}, {30, 20}, 3), 2.0, 2.0) {
    part.pocket(test::roundedRectangle({3, 9}, {13, 17}, 1.8), 0.8);
    part.pocket(test::roundedRectangle({16, 12}, {28, 13.8}, 0.89), 0.8);  // 1.8 wide: 1.5 passes, without an allowance
    part.window(test::roundedRectangle({6, 4}, {24, 5.0}, 0.49));          // 1.0 wide
    part.finish();
  }
};

struct Planned {
  double money{}, left{};
  std::vector<std::string> used;
  SetupPlan plan;
};
Planned planned(const std::vector<std::string>& mills) {
  Grooved p;
  ShopFloor floor(p.part, -0.3, 2.3, 100);
  floor.side_mm = 1.0;
  floor.crib = cribOf(mills);
  Planned out;
  out.plan = floor.run(1, {0, 1, 2, 3, 4}, false);
  out.money = millingMoney(out.plan);
  out.left = metalLeft_mm3(floor);
  for (const std::string& id : out.plan.cuttersUsed)
    if (id.starts_with("flat")) out.used.push_back(id);
  EXPECT_EQ(out.plan.gouged.um3, 0);
  return out;
}

TEST(Chain, NoOtherChoiceOfCuttersMakesACheaperPlan) {
  const std::vector<std::string> all{"flat-10", "flat-6", "flat-4", "flat-3", "flat-1.5", "flat-0.8"};
  const Planned chosen = planned(all);
  double cheapest = 1e300;
  std::vector<std::string> best;
  for (unsigned set = 1; set < 1u << all.size(); ++set) {
    std::vector<std::string> mills;
    for (std::size_t i = 0; i < all.size(); ++i)
      if ((set >> i & 1u) != 0) mills.push_back(all[i]);
    const Planned other = planned(mills);
    if (other.used != mills) continue;             // the plan of a smaller set, looked at there
    if (other.left > chosen.left + 0.5) continue;  // leaves what the chosen one takes
    if (other.money < cheapest) {
      cheapest = other.money;
      best = mills;
    }
  }
  fmt::print("chosen {}: {:.3f}; cheapest of all sets {}: {:.3f}\n", fmt::join(chosen.used, " "), chosen.money,
             fmt::join(best, " "), cheapest);
  // The weights are formulas, the plans are walked: near ties may fall either way.
  EXPECT_LE(chosen.money, 1.10 * cheapest);
}

TEST(Chain, AGrooveGoesToTheLargestCutterThatPassesIt) {
  const Planned p = planned({"flat-6", "flat-4", "flat-1.5", "flat-0.8"});
  double small = 0.0;
  bool slotted = false;
  for (const Operation& op : p.plan.operations) {
    if (op.kind == OperationKind::Slot && op.cutter == "flat-1.5") {
      slotted = true;
      EXPECT_GT(static_cast<double>(op.removed.um3) * 1e-9, 0.7 * 12 * 1.8 * 1.2);
    }
    if (op.cutter != "flat-0.8") continue;
    EXPECT_TRUE(op.kind == OperationKind::Slot || op.kind == OperationKind::Wall) << op.id;
    for (const Move& m : op.moves)
      if (m.kind == MoveKind::Cut) small += length(m.segment);
  }
  EXPECT_TRUE(slotted);
  // The small one follows its own cut, 17.0 mm long: full-width layers of 0.096 down to 0.08 under the plate, and
  // walls.
  EXPECT_LT(small, (std::ceil(2.38 / 0.09) + 20) * 17.2);
}

}  // namespace
}  // namespace chipledger::path
