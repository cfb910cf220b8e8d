#include <gtest/gtest.h>
#include <chipledger/motion/calibration.hpp>

#include <fmt/format.h>
#include <cmath>
#include <numbers>
#include <set>

using namespace chipledger;
using namespace chipledger::motion;

namespace {

constexpr double kFit = 1e-3;  // share of the reading

double likely(const Machine& m) { return toSeconds(calibrationTime(m)->likely); }

Machine withJerk(Machine m, double x, double y, double cornerFactor) {
  m.x.jerk = mPerSecond3(x);
  m.y.jerk = mPerSecond3(y);
  m.cornerFactor = cornerFactor;
  return m;
}

}  // namespace

TEST(Calibration, PathIsSmallFlatJoinedAndOfTheLengthCountedByHand) {
  const auto path = calibrationPath();
  double length = 0;
  int arcs = 0;
  for (std::size_t i = 0; i < path.size(); ++i) {
    const Segment& s = path[i].segment;
    for (const Vec3& p : {s.start, s.end}) {
      EXPECT_EQ(p.z, 0.0);
      EXPECT_GE(std::min(p.x, p.y), -1e-9) << i;
      EXPECT_LE(std::max(p.x, p.y), 60 + 1e-9) << i;
    }
    if (i > 0) {
      EXPECT_LT(norm(s.start - path[i - 1].segment.end), 1e-9) << i;
    }
    EXPECT_EQ(path[i].feed, calibrationFeed());
    arcs += s.shape != Segment::Shape::Line;
    length += chipledger::length(s);
  }
  EXPECT_EQ(arcs, 5);
  // combs 4 x 120 + 112, up between them 11.5 + 5; up 5, wave pi (1+2+3+4+5), up 6; squares 4 (30+26+...+2), in 7 x 4
  const double byHand = 592 + 16.5 + 5 + 15 * std::numbers::pi + 6 + 4 * 128 + 28;
  EXPECT_NEAR(length, byHand, 1e-6);
  EXPECT_NEAR(toSeconds(calibrationTime(smallVerticalMill())->lower), byHand / 50, 1e-6);
}

TEST(Calibration, TakesAboutAMinuteAndMostOfItHangsOnJerk) {
  for (const Machine& m : genericMachines()) {
    const Times t = *calibrationTime(m);
    EXPECT_GT(toSeconds(t.likely), 30) << m.name;
    EXPECT_LT(toSeconds(t.likely), 100) << m.name;
    Machine half = m;
    half.x.jerk = half.y.jerk = m.x.jerk * 0.5;
    EXPECT_GT(likely(half) / toSeconds(t.likely), 1.15) << m.name;  // a stopwatch can tell: 15 % of 40 s is 6 s
    Machine strong = m;
    strong.x.acceleration = strong.y.acceleration = m.x.acceleration * 2.0;
    EXPECT_NEAR(likely(strong), toSeconds(t.likely), 1e-6) << m.name;  // nothing but jerk is measured
  }
}

TEST(Calibration, RoundTripFindsTheTimeOfAnotherMachine) {
  struct Row {
    double xJerk, yJerk, cornerFactor;
  };
  for (const Machine& start : genericMachines())
    for (const Row& row : {Row{5, 5, 0.6}, Row{20, 20, 0.3}, Row{40, 15, 0.6}, Row{60, 60, 1.0}, Row{120, 90, 0.8}}) {
      const double reading = likely(withJerk(start, row.xJerk, row.yJerk, row.cornerFactor));
      const auto fitted = calibrated(start, seconds(reading));
      ASSERT_TRUE(fitted) << sentence(fitted.error());
      EXPECT_TRUE(checked(*fitted));
      EXPECT_NEAR(likely(*fitted), reading, kFit * reading) << start.name << " " << row.xJerk;
    }
}

TEST(Calibration, JerkChangedInOneRatioIsFoundAgain) {
  const Machine start = smallVerticalMill();
  for (const double s : {0.05, 0.3, 1.0, 1.7, 4.0}) {
    const Machine other = withJerk(start, 40 * s, 40 * s, 0.6 * std::cbrt(s));
    const auto fitted = calibrated(start, seconds(likely(other)));
    ASSERT_TRUE(fitted);
    for (const AxisLimits& axis : {fitted->x, fitted->y, fitted->z})
      EXPECT_NEAR(toMmPerSecond3(axis.jerk), 40000 * s, 1e-4 * 40000 * s);
    EXPECT_NEAR(fitted->cornerFactor, 0.6 * std::cbrt(s), 1e-4);
    EXPECT_EQ(fitted->x.acceleration, start.x.acceleration);
    EXPECT_EQ(fitted->cornerTolerance, start.cornerTolerance);
  }
}

TEST(Calibration, ALongerReadingNeverGivesMoreJerk) {
  const Machine start = smallVerticalMill();
  const double t = likely(start);
  double before = HUGE_VAL;
  for (int i = 0; i <= 12; ++i) {
    const auto fitted = calibrated(start, seconds(t * (0.9 + 0.1 * i)));
    ASSERT_TRUE(fitted) << i;
    EXPECT_LT(toMmPerSecond3(fitted->x.jerk), before) << i;
    before = toMmPerSecond3(fitted->x.jerk);
  }
}

TEST(Calibration, ClockedValuesNameTheReadingAndOthersKeepTheirSource) {
  const std::set<std::string> clocked{"machine.x_jerk_m_per_s3", "machine.y_jerk_m_per_s3", "machine.z_jerk_m_per_s3",
                                      "machine.corner_factor"};
  Machine bare = smallVerticalMill();
  bare.sources.clear();
  const double reading = likely(bare) * 1.2;
  for (const Machine& start : {smallVerticalMill(), bare}) {
    const auto fitted = calibrated(start, seconds(reading));
    ASSERT_TRUE(fitted);
    for (const Assumption& a : describe(*fitted)) {
      EXPECT_EQ(a.from, clocked.contains(a.name) ? From::Clocked : From::Guessed) << a.name;
      const bool named = a.source.find(fmt::format("{:.1f} s", reading)) != std::string::npos;
      EXPECT_EQ(named, clocked.contains(a.name)) << a.source;
    }
    const auto again = calibrated(*fitted, seconds(reading));  // nothing left to correct, no entry twice
    ASSERT_TRUE(again);
    EXPECT_EQ(again->sources.size(), fitted->sources.size());
    EXPECT_NEAR(again->x.jerk / fitted->x.jerk, 1.0, 1e-6);
  }
}

TEST(Calibration, ReadingsNoJerkExplainsAreRefusedWithTheRange) {
  const Machine start = smallVerticalMill();
  const double lower = toSeconds(calibrationTime(start)->lower);
  for (const double wrong : {0.0, -5.0, 0.99 * lower, 1.01 * lower, 1e5, std::nan("")}) {
    const auto refused = calibrated(start, seconds(wrong));
    ASSERT_FALSE(refused) << wrong;
    EXPECT_EQ(refused.error().code, FaultCode::Usage);
    EXPECT_NE(refused.error().what.find("possible is"), std::string::npos) << refused.error().what;
    EXPECT_FALSE(refused.error().next.empty());
  }
  Machine impossible = start;
  impossible.x.jerk = mPerSecond3(0);
  EXPECT_FALSE(calibrationTime(impossible));
  EXPECT_FALSE(calibrated(impossible, seconds(60)));
}
