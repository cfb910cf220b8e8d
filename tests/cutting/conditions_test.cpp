// Conditions chosen from the built-in tables against the owner's starting table and the published ranges.
#include <chipledger/cutting/tables.hpp>

#include <gtest/gtest.h>

#include <string>

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

}  // namespace
