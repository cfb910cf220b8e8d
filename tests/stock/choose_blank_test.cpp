#include <gtest/gtest.h>
#include <chipledger/stock/stock.hpp>

using namespace chipledger;
using namespace chipledger::stock;

namespace {

/// Plate steps usually found (common practice, no source).
PlateRules usualRules() {
  PlateRules rules;
  for (const double t : {1.6, 2.03, 2.54, 3.18, 4.0, 4.76, 5.0, 6.0, 6.35, 8.0, 9.5, 10.0, 12.7})
    rules.steps.push_back(mm(t));
  return rules;
}

/// A part of the given plan and height whose volume is that of a body of `body` mm all over its outline.
Result<Blank> blankOf(double height, double body, const PlateRules& rules = usualRules()) {
  Box3 box;
  box.add({-49, -13, 0});
  box.add({49, 13, height});
  return chooseBlank(box, mm3(2010.0 * body), rules);
}

struct StepRow {
  const char* name;
  double body_mm, island_mm, step_mm, left_mm;
};
void PrintTo(const StepRow& row, std::ostream* out) { *out << row.name; }

class PlateStep : public testing::TestWithParam<StepRow> {};

}  // namespace

// Worked by hand: finished height + 2 x 0.30 skim + 0.30 under-thickness, next step up.
TEST_P(PlateStep, IsTheNextOneUp) {
  const StepRow row = GetParam();
  const auto blank = blankOf(row.body_mm + row.island_mm, row.body_mm);
  ASSERT_TRUE(blank) << sentence(blank.error());
  EXPECT_DOUBLE_EQ(toMm(blank->step), row.step_mm);
  EXPECT_NEAR(toMm(blank->leftBeforeNextStep), row.left_mm, 1e-9);
  EXPECT_NEAR(toMm(blank->needed), row.step_mm - row.left_mm, 1e-9);
  EXPECT_NEAR(blank->size_mm.z, row.step_mm, 1e-12);
}
INSTANTIATE_TEST_SUITE_P(
    Islands, PlateStep,
    testing::Values(StepRow{"height_3_2", 2.0, 3.2, 6.35, 0.25}, StepRow{"height_3_1_fills_6", 2.0, 3.1, 6.0, 0.0},
                    StepRow{"height_3_45_fills_6_35", 2.0, 3.45, 6.35, 0.0}, StepRow{"height_3_5", 2.0, 3.5, 8.0, 1.6},
                    StepRow{"rope_grip", 2.2, 4.6, 8.0, 0.30}, StepRow{"just_fits_8", 2.2, 4.9, 8.0, 0.0},
                    StepRow{"needs_9_5", 2.2, 5.0, 9.5, 1.4}, StepRow{"lens_holder", 1.8, 2.2, 5.0, 0.1}));

// Plain plates: 2 x 0.15 skim, under-thickness by the sheet table.
TEST(ChooseBlank, PlainPlateTakesTheLightSkimAndTheSheetTolerance) {
  const auto two = blankOf(2.0, 2.0);
  ASSERT_TRUE(two);
  EXPECT_DOUBLE_EQ(toMm(two->step), 2.54);
  EXPECT_DOUBLE_EQ(toMm(two->skimPerSide), 0.15);
  EXPECT_NEAR(toMm(two->needed), 2.0 + 0.30 + 0.20, 1e-12);
  const auto thicker = blankOf(2.2, 2.2);
  ASSERT_TRUE(thicker);
  EXPECT_DOUBLE_EQ(toMm(thicker->step), 3.18);
}

TEST(ChooseBlank, UnderThicknessFollowsTheSheetTable) {
  struct Row {
    double step, under;
  };
  for (const Row row : {Row{1.6, 0.18}, Row{2.03, 0.18}, Row{2.54, 0.20}, Row{3.18, 0.25}, Row{4.0, 0.36},
                        Row{4.76, 0.36}, Row{5.0, 0.30}, Row{12.7, 0.30}}) {
    EXPECT_DOUBLE_EQ(toMm(underThicknessAt(mm(row.step), mm(0.30))), row.under) << row.step;
  }
}

