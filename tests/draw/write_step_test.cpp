// STEP text: same bytes for the same solid, names, colours, units, schemas.
#include <chipledger/draw/blocks.hpp>
#include <chipledger/draw/drawn.hpp>

#include <gtest/gtest.h>

namespace chipledger::draw {
namespace {

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

Chassis smallPlate() {
  Chassis c;
  c.name = "small plate";
  c.thickness = mm(2);
  c.outline = ObroundOutline{mm(40), mm(16)};
  c.outerFaceHint = part::Hint::Cosmetic;
  Bore b;
  b.name = "pivot";
  b.centre_mm = {-10, 0};
  b.diameter = mm(5);
  b.hint = part::Hint::Tight;
  c.bores = {b};
  return c;
}

TEST(WriteStep, SameBytesAgain) {
  const auto first = drawChassis(smallPlate()), second = drawChassis(smallPlate());
  ASSERT_TRUE(first && second);
  const auto a = stepText(*first), b = stepText(*second), c = stepText(*first);
  ASSERT_TRUE(a && b && c);
  EXPECT_TRUE(*a == *b);
  EXPECT_TRUE(*a == *c);
  EXPECT_TRUE(has(*a, "2000-01-01T00:00:00"));
  EXPECT_FALSE(has(*a, "Open CASCADE"));
}

TEST(WriteStep, NamesAndColoursOfDetails) {
  const auto drawn = drawChassis(smallPlate());
  ASSERT_TRUE(drawn) << sentence(drawn.error());
  const auto text = stepText(*drawn);
  ASSERT_TRUE(text);
  for (const char* name : {"'small plate'", "'pivot'", "'outer face'", "'back face'", "'outline'"})
    EXPECT_TRUE(has(*text, name));
  EXPECT_TRUE(has(*text, "DRAUGHTING_PRE_DEFINED_COLOUR('red')"));
  EXPECT_TRUE(has(*text, "DRAUGHTING_PRE_DEFINED_COLOUR('yellow')"));
}

TEST(WriteStep, SchemasAndUnits) {
  const auto drawn = drawChassis(smallPlate());
  ASSERT_TRUE(drawn);
  EXPECT_TRUE(has(stepText(*drawn, {StepSchema::Ap242, {}, {}, false}).value(), "AP242_MANAGED_MODEL"));
  EXPECT_TRUE(has(stepText(*drawn, {StepSchema::Ap214, {}, {}, false}).value(), "AUTOMOTIVE_DESIGN"));
  EXPECT_TRUE(has(stepText(*drawn, {StepSchema::Ap203, {}, {}, false}).value(), "CONFIG_CONTROL_DESIGN"));
  EXPECT_TRUE(has(stepText(*drawn, {StepSchema::Ap214, FileUnit::Inch, {}, false}).value(), "'INCH'"));
  EXPECT_FALSE(has(stepText(*drawn).value(), "'INCH'"));
}

TEST(WriteStep, SplinesReplaceCylinders) {
  const auto drawn = drawChassis(smallPlate());
  ASSERT_TRUE(drawn);
  const std::string plain = stepText(*drawn).value(),
                    splines = stepText(*drawn, {StepSchema::Ap214, {}, {}, true}).value();
  EXPECT_TRUE(has(plain, "CYLINDRICAL_SURFACE"));
  EXPECT_FALSE(has(splines, "CYLINDRICAL_SURFACE"));
  EXPECT_TRUE(has(splines, "B_SPLINE_SURFACE"));
  EXPECT_TRUE(has(splines, "'pivot'"));
}

TEST(WriteStep, PlaceThatCannotBeWritten) {
  const auto drawn = drawChassis(smallPlate());
  ASSERT_TRUE(drawn);
  const auto written = writeStep(*drawn, "/nowhere/at/all.step");
  ASSERT_FALSE(written);
  EXPECT_EQ(written.error().code, FaultCode::BadFile);
}

TEST(WriteStep, HalfCylindersDoubleTheRoundFaces) {
  const auto whole = drawChassis(smallPlate()), halves = drawChassis(smallPlate(), {Touching::Refuse, true});
  ASSERT_TRUE(whole && halves);
  EXPECT_EQ(halves->faces, whole->faces + 1);
  EXPECT_NEAR(toMm3(halves->volume), toMm3(whole->volume), 1e-9);
}

}  // namespace
}  // namespace chipledger::draw
