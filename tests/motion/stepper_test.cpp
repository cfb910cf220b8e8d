// The planner against stepping through time at 0.1 ms (tests/motion/stepper.hpp) on random paths of lines, arcs and
// helices.
#include <gtest/gtest.h>

#include <support/reference/plain_motion.hpp>
#include "paths.hpp"

#include "stepper.hpp"

using namespace chipledger;
using namespace chipledger::motion;
using namespace chipledger::test;

namespace {

constexpr double kStep = 1e-4;

struct Limits {
  double top, a, j, length;
};

// Limits of one move, written anew from the machine's numbers. All axes of the test machine are alike, so no direction
// of the plane differs from another; z is twice as strong and never governs.
constexpr double kA = 3000, kJ = 30000, kTop = 400;
Machine roundMachine() {
  Machine m;
  m.x = m.y = {mmPerSecond(kTop), mmPerSecond2(kA), mmPerSecond3(kJ)};
  m.z = {mmPerSecond(2 * kTop), mmPerSecond2(2 * kA), mmPerSecond3(2 * kJ)};
  m.rapid = mmPerSecond(kTop);
  m.blockTime = seconds(0);
  return m;
}

double weakest(Vec3 d, double xy, double z) {
  double limit = 1e300;
  if (d.x != 0) limit = std::min(limit, xy / std::abs(d.x));
  if (d.y != 0) limit = std::min(limit, xy / std::abs(d.y));
  if (d.z != 0) limit = std::min(limit, z / std::abs(d.z));
  return limit;
}

Limits limitsOf(const path::Move& move) {
  const Segment& s = move.segment;
  Limits l{};
  const double feed = toMmPerSecond(move.feed);
  if (s.shape == Segment::Shape::Line) {
    const Vec3 d = s.end - s.start;
    l.length = std::sqrt(d.x * d.x + d.y * d.y + d.z * d.z);
    const Vec3 u = d * (1 / l.length);
    l.a = weakest(u, kA, 2 * kA);
    l.j = weakest(u, kJ, 2 * kJ);
    l.top = std::min(feed, weakest(u, kTop, 2 * kTop));
    return l;
  }
  // Length of the arc by adding chords.
  const int n = 2000;
  Vec3 last = s.start;
  for (int i = 1; i <= n; ++i) {
    const Vec3 p = pointAt(s, static_cast<double>(i) / n);
    l.length += norm(p - last);
    last = p;
  }
  const double r = std::hypot(s.start.x - s.centre.x, s.start.y - s.centre.y);
  const double climb = std::abs(s.end.z - s.start.z) / l.length, plane = std::sqrt(1 - climb * climb);
  const auto both = [&](double xy) { return std::min(xy / plane, climb > 0 ? 2 * xy / climb : 1e300); };
  l.a = both(kA);
  l.j = both(kJ);
  l.top = std::min({feed, both(kTop), std::sqrt(kA * r) / plane, std::pow(kJ * r * r, 1.0 / 3.0) / plane});
  return l;
}

}  // namespace

TEST(Stepper, ExactStopsAgreeWithinHalfAPercentOn200RandomPaths) {
  const Machine machine = roundMachine();
  for (unsigned seed = 1; seed <= 200; ++seed) {
    SCOPED_TRACE(seed);
    const Moves moves = randomPath(seed);
    const auto spans = planSpans(moves, machine);
    ASSERT_TRUE(spans);
    double planned = 0, stepped = 0;
    for (const Span& span : *spans) {
      planned += span.upper;
      // Pieces of one line or arc were joined: their lengths add up.
      Limits l = limitsOf(moves[span.firstMove]);
      for (std::size_t i = span.firstMove + 1; i <= span.lastMove; ++i) l.length += limitsOf(moves[i]).length;
      stepped += steppedTime(l.length, 0, 0, l.top, l.a, l.j, kStep);
    }
    EXPECT_NEAR(planned, stepped, 0.005 * stepped);
  }
}

TEST(Stepper, BlendedAgreesWithinOnePercentWhenTheCornerSpeedsAreImposed) {
  const Machine machine = roundMachine();
  for (unsigned seed = 1; seed <= 200; ++seed) {
    SCOPED_TRACE(seed);
    const Moves moves = randomPath(seed);
    const auto spans = planSpans(moves, machine);
    ASSERT_TRUE(spans);
    double planned = 0, stepped = 0;
    for (const Span& span : *spans) {
      planned += span.likely;
      Limits l = limitsOf(moves[span.firstMove]);
      for (std::size_t i = span.firstMove + 1; i <= span.lastMove; ++i) l.length += limitsOf(moves[i]).length;
      EXPECT_LE(std::max(span.startSpeed, span.endSpeed), l.top * (1 + 1e-9));
      stepped += steppedTime(l.length, span.startSpeed, span.endSpeed, l.top, l.a, l.j, kStep);
    }
    EXPECT_NEAR(planned, stepped, 0.01 * stepped);
  }
}

// The plain twin used by the benchmark is the same plan by arrays and halving.
TEST(PlainTwin, AgreesOnPolylinesOfCorners) {
  std::mt19937 random(11);
  std::uniform_real_distribution<double> turn(0.21, 2.9), side(0.05, 8.0);
  for (const Machine& machine : genericMachines())
    for (const double feed : {4.0, 30.0, 150.0}) {
      std::vector<Vec3> points{{0, 0, 0}};
      double heading = 0.3;
      for (int i = 0; i < 400; ++i) {
        heading += random() % 2 == 0 ? turn(random) : -turn(random);
        const double l = side(random);
        points.push_back(points.back() + Vec3{l * std::cos(heading), l * std::sin(heading), i % 7 == 0 ? 0.3 : 0.0});
      }
      const double slow = reference::PlainMotion(machine).likely(points, feed);
      EXPECT_NEAR(toSeconds(planTimes(polyline(points, feed), machine)->likely), slow, 1e-9 * slow) << machine.name;
    }
}
