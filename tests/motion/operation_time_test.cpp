#include <gtest/gtest.h>
#include <chipledger/motion/closed_forms.hpp>
#include <chipledger/motion/operation_time.hpp>

#include "paths.hpp"

using namespace chipledger;
using namespace chipledger::motion;
using namespace chipledger::test;

namespace {

path::Move move(path::MoveKind kind, Vec3 from, Vec3 to, double feed_mm_s, double width_mm = 0) {
  path::Move m = cut(line(from, to), feed_mm_s);
  m.kind = kind;
  m.width = mm(width_mm);
  return m;
}

path::Operation someOperation() {
  using enum path::MoveKind;
  path::Operation op;
  op.id = "outer-01-rough";
  op.cutter = "flat-6";
  op.conditions.spindle = rpm(4000);
  op.moves = {move(Rapid, {0, 0, 20}, {0, 0, 1}, 0),         move(Enter, {0, 0, 1}, {5, 0, -0.5}, 4),
              move(Cut, {5, 0, -0.5}, {45, 0, -0.5}, 12, 1), move(Cut, {45, 0, -0.5}, {60, 0, -0.5}, 12, 0),
              move(Link, {60, 0, -0.5}, {60, 8, -0.5}, 30),  move(Cut, {60, 8, -0.5}, {0, 8, -0.5}, 12, 1),
              move(Rapid, {0, 8, -0.5}, {0, 8, 20}, 0)};
  op.moves[5].dwell = seconds(0.5);
  return op;
}

}  // namespace

TEST(OperationTime, SharesAddUpExactlyAndEachIsInOrder) {
  const auto t = operationTimes(someOperation(), smallVerticalMill(), {});
  ASSERT_TRUE(t);
  CountedTimes sum;
  for (const CountedTimes& s : {t->cutting, t->air, t->enter, t->link, t->rapid, t->dwell}) {
    EXPECT_LE(s.lower, s.likely);
    EXPECT_GT(s.likely.ns, 0);
    sum += s;
  }
  EXPECT_EQ(sum, t->moves);
  EXPECT_EQ(t->dwell.likely.ns, 500'000'000);
  EXPECT_NEAR(toSeconds(toDuration(t->cutting.lower)), 100.0 / 12, 1e-8);
  EXPECT_NEAR(toSeconds(toDuration(t->air.lower)), 15.0 / 12, 1e-8);
}

TEST(OperationTime, AnotherCutterCostsTheChangeTheSpindleAndTheCoolant) {
  const Machine m = smallVerticalMill();
  const path::Operation op = someOperation();
  const double start = toSeconds(m.spinUp) * 4000 / 12000;
  EXPECT_NEAR(toSeconds(toDuration(changeTime(op, m, {"flat-3", rpm(8000)}))),
              toSeconds(m.toolChange) + start + toSeconds(m.coolantDelay), 1e-9);
  EXPECT_NEAR(toSeconds(toDuration(changeTime(op, m, {"flat-6", rpm(8000)}))), start, 1e-9);
  EXPECT_EQ(changeTime(op, m, {"flat-6", rpm(4000)}).ns, 0);
}

TEST(OperationTime, AFaultNamesTheOperation) {
  path::Operation op = someOperation();
  op.moves[2].feed = {};
  const auto t = operationTimes(op, smallVerticalMill(), {});
  ASSERT_FALSE(t);
  EXPECT_EQ(t.error().where, "operation outer-01-rough, move 2");
}

TEST(OperationTime, ATapTurnsRoundTwicePerHole) {
  path::Operation op;
  op.kind = path::OperationKind::Tap;
  op.cutter = "tap-m2.5";
  op.conditions.spindle = rpm(1200);
  op.holes = 3;
  const Machine m = smallVerticalMill();
  const auto t = operationTimes(op, m, {op.cutter, rpm(1200)});
  ASSERT_TRUE(t);
  const double once = toSeconds(m.spinUp) * 0.1;  // 1200 of 12,000 rpm
  EXPECT_NEAR(toSeconds(toDuration(t->dwell.likely)), 3 * 2 * 2 * once, 1e-8);
  EXPECT_EQ(t->dwell.lower.ns, 0);
}

// Five holes of 30 mm at 1350 rpm, 0.2 mm/rev: 33.3 s of feed. Source: e-learning course of a cutter maker,
// mmc-permanent.learnways.com/courses/81/formulas.html (worked examples W019, W020).
TEST(DrillCycle, OneStrokeIsDepthOverFeed) {
  DrillCycle cycle;
  cycle.depth = mm(30);
  cycle.clearance = mm(0);
  cycle.feed = mmPerMin(1350 * 0.2);
  EXPECT_NEAR(toMmPerMin(cycle.feed), 270, 1e-9);
  double feeding = 0;
  for (const path::Move& m : drillMoves(cycle))
    if (m.kind == path::MoveKind::Cut) feeding += length(m.segment) / toMmPerSecond(m.feed);
  EXPECT_NEAR(5 * feeding, 33.3, 0.05);
}

TEST(DrillCycle, PecksRetractFullyAndFeedTheWholeDepth) {
  DrillCycle cycle;
  cycle.depth = mm(5);
  cycle.peck = mm(2);
  cycle.feed = mmPerMin(100);
  const auto moves = drillMoves(cycle);
  ASSERT_EQ(moves.size(), 8u);  // three strokes, three retracts, two returns
  double feeding = 0;
  for (const path::Move& m : moves)
    if (m.kind == path::MoveKind::Cut) feeding += length(m.segment);
  EXPECT_NEAR(feeding, 1 + 5 + 2 * 0.3, 1e-12);  // clearance, depth and the gap left at each return
  EXPECT_EQ(moves.back().segment.end.z, 1.0);
  // A short retract costs many times its length over the rapid: the reason for timing each one.
  const Times t = *planTimes(moves, smallVerticalMill());
  EXPECT_GT(t.likely, t.lower * 1.2);
}
