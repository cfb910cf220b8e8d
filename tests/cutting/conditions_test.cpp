// Conditions chosen from the built-in tables against the owner's starting table and the published ranges.
#include <chipledger/cutting/tables.hpp>

#include <chipledger/cutting/formulas.hpp>

#include <gtest/gtest.h>

#include <string>
#include <vector>

using namespace chipledger;
using namespace chipledger::cutting;

namespace {

constexpr SpindleLimits kFast{.lowest = {200}, .highest = {24000}, .power = {3e6}, .torque = {15e3}};

Result<Conditions> choose(const std::string& cutter, CutRequest request, const std::string& material = "Ti-6Al-4V",
                          const SpindleLimits& spindle = kFast) {
  const auto& tables = builtInTables();
  return chooseConditions(*findMaterial(tables, material), *findCutter(tables, cutter), request, spindle, tables);
}

/// The owner's starting table (job 2.6): common practice, no source. Depth is the ap of its row.
struct OwnersRow {
  const char* cutter;
  CutKind kind;
  double depth_mm, cm3_min;
};
std::ostream& operator<<(std::ostream& out, const OwnersRow& row) { return out << row.cutter << " " << word(row.kind); }

class OwnersTable : public testing::TestWithParam<OwnersRow> {};

TEST_P(OwnersTable, RemovalRateIsWithinAFactorOfOneAndAHalf) {
  const auto& row = GetParam();
  const auto conditions = choose(row.cutter, {.kind = row.kind, .depth = mm(row.depth_mm)});
  ASSERT_TRUE(conditions) << sentence(conditions.error());
  EXPECT_GT(toCm3PerMin(conditions->removalRate), row.cm3_min / 1.5);
  EXPECT_LT(toCm3PerMin(conditions->removalRate), row.cm3_min * 1.5);
}

INSTANTIATE_TEST_SUITE_P(
    Job26, OwnersTable,
    testing::Values(OwnersRow{"flat-10", CutKind::Rough, 6, 5.1}, OwnersRow{"flat-8", CutKind::Rough, 6, 4.4},
                    OwnersRow{"flat-6", CutKind::Rough, 6, 2.4}, OwnersRow{"flat-4", CutKind::Rough, 5, 1.1},
                    OwnersRow{"flat-3", CutKind::Rough, 3, 0.40}, OwnersRow{"flat-2", CutKind::Rough, 1.0, 0.086},
                    OwnersRow{"flat-1.5", CutKind::Rough, 0.6, 0.033}, OwnersRow{"flat-1", CutKind::Rough, 0.3, 0.007},
                    OwnersRow{"flat-3", CutKind::Slot, 1.0, 0.69}, OwnersRow{"flat-1.5", CutKind::Slot, 0.25, 0.057},
                    OwnersRow{"flat-1", CutKind::Slot, 0.12, 0.012}));

/// What makers print for titanium at one size of cutter. Speeds are for the band of engagement we cut in; chip: feed
/// per tooth at ae >= D/2, where it is the chip thickness too; feed: the most printed for the light engagement, where
/// it is raised for thin chips. Ends are the lowest and highest of the pages named.
struct PublishedRow {
  const char* cutter;
  CutKind kind;
  double depth_mm;
  double speedLow, speedHigh;
  double chipLow, chipHigh, feedMost;
  Held thinnedBy{Held::Table};  ///< the limit that took the chip below what is printed
};
std::ostream& operator<<(std::ostream& out, const PublishedRow& row) {
  return out << row.cutter << " " << word(row.kind);
}

class PublishedRanges : public testing::TestWithParam<PublishedRow> {};

TEST_P(PublishedRanges, HoldTheChosenConditions) {
  const auto& row = GetParam();
  const auto c = choose(row.cutter, {.kind = row.kind, .depth = mm(row.depth_mm)});
  ASSERT_TRUE(c) << sentence(c.error());
  EXPECT_GE(toMPerMin(c->surface), row.speedLow) << c->heldBackBy;
  EXPECT_LE(toMPerMin(c->surface), row.speedHigh) << c->heldBackBy;
  if (row.thinnedBy == Held::Table) {
    EXPECT_GE(toMm(c->chipThickness), row.chipLow) << c->heldBackBy;
  } else {
    EXPECT_LT(toMm(c->chipThickness), row.chipLow);
    EXPECT_EQ(c->held, row.thinnedBy) << c->heldBackBy;
  }
  EXPECT_LE(toMm(c->chipThickness), row.chipHigh) << c->heldBackBy;
  EXPECT_LE(toMm(c->chipLoad), row.feedMost) << c->heldBackBy;
}

// Speeds: light cuts Tungaloy p.1084 (ae 0.05-0.1 D: 50-70) to Iscar end mills 2022 (60-90), walls to ATA p.1301 (101
// finish); slots Tungaloy (20-50); floors are wide and shallow: Tungaloy semi-finish (40-60) to ATA (84 rough).
// Chips, D6 up: Tungaloy p.1084 and p.1091, slot rows (D6-8 0.025-0.045, D10 0.03-0.06); D3 and D4 ATA p.1301 with the
// +-25 % of Dormer 2021 p.23, below that Dormer's classes A to K; the lower ends Dormer too. Feeds: Sandvik p.D155,
// ae <= 0.05 D, but slots by their own rows.
INSTANTIATE_TEST_SUITE_P(
    Titanium, PublishedRanges,
    testing::Values(PublishedRow{"flat-10", CutKind::Rough, 6, 50, 90, 0.030, 0.060, 0.127},
                    PublishedRow{"flat-8", CutKind::Rough, 6, 50, 90, 0.025, 0.045, 0.114},
                    PublishedRow{"flat-6", CutKind::Rough, 6, 50, 90, 0.025, 0.045, 0.099},
                    PublishedRow{"flat-4", CutKind::Rough, 5, 50, 90, 0.015, 0.025, 0.080},
                    PublishedRow{"flat-3", CutKind::Rough, 3, 50, 90, 0.011, 0.019, 0.070},
                    PublishedRow{"flat-2", CutKind::Rough, 1, 50, 90, 0.003, 0.012, 0.056},
                    PublishedRow{"flat-1.5", CutKind::Rough, 0.6, 50, 90, 0.002, 0.009, 0.040},
                    PublishedRow{"flat-1", CutKind::Rough, 0.3, 50, 90, 0.002, 0.006, 0.023},
                    PublishedRow{"flat-10", CutKind::Slot, 3.3, 20, 50, 0.030, 0.060, 0.060},
                    PublishedRow{"flat-10", CutKind::Slot, 5, 20, 50, 0.030, 0.060, 0.060, Held::Bending},
                    PublishedRow{"flat-8", CutKind::Slot, 2.6, 20, 50, 0.025, 0.045, 0.045},
                    PublishedRow{"flat-8", CutKind::Slot, 4, 20, 50, 0.025, 0.045, 0.045, Held::Bending},
                    PublishedRow{"flat-6", CutKind::Slot, 3, 20, 50, 0.025, 0.045, 0.045},
                    PublishedRow{"flat-4", CutKind::Slot, 1.5, 20, 50, 0.015, 0.025, 0.025},
                    PublishedRow{"flat-3", CutKind::Slot, 1, 20, 50, 0.011, 0.019, 0.019},
                    PublishedRow{"flat-2", CutKind::Slot, 0.4, 20, 50, 0.003, 0.012, 0.012},
                    PublishedRow{"flat-1.5", CutKind::Slot, 0.25, 20, 50, 0.002, 0.009, 0.009},
                    PublishedRow{"flat-1", CutKind::Slot, 0.12, 20, 50, 0.002, 0.006, 0.006},
                    PublishedRow{"flat-8", CutKind::Wall, 8, 50, 101, 0.025, 0.045, 0.150},
                    PublishedRow{"flat-6", CutKind::Wall, 6, 50, 101, 0.025, 0.045, 0.130},
                    PublishedRow{"flat-3", CutKind::Wall, 3, 50, 101, 0.011, 0.019, 0.070},
                    PublishedRow{"flat-1", CutKind::Wall, 1, 50, 101, 0.002, 0.006, 0.023},
                    PublishedRow{"flat-10", CutKind::Floor, 0.15, 40, 84, 0.030, 0.060, 0.060},
                    PublishedRow{"flat-6", CutKind::Floor, 0.15, 40, 84, 0.025, 0.045, 0.045},
                    PublishedRow{"flat-3", CutKind::Floor, 0.15, 40, 84, 0.011, 0.019, 0.019},
                    PublishedRow{"flat-1", CutKind::Floor, 0.05, 40, 84, 0.002, 0.006, 0.007}),
    [](const auto& row) {
      std::string name = std::string(row.param.cutter) + "_" + word(row.param.kind);
      if (row.param.thinnedBy != Held::Table) name += "_deep";
      for (char& letter : name) letter = letter == '-' || letter == '.' ? '_' : letter;
      return name;
    });

TEST(PublishedRanges, TheFeedOfDiameterEightIsTheThinChipFactorAndNothingElse) {
  // 0.076 mm programmed stands above the 0.075 of Tungaloy's row for ae 0.05-0.1 D (p.1091). The page gives one feed
  // for the whole band: at its wide end, factor 1.67, that is a chip of 0.045 mm; we cut 0.075 D wide, factor 1.90.
  const auto c = choose("flat-8", {.kind = CutKind::Rough, .depth = mm(6)});
  ASSERT_TRUE(c);
  const double e = c->radialStep / mm(8);
  EXPECT_NEAR(toMm(c->chipLoad), 0.040 * thinningFactor(e), 1e-9);
  EXPECT_LE(toMm(c->chipThickness), 0.075 / thinningFactor(0.10));
  EXPECT_GE(toMm(c->chipThickness), 0.040 / thinningFactor(0.05));  // p.1084, low end of the band
  EXPECT_EQ(c->held, Held::Table);
}

TEST(PublishedRanges, ASpeedBelowThemSaysThatTheSpindleMovedIt) {
  const SpindleLimits slow{.lowest = {200}, .highest = {8000}, .power = {3e6}, .torque = {15e3}};
  int moved = 0;
  for (const char* cutter : {"flat-10", "flat-8", "flat-6", "flat-4", "flat-3", "flat-2", "flat-1.5", "flat-1"}) {
    const auto c = choose(cutter, {.kind = CutKind::Rough, .depth = mm(1)}, "Ti-6Al-4V", slow);
    ASSERT_TRUE(c);
    if (toMPerMin(c->surface) >= 50 * (1 - 1e-9)) continue;
    ++moved;
    EXPECT_EQ(c->held, Held::Spindle) << cutter << ": " << c->heldBackBy;
    EXPECT_EQ(c->heldBackBy, "spindle 8000 rpm");
  }
  EXPECT_EQ(moved, 2);  // 1.5 and 1 mm want 10,600 and 15,900 rpm
}

TEST(PublishedRanges, AChipBelowThemFarFromTheHolderSaysThatReachMovedIt) {
  const auto c = choose("flat-3", {.kind = CutKind::Wall, .depth = mm(3), .reach = mm(15)});
  ASSERT_TRUE(c);
  EXPECT_LT(toMm(c->chipThickness), 0.011);
  EXPECT_EQ(c->held, Held::Reach) << c->heldBackBy;
  EXPECT_EQ(c->heldBackBy, "reach 5.0 D");
}

}  // namespace
