#pragma once
// The slow obvious twin of the motion planner for polylines of corners: arrays, one loop per rule, halving instead of
// closed forms. Same rules as motion/planner.hpp without joining of pieces and sampled curves. Used by tests and
// benchmarks.
#include <chipledger/geometry/vec.hpp>
#include <chipledger/motion/machine.hpp>

#include <cmath>
#include <vector>

namespace chipledger::reference {

class PlainMotion {
public:
  explicit PlainMotion(const motion::Machine& m) : machine_(m) {}

  /// Seconds along `points` at `feed` mm/s, corners blended.
  double likely(const std::vector<Vec3>& points, double feed) const {
    const std::size_t n = points.size() - 1;
    std::vector<Vec3> direction(n);
    std::vector<double> length(n), a(n), j(n), top(n), speed(n + 1, 0.0);
    for (std::size_t i = 0; i < n; ++i) {
      const Vec3 d = points[i + 1] - points[i];
      length[i] = norm(d);
      direction[i] = unit(d);
      a[i] = limit(direction[i], [](const motion::AxisLimits& x) { return toMmPerSecond2(x.acceleration); });
      j[i] = limit(direction[i], [](const motion::AxisLimits& x) { return toMmPerSecond3(x.jerk); });
      top[i] = std::min({feed, limit(direction[i], [](const motion::AxisLimits& x) { return toMmPerSecond(x.top); }),
                         length[i] / toSeconds(machine_.blockTime)});
    }
    for (std::size_t i = 1; i < n; ++i)
      speed[i] =
          std::min({corner(direction[i - 1], direction[i], std::min(length[i - 1], length[i])), top[i - 1], top[i]});
    for (std::size_t i = n; i-- > 0;) speed[i] = std::min(speed[i], reach(speed[i + 1], length[i], a[i], j[i]));
    for (std::size_t i = 0; i < n; ++i) speed[i + 1] = std::min(speed[i + 1], reach(speed[i], length[i], a[i], j[i]));
    double sum = 0;
    for (std::size_t i = 0; i < n; ++i) sum += run(length[i], speed[i], speed[i + 1], top[i], a[i], j[i]);
    return sum;
  }

private:
  template <class Read>
  double limit(Vec3 d, Read read) const {
    double least = 1e300;
    if (d.x != 0) least = std::min(least, read(machine_.x) / std::abs(d.x));
    if (d.y != 0) least = std::min(least, read(machine_.y) / std::abs(d.y));
    if (d.z != 0) least = std::min(least, read(machine_.z) / std::abs(d.z));
    return least;
  }

  double corner(Vec3 in, Vec3 out, double shorter) const {
    const double half = 0.5 * std::acos(std::clamp(dot(in, out), -1.0, 1.0));
    const Vec3 bisector = unit(out - in);
    const double a = limit(bisector, [](const motion::AxisLimits& x) { return toMmPerSecond2(x.acceleration); });
    const double j = limit(bisector, [](const motion::AxisLimits& x) { return toMmPerSecond3(x.jerk); });
    const double e = toMm(machine_.cornerTolerance), k = machine_.cornerFactor, r = shorter / (2 * std::tan(half));
    const double junction = k * std::sqrt(a * e * std::cos(half) / (1 - std::cos(half)));
    const double jerk = k * std::cbrt(4.5 * e * e * j) / std::sin(half);
    const double circleA = std::max(std::sqrt(a * r), k * std::sqrt(2 * a * e));
    const double circleJ = std::max(std::cbrt(j * r * r), k * std::cbrt(4.5 * e * e * j));
    return std::min({junction, jerk, circleA, circleJ});
  }

  static double rampTime(double change, double a, double j) {
    return change < a * a / j ? 2 * std::sqrt(change / j) : change / a + a / j;
  }
  static double rampLength(double v0, double v1, double a, double j) {
    return 0.5 * (v0 + v1) * rampTime(std::abs(v1 - v0), a, j);
  }
  template <class Grows>
  static double halve(double low, double high, Grows tooFar) {
    for (int i = 0; i < 60; ++i) {
      const double middle = 0.5 * (low + high);
      (tooFar(middle) ? high : low) = middle;
    }
    return 0.5 * (low + high);
  }
  static double reach(double from, double length, double a, double j) {
    double best = 0;
    for (const double start : {from, 0.0})
      best = std::max(best, halve(start, start + std::sqrt(2 * a * length) + a * a / j + 1,
                                  [&](double v) { return rampLength(start, v, a, j) > length; }));
    return best;
  }
  static double run(double length, double v0, double v1, double top, double a, double j) {
    const auto covered = [&](double peak) { return rampLength(v0, peak, a, j) + rampLength(v1, peak, a, j); };
    const double low = std::max(v0, v1);
    if (covered(low) >= length) return 2 * length / (v0 + v1);
    double peak = top, cruise = 0;
    if (covered(top) <= length) {
      cruise = (length - covered(top)) / top;
    } else {
      peak = halve(low, top, [&](double v) { return covered(v) > length; });
    }
    return rampTime(peak - v0, a, j) + rampTime(peak - v1, a, j) + cruise;
  }

  motion::Machine machine_;
};

}  // namespace chipledger::reference
