// Life, the share of a cutter a piece uses, and whole cutters for a batch.
#include <chipledger/cutting/tables.hpp>
#include <chipledger/cutting/wear.hpp>

#include <gtest/gtest.h>

#include <cmath>

using namespace chipledger;
using namespace chipledger::cutting;

namespace {

TEST(Life, InTitaniumFallsAsTheMillingTestsSay) {
  // Tatar, Sjoberg, Andersson, Heliyon 6 (2020) e04217: 1 % more speed costs 4 % of life, 1 % more width 1 %.
  const LifeRow* titanium = nullptr;
  for (const LifeRow& row : builtInTables().lives)
    if (row.material == "Ti-6Al-4V") titanium = &row;
  ASSERT_NE(titanium, nullptr);
  const auto life = [&](double speed, double width) {
    return lifeAtSpeed(minutes(100), mPerMin(1), mPerMin(speed), titanium->n) *
           std::pow(width, -titanium->radialExponent);
  };
  EXPECT_NEAR(toMinutes(life(1.01, 1)), 96, 0.2);
  EXPECT_NEAR(toMinutes(life(1, 1.01)), 99, 0.1);
  EXPECT_NEAR(toMinutes(life(1.10, 1)), 68, 0.5);
  EXPECT_NEAR(toMinutes(life(0.90, 1)), 152, 0.5);
}

/// Reach / D and what it leaves of life: common practice, no source.
TEST(Life, FallsWithReachAtOneSpeedAndChip) {
  struct Row {
    double ratio, left;
  };
  CuttingTables tables = builtInTables();
  for (auto& row : tables.speeds) row.low_m_min = row.high_m_min = row.start_m_min;
  for (auto& row : tables.lives) row.chipExponent = 0;  // the chip falls with reach too and would hide it
  const Material titanium = *findMaterial(tables, "Ti-6Al-4V");
  Cutter cutter = *findCutter(tables, "flat-6");
  cutter.stickOut = mm(60);
  const SpindleLimits spindle;
  const auto lifeAt = [&](double ratio) {
    const auto c = chooseConditions(titanium, cutter, {.kind = CutKind::Wall, .depth = mm(2), .reach = mm(6 * ratio)},
                                    spindle, tables);
    EXPECT_TRUE(c);
    return toMinutes(c->life);
  };
  for (const Row& row : {Row{3, 1.0}, Row{4, 0.8}, Row{5, 0.6}, Row{6, 0.45}, Row{8, 0.25}})
    EXPECT_NEAR(lifeAt(row.ratio) / lifeAt(2), row.left, 1e-9) << row.ratio;
}

TEST(Share, IsSteadyAndFullWidthAndHolesApart) {
  Conditions c;
  c.life = minutes(100);
  c.slotLife = minutes(20);
  c.lifeHoles = 50;
  EXPECT_NEAR(shareOfCutter(c, {.cutting = minutes(10), .fullWidth = minutes(4), .holes = 0}), 6.0 / 100 + 4.0 / 20,
              1e-12);
  EXPECT_NEAR(shareOfCutter(c, {.cutting = {}, .fullWidth = {}, .holes = 5}), 0.1, 1e-12);
  // Full width cannot last longer than the cut itself.
  EXPECT_NEAR(shareOfCutter(c, {.cutting = minutes(2), .fullWidth = minutes(9), .holes = 0}), 2.0 / 20, 1e-12);
}

TEST(Share, OfAFullSlotIsLargerThanOfASideCutAtTheTableSpeeds) {
  // Left to choose, both run at the speed of the cheapest life and last alike; at the speeds of the table the slot's
  // row says half.
  CuttingTables tables = builtInTables();
  for (auto& row : tables.speeds) row.low_m_min = row.high_m_min = row.start_m_min;
  const auto c = chooseConditions(*findMaterial(tables, "Ti-6Al-4V"), *findCutter(tables, "flat-6"),
                                  {.kind = CutKind::Rough, .depth = mm(6)}, {}, tables);
  ASSERT_TRUE(c);
  EXPECT_NEAR(toMinutes(c->life), 60, 1e-6);
  EXPECT_NEAR(toMinutes(c->slotLife), 30, 1e-6);
  EXPECT_GT(shareOfCutter(*c, {.cutting = minutes(1), .fullWidth = minutes(1), .holes = 0}),
            shareOfCutter(*c, {.cutting = minutes(1), .fullWidth = {}, .holes = 0}));
}

struct Batch {
  const char* name;
  double share;
  int pieces;
  double diameter_mm;
  int buy;
};
std::ostream& operator<<(std::ostream& out, const Batch& b) { return out << b.name; }
class WholeCutters : public testing::TestWithParam<Batch> {};

// Breakage 15 % below 2 mm and 5 % from there, one spare: the built-in rows.
TEST_P(WholeCutters, AreBoughtForABatch) {
  const Batch& b = GetParam();
  const CutterPurchase p = cuttersToBuy(b.share, b.pieces, mm(b.diameter_mm), builtInTables().limits);
  EXPECT_EQ(p.buy, b.buy);
  EXPECT_NEAR(p.worn, b.share * b.pieces, 1e-12);
  EXPECT_GE(p.buy, p.buy > 0 ? p.worn + p.broken + p.spares - 1e-9 : 0.0);
}

INSTANTIATE_TEST_SUITE_P(Batches, WholeCutters,
                         testing::Values(Batch{"large", 0.068, 50, 10, 5},       // 3.4 x 1.05 = 3.57: 4 and a spare
                                         Batch{"small", 0.068, 50, 1, 5},        // 3.4 x 1.15 = 3.91
                                         Batch{"small_more", 0.07, 50, 1, 6},    // 3.5 x 1.15 = 4.03
                                         Batch{"whole", 0.2, 100, 6, 22},        // 20 x 1.05 = 21 exactly
                                         Batch{"hardly_used", 0.001, 10, 6, 2},  // one, and a spare
                                         Batch{"unused", 0.0, 50, 6, 0}),
                         [](const auto& row) { return std::string(row.param.name); });

TEST(WholeCutters, NeverFallWithTheBatch) {
  int before = 0;
  for (int pieces = 1; pieces <= 400; ++pieces) {
    const int now = cuttersToBuy(0.013, pieces, mm(3), builtInTables().limits).buy;
    EXPECT_GE(now, before);
    before = now;
  }
}

}  // namespace
