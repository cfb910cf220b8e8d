// Entries against their closed forms (time-estimation 2.1).
#include <chipledger/path/entry.hpp>

#include <gtest/gtest.h>

#include <numbers>

namespace chipledger::path {
namespace {

struct Helix {
  const char* id;
  double diameter, depth, pitch, feed, seconds;
};
// Rows helix-1 and helix-2 of the time checks.
constexpr Helix kHelices[] = {{"helix_1", 8, 5, 0.5, 400, 41.4765}, {"helix_2", 4.8, 3, 0.3, 300, 33.1812}};
class HelixRows : public testing::TestWithParam<Helix> {};
TEST_P(HelixRows, TimeIncludingOneLevelTurn) {
  const Helix& h = GetParam();
  const Angle ramp = radians(std::atan(h.pitch / (std::numbers::pi * h.diameter)));
  const auto way = helixEntry({3, -2}, 0.5 * h.diameter, h.depth, 0.0, ramp, 0.7);
  EXPECT_NEAR(pathLength(way) / h.feed * 60.0, h.seconds, 1e-3);
  EXPECT_NEAR(way.front().start.z, h.depth, 1e-12);
  EXPECT_NEAR(way.back().end.z, 0.0, 1e-12);
  for (std::size_t i = 1; i < way.size(); ++i) EXPECT_NEAR(norm(way[i].start - way[i - 1].end), 0.0, 1e-9);
}
INSTANTIATE_TEST_SUITE_P(Path, HelixRows, testing::ValuesIn(kHelices), [](const auto& row) { return row.param.id; });

TEST(Entry, HelixOfPartOfATurn) {
  const double r = 2.0, tan = 0.05, depth = 1.234;
  const auto way = helixEntry({0, 0}, r, depth, 0.0, radians(std::atan(tan)), -1.0);
  EXPECT_NEAR(pathLength(way), depth / std::sin(std::atan(tan)) + 2 * std::numbers::pi * r, 1e-9);
}

TEST(Entry, RampIsDepthOverSine) {
  Pass open;
  open.points = {{0, 0, 0}, {10, 0, 0}, {10, 5, 0}};
  Pass closed;
  closed.closed = true;
  closed.points = {{0, 0, 0}, {10, 0, 0}, {10, 5, 0}, {0, 5, 0}};
  for (const Pass& pass : {open, closed}) {
    for (double depth : {0.3, 1.0, 4.0}) {
      const Angle ramp = degrees(2);
      const auto way = rampEntry(pass, depth, ramp, 0.0);
      EXPECT_NEAR(pathLength(way), depth / std::sin(ramp.rad), 1e-6);
      EXPECT_NEAR(norm(way.back().end - pass.points.front()), 0.0, 1e-6);
      EXPECT_NEAR(way.front().start.z, depth, 1e-12);
    }
  }
}

TEST(Entry, RampKeepsToTheDropPerTurn) {
  Pass closed;
  closed.closed = true;
  closed.points = {{0, 0, 0}, {100, 0, 0}, {100, 50, 0}, {0, 50, 0}};
  // 300 mm round: 2 degrees would fall 10 mm in a turn; the slot step allows 0.5.
  EXPECT_NEAR(pathLength(rampEntry(closed, 1.0, degrees(2), 0.5)), 600.0, 0.01);
}

}  // namespace
}  // namespace chipledger::path
