// The laws stated in planner.hpp, on random paths.
#include <gtest/gtest.h>
#include <chipledger/motion/closed_forms.hpp>

#include "paths.hpp"

using namespace chipledger;
using namespace chipledger::motion;
using namespace chipledger::test;

namespace {

Times timesOf(const Moves& moves, const Machine& machine) { return *planTimes(moves, machine); }

Moves withRapids(Moves moves, unsigned seed) {
  if (seed % 3 != 0) return moves;
  for (std::size_t i = 0; i < moves.size(); i += 4)
    if (moves[i].segment.shape == Segment::Shape::Line) moves[i].kind = path::MoveKind::Rapid;
  moves.back().dwell = seconds(0.2);
  return moves;
}

// Sampled curve: the same random path as chords.
Moves sampled(const Moves& moves, double chord) {
  std::vector<Vec3> points{moves.front().segment.start};
  for (const path::Move& m : moves) {
    const int n = std::max(1, static_cast<int>(std::ceil(length(m.segment) / chord)));
    for (int i = 1; i <= n; ++i) points.push_back(pointAt(m.segment, static_cast<double>(i) / n));
  }
  return polyline(points, toMmPerSecond(moves.front().feed));
}

std::vector<Moves> paths() {
  std::vector<Moves> all;
  for (unsigned seed = 1; seed <= 200; ++seed) {
    all.push_back(withRapids(randomPath(seed), seed));
    if (seed % 5 == 0) all.push_back(sampled(randomPath(seed), 0.2));
  }
  return all;
}

constexpr double kRounding = 1e-9;

}  // namespace

TEST(PlannerLaws, LowerLikelyUpperAreInOrder) {
  for (const Machine& machine : genericMachines())
    for (const Moves& moves : paths()) {
      const Times t = timesOf(moves, machine);
      EXPECT_LE(t.lower.base, t.likely.base * (1 + kRounding));
      EXPECT_LE(t.likely.base, t.upper.base * (1 + kRounding));
    }
}

TEST(PlannerLaws, LowerIsLengthOverFeed) {
  const Moves moves = randomPath(7);
  double sum = 0;
  for (const path::Move& m : moves) sum += length(m.segment) / toMmPerSecond(m.feed);
  EXPECT_NEAR(timesOf(moves, smallVerticalMill()).lower.base, sum, kRounding * sum);
}

TEST(PlannerLaws, MoreJerkNeverLengthens) {
  int number = 0;
  for (const Moves& moves : paths()) {
    ++number;
    Machine machine = smallVerticalMill();
    double last = 1e300;
    for (const double jerk : {2.0, 3.0, 5.0, 8.0, 10.0, 20.0, 21.0, 40.0, 80.0, 300.0, 1000.0}) {
      machine.x.jerk = machine.y.jerk = machine.z.jerk = mPerSecond3(jerk);
      const double now = timesOf(moves, machine).likely.base;
      EXPECT_LE(now, last * (1 + kRounding)) << "path " << number << " jerk " << jerk;
      last = now;
    }
  }
}

TEST(PlannerLaws, MoreAccelerationNeverLengthens) {
  int number = 0;
  for (const Moves& moves : paths()) {
    ++number;
    Machine machine = smallVerticalMill();
    double last = 1e300;
    for (const double a : {0.2, 0.3, 0.5, 0.8, 1.0, 2.0, 2.1, 4.0, 8.0, 30.0}) {
      machine.x.acceleration = machine.y.acceleration = machine.z.acceleration = mPerSecond2(a);
      const double now = timesOf(moves, machine).likely.base;
      EXPECT_LE(now, last * (1 + kRounding)) << "path " << number << " acceleration " << a;
      last = now;
    }
  }
}

TEST(PlannerLaws, MoreToleranceOrCornerFactorNeverLengthens) {
  int number = 0;
  for (const Moves& moves : paths()) {
    ++number;
    Machine machine = smallVerticalMill();
    double last = 1e300;
    for (const double e : {0.001, 0.002, 0.005, 0.006, 0.01, 0.02, 0.05, 0.1}) {
      machine.cornerTolerance = mm(e);
      const double now = timesOf(moves, machine).likely.base;
      EXPECT_LE(now, last * (1 + kRounding)) << "path " << number << " tolerance " << e;
      last = now;
    }
    last = 1e300;
    for (const double k : {0.1, 0.3, 0.5, 0.6, 0.8, 1.0}) {
      machine.cornerFactor = k;
      const double now = timesOf(moves, machine).likely.base;
      EXPECT_LE(now, last * (1 + kRounding)) << "path " << number << " corner factor " << k;
      last = now;
    }
  }
}

