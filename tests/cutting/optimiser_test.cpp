// The search for the cheapest cut against every point of a grid.
#include "support/reference/grid_cut.hpp"

#include <gtest/gtest.h>

#include <string>
#include <vector>

using namespace chipledger;
using namespace chipledger::cutting;

namespace {

struct Case {
  const char* name;
  const char* cutter;
  double depth_mm{};     ///< 0: free
  double stickOut_mm{};  ///< 0: as in the crib
  double highest_rpm{24000};
  double power_kw{5}, torque_nm{20};
  double rate{1.0};
  double price{-1};
  double bend_mm{-1};
  double radial{-1};  ///< widest radial step, share of D; -1: table
  double chipExponent{-1};
  const char* material{"Ti-6Al-4V"};
};
std::ostream& operator<<(std::ostream& out, const Case& c) { return out << c.name; }

class CheapestCut : public testing::TestWithParam<Case> {};

TEST_P(CheapestCut, IsWithinOnePercentOfTheBestOfAGrid) {
  const Case& c = GetParam();
  CuttingTables tables = builtInTables();
  if (c.bend_mm > 0) tables.limits.rows[static_cast<std::size_t>(LimitName::BendRough)].value = c.bend_mm;
  for (auto& row : tables.engagements) {
    if (c.radial > 0 && row.kind == CutKind::Rough) row.radial = c.radial;
  }
  for (auto& row : tables.lives) {
    if (c.chipExponent > 0) row.chipExponent = c.chipExponent;
  }
  const Material material = *findMaterial(tables, c.material);
  Cutter cutter = *findCutter(tables, c.cutter);
  if (c.stickOut_mm > 0) cutter.stickOut = mm(c.stickOut_mm);
  if (c.price >= 0) cutter.price = money(c.price);
  const CutRequest request{.kind = CutKind::Rough, .depth = mm(c.depth_mm), .moneyPerMinute = c.rate};
  const SpindleLimits spindle{rpm(200), rpm(c.highest_rpm), kilowatts(c.power_kw), newtonMetres(c.torque_nm)};

  const auto ours = chooseConditions(material, cutter, request, spindle, tables);
  ASSERT_TRUE(ours) << sentence(ours.error());
  const test::RoughingByGrid grid(material, cutter, request, spindle, tables);
  const double ap = toMm(ours->axialStep), ae = toMm(ours->radialStep);
  // The twin agrees that our cut breaks no limit, and on its price.
  const double priced =
      grid.moneyAt(toMPerMin(ours->surface), toMm(ours->chipThickness), ap, ae, grid.forcesAt(ap, ae), 1e-6);
  EXPECT_NEAR(priced, ours->moneyPerCm3, 1e-6 * ours->moneyPerCm3);
  const test::GridCut best = grid.search(28);
  EXPECT_LE(ours->moneyPerCm3, 1.01 * best.money)
      << "grid: v " << best.speed << " h " << best.chip << " ap " << best.axial << " ae " << best.radial << "; ours: v "
      << toMPerMin(ours->surface) << " h " << toMm(ours->chipThickness) << " ap " << ap << " ae " << ae
      << " held back by " << ours->heldBackBy;
  // And nothing beside our point is cheaper.
  for (const double speed : {0.92, 0.96, 1.0, 1.04, 1.08}) {
    for (const double chip : {0.9, 0.95, 1.0, 1.05, 1.1}) {
      for (const double radial : {0.85, 0.93, 1.0, 1.07, 1.15}) {
        for (const double axial :
             c.depth_mm > 0 ? std::vector<double>{1.0} : std::vector<double>{0.9, 0.95, 1.0, 1.05, 1.1}) {
          const double money = grid.moneyAt(toMPerMin(ours->surface) * speed, toMm(ours->chipThickness) * chip,
                                            ap * axial, ae * radial, grid.forcesAt(ap * axial, ae * radial));
          EXPECT_LE(ours->moneyPerCm3, 1.01 * money) << speed << " " << chip << " " << radial << " " << axial;
        }
      }
    }
  }
}

INSTANTIATE_TEST_SUITE_P(
    Grid, CheapestCut,
    testing::Values(Case{"plain-10", "flat-10", 6}, Case{"plain-6-two-steps", "flat-6", 12.8},
                    Case{"plain-3", "flat-3", 3}, Case{"plain-1", "flat-1", 0.3}, Case{"free-depth", "flat-6"},
                    Case{"free-depth-bending", "flat-6", 0, 45}, Case{"long-6", "flat-6", 9, 40},
                    Case{"long-10", "flat-10", 14, 60}, Case{"long-3", "flat-3", 6, 30},
                    Case{"long-2", "flat-2", 1, 24}, Case{"weak-motor", "flat-10", 15, 0, 24000, 0.15},
                    Case{"weak-torque", "flat-10", 15, 0, 24000, 5, 0.5}, Case{"slow-spindle", "flat-3", 3, 0, 4000},
                    Case{"dear-minutes", "flat-6", 6, 0, 24000, 5, 20, 20.0},
                    Case{"dear-cutter", "flat-6", 6, 0, 24000, 5, 20, 1.0, 400},
                    Case{"dear-small-cutter", "flat-1", 0.3, 0, 24000, 5, 20, 0.2, 400},
                    Case{"stiff-limit", "flat-4", 5, 0, 24000, 5, 20, 1.0, -1, 0.004},
                    Case{"stiff-limit-free", "flat-10", 0, 0, 24000, 5, 20, 1.0, -1, 0.006},
                    Case{"wide-band", "flat-6", 6, 0, 24000, 5, 20, 1.0, -1, -1, 0.35},
                    Case{"wide-band-bending", "flat-6", 9, 35, 24000, 5, 20, 1.0, -1, 0.03, 0.4},
                    Case{"chip-wears", "flat-6", 6, 0, 24000, 5, 20, 1.0, -1, -1, -1, 2.5},
                    Case{"aluminium", "flat-10", 10, 0, 12000, 5, 20, 1.0, -1, -1, -1, -1, "6061-T6"},
                    Case{"aluminium-weak", "flat-10", 10, 0, 12000, 0.8, 20, 1.0, -1, -1, -1, -1, "6061-T6"},
                    Case{"stainless", "flat-3", 3, 30, 12000, 5, 20, 1.0, -1, -1, -1, -1, "316L"}),
    [](const auto& row) {
      std::string name = row.param.name;
      for (char& letter : name) letter = letter == '-' ? '_' : letter;
      return name;
    });

}  // namespace
