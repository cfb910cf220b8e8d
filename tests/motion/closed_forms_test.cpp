// Rest-to-rest and ramp times against a second way to the same number: the phases of constant jerk written out one by
// one, integrated exactly (cubic in time), the peak speed found by halving.
#include <gtest/gtest.h>
#include <chipledger/motion/closed_forms.hpp>

#include <cmath>
#include <random>
#include <vector>

using namespace chipledger;

namespace {

struct State {
  double time{}, place{}, speed{}, acceleration{};
  void run(double t, double jerk) {
    place += t * (speed + t * (0.5 * acceleration + t * jerk / 6.0));
    speed += t * (acceleration + 0.5 * t * jerk);
    acceleration += t * jerk;
    time += t;
  }
};

/// From `from` to `to` (to >= from) with no acceleration at either end.
State ramp(double from, double to, double a, double j) {
  State s;
  s.speed = from;
  const double change = to - from;
  const double rise = std::min(a / j, std::sqrt(change / j));
  const double level = std::max(0.0, change / (j * rise) - rise);
  if (rise > 0) {
    s.run(rise, j);
    s.run(level, 0.0);
    s.run(rise, -j);
  }
  return s;
}

double restToRestByPhases(double d, double v, double a, double j) {
  double peak = v;
  if (2.0 * ramp(0, v, a, j).place > d) {
    double low = 0.0, high = v;
    for (int k = 0; k < 200; ++k) {
      peak = 0.5 * (low + high);
      (2.0 * ramp(0, peak, a, j).place > d ? high : low) = peak;
    }
  }
  const State half = ramp(0, peak, a, j);
  return 2.0 * half.time + std::max(0.0, d - 2.0 * half.place) / peak;
}

class Random {
public:
  double spread(double low, double high) { return low * std::pow(high / low, uniform_(engine_)); }

private:
  std::mt19937_64 engine_{20260417};
  std::uniform_real_distribution<double> uniform_{0.0, 1.0};
};

TEST(ClosedForms, RestToRestEqualsItsPhasesToNineDigits) {
  Random random;
  for (int k = 0; k < 2000; ++k) {
    const double d = random.spread(0.001, 1000), v = random.spread(0.5, 800), a = random.spread(50, 20000),
                 j = random.spread(500, 500000);
    const double expected = restToRestByPhases(d, v, a, j);
    const double time = toSeconds(motion::restToRest(mm(d), mmPerSecond(v), mmPerSecond2(a), mmPerSecond3(j)));
    ASSERT_NEAR(time / expected, 1.0, 1e-9) << "d " << d << " v " << v << " a " << a << " j " << j;
  }
}

TEST(ClosedForms, RampTimeAndLengthEqualTheirPhasesToNineDigits) {
  Random random;
  for (int k = 0; k < 2000; ++k) {
    const double from = random.spread(0.1, 300), to = from + random.spread(0.01, 500), a = random.spread(50, 20000),
                 j = random.spread(500, 500000);
    const State s = ramp(from, to, a, j);
    EXPECT_NEAR(s.speed / to, 1.0, 1e-9);
    EXPECT_NEAR(toSeconds(motion::rampTime(mmPerSecond(to - from), mmPerSecond2(a), mmPerSecond3(j))) / s.time, 1.0,
                1e-9);
    EXPECT_NEAR(
        toMm(motion::rampLength(mmPerSecond(from), mmPerSecond(to), mmPerSecond2(a), mmPerSecond3(j))) / s.place, 1.0,
        1e-9);
    // One who may pass the start slower can end faster: the acceleration has more time to build up.
    double low = 0.0, high = 10.0 * to;
    for (int n = 0; n < 200; ++n) {
      const double end = 0.5 * (low + high);
      (ramp(0.0, end, a, j).place > s.place ? high : low) = end;
    }
    const double best = std::max(to, low);
    const Speed reached = motion::reachableSpeed(mmPerSecond(from), mm(s.place), mmPerSecond2(a), mmPerSecond3(j));
    EXPECT_NEAR(toMmPerSecond(reached) / best, 1.0, 1e-9);
  }
}

}  // namespace