TEST(PlannerLaws, BackwardsTakesTheSameTime) {
  int number = 0;
  for (const Moves& moves : paths()) {
    ++number;
    if (moves.back().dwell > seconds(0)) continue;
    const Times there = timesOf(moves, lightHighSpeedMill()), back = timesOf(reversed(moves), lightHighSpeedMill());
    EXPECT_NEAR(there.lower.base, back.lower.base, kRounding * there.lower.base) << number;
    EXPECT_NEAR(there.likely.base, back.likely.base, 1e-7 * there.likely.base) << number;
    EXPECT_NEAR(there.upper.base, back.upper.base, 1e-7 * there.upper.base) << number;
  }
}

TEST(PlannerLaws, SplittingALineChangesNothing) {
  Machine machine = smallVerticalMill();
  machine.blockTime = seconds(0);  // a control slow enough is a limit of its own, see below
  for (const double feed : {5.0, 50.0, 300.0})
    for (const int pieces : {2, 10, 1000, 20000}) {
      const Vec3 a{1, 2, 3}, corner{31, 22, 3.5}, b{31, 60, 0};
      std::vector<Vec3> points;
      for (int i = 0; i <= pieces; ++i) points.push_back(a + (corner - a) * (static_cast<double>(i) / pieces));
      for (int i = 1; i <= pieces; ++i) points.push_back(corner + (b - corner) * (static_cast<double>(i) / pieces));
      const Times whole = timesOf(polyline({a, corner, b}, feed), machine),
                  split = timesOf(polyline(points, feed), machine);
      EXPECT_NEAR(split.likely.base, whole.likely.base, 1e-6 * whole.likely.base) << feed << " " << pieces;
      EXPECT_NEAR(split.upper.base, whole.upper.base, 1e-6 * whole.upper.base) << feed << " " << pieces;
    }
}

// Coordinates of paths are often rounded to a fine grid; the pieces of a line then are not quite in line.
TEST(PlannerLaws, SplittingALineWithRoundedPointsChangesLessThanATenthOfAPercent) {
  Machine machine = smallVerticalMill();
  machine.blockTime = seconds(0);
  for (const int pieces : {2, 10, 100, 1000}) {
    std::vector<Vec3> points;
    for (int i = 0; i <= pieces; ++i) {
      const Vec3 p = Vec3{100, 37, 0} * (static_cast<double>(i) / pieces);
      points.push_back({std::round(p.x * 1e5) / 1e5, std::round(p.y * 1e5) / 1e5, 0});
    }
    const Times whole = timesOf(polyline({points.front(), points.back()}, 50), machine);
    const Times split = timesOf(polyline(points, 50), machine);
    EXPECT_NEAR(split.likely.base, whole.likely.base, 1e-3 * whole.likely.base) << pieces;
    EXPECT_NEAR(split.upper.base, whole.upper.base, 1e-3 * whole.upper.base) << pieces;
  }
}

TEST(PlannerLaws, SplittingAnArcChangesNothing) {
  Machine machine = smallVerticalMill();
  machine.blockTime = seconds(0);
  const Segment whole = arc({5, 0, 0}, {-5, 0, 1}, {0, 0}, Segment::Shape::ArcCcw);
  Moves pieces;
  for (int i = 0; i < 40; ++i)
    pieces.push_back(
        cut(arc(pointAt(whole, i / 40.0), pointAt(whole, (i + 1) / 40.0), {0, 0}, Segment::Shape::ArcCcw), 60));
  const Times a = timesOf({cut(whole, 60)}, machine), b = timesOf(pieces, machine);
  EXPECT_NEAR(a.likely.base, b.likely.base, 1e-6 * a.likely.base);
  EXPECT_NEAR(a.upper.base, b.upper.base, 1e-6 * a.upper.base);
}

// A finely sampled circle is as fast as the circle, within what chords can know of it.
TEST(PlannerLaws, SampledCircleTakesTheTimeOfTheCircle) {
  Machine machine = smallVerticalMill();
  machine.blockTime = seconds(0);
  const Segment circle = arc({4, 0, 0}, {4, 0, 0}, {0, 0}, Segment::Shape::ArcCcw, 1.0);
  const Times exact = timesOf({cut(circle, 100)}, machine);
  for (const int chords : {100, 300, 1000, 5000}) {
    std::vector<Vec3> points;
    for (int i = 0; i <= chords; ++i) points.push_back(pointAt(circle, static_cast<double>(i) / chords));
    const Times t = timesOf(polyline(points, 100), machine);
    EXPECT_NEAR(t.likely.base, exact.likely.base, 0.01 * exact.likely.base) << chords;
  }
}

