// Closed forms of the analytic blocks against the volume and surface the kernel measures.
#include <chipledger/draw/blocks.hpp>

#include <gtest/gtest.h>

namespace chipledger::draw {
namespace {

TEST(Blocks, VolumeAndAreaAreTheClosedForms) {
  const auto blocks = sampleBlocks();
  ASSERT_TRUE(blocks) << sentence(blocks.error());
  ASSERT_EQ(blocks->size(), 7u);
  for (const Block& b : *blocks) {
    ASSERT_TRUE(b.drawn.closedForm) << b.drawn.name;
    const double v = toMm3(*b.drawn.closedForm), a = toMm2(b.closedFormArea);
    EXPECT_NEAR(toMm3(b.drawn.volume), v, 1e-9 * v) << b.drawn.name;
    EXPECT_NEAR(toMm2(b.drawn.area), a, 1e-9 * a) << b.drawn.name;
  }
}

TEST(Blocks, BoxByHand) {
  const auto box = boxBlock("box", {40, 30, 20});
  ASSERT_TRUE(box) << sentence(box.error());
  EXPECT_NEAR(toMm3(box->drawn.volume), 24000.0, 1e-8);
  EXPECT_NEAR(toMm2(box->drawn.area), 5200.0, 1e-9);
  EXPECT_EQ(box->drawn.faces, 6);
}

TEST(Blocks, UndercutThatDoesNotFitIsRefused) {
  EXPECT_FALSE(undercutBlock("t", {40, 30, 20}, {mm(6), mm(18), mm(14), mm(5)}));
  EXPECT_FALSE(undercutBlock("t", {40, 30, 20}, {mm(16), mm(8), mm(14), mm(5)}));
}

}  // namespace
}  // namespace chipledger::draw
