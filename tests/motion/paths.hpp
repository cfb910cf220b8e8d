#pragma once
// Paths and machines that several tests of this room run.
#include <chipledger/motion/planner.hpp>

#include <cmath>
#include <numbers>
#include <random>
#include <string>
#include <vector>

namespace chipledger::test {

using Moves = std::vector<path::Move>;

inline path::Move cut(const Segment& segment, double feed_mm_s) {
  path::Move m;
  m.kind = path::MoveKind::Cut;
  m.segment = segment;
  m.feed = mmPerSecond(feed_mm_s);
  return m;
}

inline Moves polyline(const std::vector<Vec3>& points, double feed_mm_s) {
  Moves moves;
  for (std::size_t i = 1; i < points.size(); ++i) moves.push_back(cut(line(points[i - 1], points[i]), feed_mm_s));
  return moves;
}

/// Axis limits, feed and tolerance of Beudaert, Lavernhe, Tournier, Int J Mach Tools Manuf 57 (2012) 73-82.
inline motion::Machine beudaertMachine(double cornerFactor) {
  motion::Machine m;
  m.x = {mPerMin(30), mPerSecond2(2.5), mPerSecond3(5)};
  m.y = {mPerMin(30), mPerSecond2(3.0), mPerSecond3(5)};
  m.z = {mPerMin(30), mPerSecond2(2.1), mPerSecond3(50)};
  m.rapid = mPerMin(30);
  m.cornerTolerance = mm(0.02);
  m.cornerFactor = cornerFactor;
  m.blockTime = seconds(0);
  return m;
}
inline constexpr double kBeudaertFeed = 50.0;  // mm/s

/// There, Fig. 7: vertices read from the figure.
inline std::vector<Vec3> lockPoints() {
  std::vector<Vec3> p{{0, 0, 0}, {3, 0, 0},  {3, -3, 0},  {-3, -3, 0}, {-3, 3, 0},
                      {6, 3, 0}, {6, -6, 0}, {-6, -6, 0}, {-6, 6, 0}};
  for (const double degree : {150, 120, 90, 75, 60, 45, 30, 15, 0}) {
    const double a = degree * std::numbers::pi / 180.0;
    p.push_back({6 * std::cos(a), 6 + 6 * std::sin(a), 0});
  }
  return p;
}

/// There, App. A: plane cubic B-spline. t in 0..1, by repeated interpolation.
inline Vec3 tridentPoint(double t) {
  constexpr double kControl[7][2] = {{10, 0}, {20, 27}, {12, 8}, {10, 20}, {8, 8}, {0, 27}, {10, 0}};
  constexpr double kKnots[11] = {0, 0, 0, 0, 0.25, 0.5, 0.75, 1, 1, 1, 1};
  int s = 3;
  while (s < 6 && t >= kKnots[s + 1]) ++s;
  double d[4][2];
  for (int j = 0; j < 4; ++j)
    for (int q = 0; q < 2; ++q) d[j][q] = kControl[j + s - 3][q];
  for (int r = 1; r <= 3; ++r)
    for (int j = 3; j >= r; --j) {
      const double a = (t - kKnots[j + s - 3]) / (kKnots[j + 1 + s - r] - kKnots[j + s - 3]);
      for (int q = 0; q < 2; ++q) d[j][q] = (1 - a) * d[j - 1][q] + a * d[j][q];
    }
  return {d[3][0], d[3][1], 0};
}
inline std::vector<Vec3> tridentPoints(int chords) {
  std::vector<Vec3> p;
  for (int i = 0; i <= chords; ++i) p.push_back(tridentPoint(static_cast<double>(i) / chords));
  return p;
}
inline Moves asMoves(const std::vector<Segment>& segments, double feed_mm_s) {
  Moves moves;
  for (const Segment& s : segments) moves.push_back(cut(s, feed_mm_s));
  return moves;
}

/// 3 to 14 lines and arcs in a row, some joints tangent, some sharp; now and then a helix or a climb.
inline Moves randomPath(unsigned seed) {
  std::mt19937 random(seed);
  const auto draw = [&](double low, double high) { return std::uniform_real_distribution<double>(low, high)(random); };
  Moves moves;
  Vec3 at{};
  double heading = draw(0, 6.28);
  const double feed = std::exp(draw(std::log(3.0), std::log(120.0)));
  const int count = static_cast<int>(draw(3, 15));
  for (int i = 0; i < count; ++i) {
    if (draw(0, 1) < 0.6) heading += draw(-3.0, 3.0);
    const double climb = draw(0, 1) < 0.2 ? draw(-1, 1) : 0.0;
    if (draw(0, 1) < 0.5) {
      const double l = std::exp(draw(std::log(0.05), std::log(20.0)));
      const Vec3 to = at + Vec3{l * std::cos(heading), l * std::sin(heading), climb};
      moves.push_back(cut(line(at, to), feed));
      at = to;
    } else {
      const double r = std::exp(draw(std::log(0.3), std::log(15.0))), turn = draw(0.2, 5.5);
      const double side = draw(0, 1) < 0.5 ? 1.0 : -1.0;
      const Vec2 centre{at.x - side * r * std::sin(heading), at.y + side * r * std::cos(heading)};
      const double end = heading + side * turn;
      const Vec3 to{centre.x + side * r * std::sin(end), centre.y - side * r * std::cos(end), at.z + climb};
      moves.push_back(cut(arc(at, to, centre, side > 0 ? Segment::Shape::ArcCcw : Segment::Shape::ArcCw), feed));
      at = to;
      heading = end;
    }
  }
  return moves;
}

inline Moves reversed(const Moves& moves) {
  Moves back(moves.rbegin(), moves.rend());
  for (path::Move& m : back) {
    std::swap(m.segment.start, m.segment.end);
    if (m.segment.shape == Segment::Shape::ArcCcw) {
      m.segment.shape = Segment::Shape::ArcCw;
    } else if (m.segment.shape == Segment::Shape::ArcCw) {
      m.segment.shape = Segment::Shape::ArcCcw;
    }
  }
  return back;
}

}  // namespace chipledger::test