TEST(PlannerLaws, ALongPathIsPlannedInWindowsWithoutASeam) {
  // 30,000 spans, far more than a window; the plan of a part that stands alone between stops is the same inside it.
  std::mt19937 random(3);
  std::uniform_real_distribution<double> turn(-0.9, 0.9), side(0.05, 0.6);
  std::vector<Vec3> points{{0, 0, 0}};
  double heading = 0;
  for (int i = 0; i < 30000; ++i) {
    heading += turn(random);
    const double l = side(random);
    points.push_back(points.back() + Vec3{l * std::cos(heading), l * std::sin(heading), 0});
  }
  const Moves moves = polyline(points, 40);
  const Machine machine = stiffVerticalMill();
  const Times there = timesOf(moves, machine), back = timesOf(reversed(moves), machine);
  EXPECT_NEAR(there.likely.base, back.likely.base, 1e-9 * there.likely.base);
  const auto spans = planSpans(moves, machine);
  ASSERT_TRUE(spans);
  for (std::size_t i = 1; i < spans->size(); ++i) {
    ASSERT_EQ((*spans)[i].startSpeed, (*spans)[i - 1].endSpeed);
    const Span& s = (*spans)[i];
    const double low = std::min(s.startSpeed, s.endSpeed), high = std::max(s.startSpeed, s.endSpeed);
    const double ramp =
        toMm(rampLength(mmPerSecond(low), mmPerSecond(high), mmPerSecond2(s.acceleration), mmPerSecond3(s.jerk)));
    const double fromRest =
        toMmPerSecond(reachableSpeed(mmPerSecond(0), mm(s.length), mmPerSecond2(s.acceleration), mmPerSecond3(s.jerk)));
    EXPECT_TRUE(ramp <= s.length * (1 + 1e-9) || high <= fromRest * (1 + 1e-9)) << i;
  }
}

TEST(PlannerLaws, BlockTimeLimitsShortSegments) {
  Machine machine = smallVerticalMill();
  machine.blockTime = seconds(0.005);
  std::vector<Vec3> points;
  for (int i = 0; i <= 2000; ++i) points.push_back({0.05 * i, 0, 0});
  const Times t = timesOf(polyline(points, 100), machine);
  EXPECT_NEAR(t.likely.base, 2000 * 0.005, 0.1);  // 0.05 mm each 5 ms: 10 mm/s
  EXPECT_NEAR(t.lower.base, 1.0, 1e-9);
}

TEST(PlannerLaws, RapidsStopAndSettle) {
  const Machine machine = smallVerticalMill();
  path::Move up;
  up.kind = path::MoveKind::Rapid;
  up.segment = line({0, 0, 0}, {0, 0, 5});
  path::Move over = up;
  over.segment = line({0, 0, 5}, {300, 0, 5});
  const Times t = timesOf({up, over}, machine);
  const Duration expected = restToRest(mm(5), machine.rapid, machine.z.acceleration, machine.z.jerk) +
                            restToRest(mm(300), machine.rapid, machine.x.acceleration, machine.x.jerk) +
                            2.0 * machine.inPosition;
  EXPECT_NEAR(t.likely.base, expected.base, 1e-12);
  EXPECT_EQ(t.likely.base, t.upper.base);
  EXPECT_NEAR(t.lower.base, 305.0 / toMmPerSecond(machine.rapid), 1e-12);
}

TEST(PlannerLaws, EveryMoveGetsItsShareAndTheyAddUp) {
  const Moves moves = withRapids(randomPath(9), 9);
  std::vector<Times> each;
  const Times sum = *planTimes(moves, smallVerticalMill(), each);
  const Times whole = timesOf(moves, smallVerticalMill());
  ASSERT_EQ(each.size(), moves.size());
  EXPECT_NEAR(sum.likely.base, whole.likely.base, 1e-12 * whole.likely.base);
  EXPECT_NEAR(sum.upper.base, whole.upper.base, 1e-12 * whole.upper.base);
  for (const Times& t : each) EXPECT_LE(t.lower, t.likely + seconds(1e-12));
}

TEST(PlannerLaws, ACuttingMoveWithoutFeedIsAFault) {
  const auto t = planTimes(polyline({{0, 0, 0}, {1, 0, 0}}, 0.0), smallVerticalMill());
  ASSERT_FALSE(t);
  EXPECT_EQ(t.error().code, FaultCode::Usage);
  EXPECT_EQ(t.error().where, "move 0");
}