TEST(ChooseBlank, ALargeWindowIsNotAHeavilyRoughedFace) {
  Box3 box;
  box.add({0, 0, 0});
  box.add({54, 38, 1.8});
  const auto plan = chooseBlank(box, mm3(980 * 1.8), usualRules());
  const auto seen = chooseBlank(box, mm3(980 * 1.8), usualRules(), mm2(980));
  ASSERT_TRUE(plan);
  ASSERT_TRUE(seen);
  EXPECT_DOUBLE_EQ(toMm(plan->skimPerSide), 0.30);
  EXPECT_DOUBLE_EQ(toMm(seen->skimPerSide), 0.15);
  EXPECT_DOUBLE_EQ(toMm(seen->step), 2.54);
}

TEST(ChooseBlank, PartLiesInTheMiddleOfTheBlank) {
  const auto blank = blankOf(5.2, 2.0);
  ASSERT_TRUE(blank);
  EXPECT_NEAR(blank->min_mm.x, -52, 1e-12);
  EXPECT_NEAR(blank->size_mm.x, 104, 1e-12);
  EXPECT_NEAR(blank->size_mm.y, 32, 1e-12);
  EXPECT_NEAR(blank->min_mm.z, -(6.35 - 5.2) / 2, 1e-12);
  EXPECT_NEAR(toCm3(blank->volume), 21.1, 0.05);  // worked by hand for this plate: 21.1 cm3
  EXPECT_NEAR(blank->mass_g, 21.133 * 4.42, 0.05);
  EXPECT_NEAR(toUnits(blank->price), 0.0934 * 75 * 1.15, 0.01);
}

// But no further than twice the thickest: that is no plate any more.
TEST(ChooseBlank, RefusesMoreThanTwiceTheThickest) {
  EXPECT_TRUE(blankOf(24, 2).has_value());
  const auto block = blankOf(25.4, 2);
  ASSERT_FALSE(block.has_value());
  EXPECT_EQ(block.error().code, FaultCode::Usage);
}

// A part thicker than any plate listed is priced all the same, on stock that is assumed in sight.
TEST(ChooseBlank, AssumesStockThickerThanAnyListed) {
  const auto blank = blankOf(14, 2);
  ASSERT_TRUE(blank);
  EXPECT_FALSE(blank->listed);
  EXPECT_DOUBLE_EQ(toMm(blank->step), std::ceil(toMm(blank->needed)));
  EXPECT_GE(toMm(blank->step), toMm(blank->needed));
  EXPECT_DOUBLE_EQ(toMm(blank->leftBeforeNextStep), 0);
  EXPECT_NEAR(toUnits(blank->price), blank->mass_g / 1000 * 75 * 1.15, 0.01);
  ASSERT_EQ(blank->notes.size(), 1u);
  EXPECT_EQ(blank->notes[0].severity, NoteSeverity::LeftOut);
  EXPECT_NE(blank->notes[0].text.find("12.70"), std::string::npos) << blank->notes[0].text;
  EXPECT_TRUE(blankOf(5.2, 2.0)->listed);
  EXPECT_TRUE(blankOf(5.2, 2.0)->notes.empty());
}

TEST(ChooseBlank, RefusesStepsThatDoNotRise) {
  PlateRules rules;
  rules.steps = {mm(3), mm(2)};
  EXPECT_FALSE(blankOf(1, 1, rules));
  EXPECT_FALSE(blankOf(1, 1, PlateRules{}));
}

TEST(ChooseBlank, ATallerPartNeverNeedsAThinnerPlate) {
  double last = 0;
  for (int i = 0; i <= 200; ++i) {
    const auto blank = blankOf(1.2 + 0.05 * i, 1.2);
    ASSERT_TRUE(blank);
    EXPECT_GE(toMm(blank->step), last);
    last = toMm(blank->step);
  }
}
