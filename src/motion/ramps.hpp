#pragma once
// Jerk-limited ramps in plain mm, mm/s, mm/s2, mm/s3: the inner arithmetic of the planner. Speeds are >= 0, every ramp
// starts and ends with no acceleration. Public forms with units and sources: chipledger/motion/closed_forms.hpp.
#include <algorithm>
#include <cmath>

namespace chipledger::motion::ramps {

struct Limits {
  double acceleration{};
  double jerk{};
};

/// Seconds to change the speed by `change` >= 0.
inline double rampTime(double change, Limits k) {
  const double full = k.acceleration * k.acceleration / k.jerk;  // change at which the acceleration limit is touched
  return change < full ? 2.0 * std::sqrt(change / k.jerk) : change / k.acceleration + k.acceleration / k.jerk;
}

/// Millimetres covered by the ramp between two speeds: mean speed times time.
inline double rampLength(double from, double to, Limits k) {
  return 0.5 * (from + to) * rampTime(std::abs(to - from), k);
}

/// The positive root of u^3 + p u = q (p, q >= 0). Convex and rising, so Newton from above never overshoots.
inline double depressedCubicRoot(double p, double q) {
  if (q <= 0.0) return 0.0;
  double u = std::cbrt(q);
  if (p > 0.0) u = std::min(u, q / p);
  constexpr int kMostSteps = 12;  // quadratic from at most 1.5 times the root: 5 are enough for the last digit
  for (int i = 0; i < kMostSteps; ++i) {
    const double next = (2.0 * u * u * u + q) / (3.0 * u * u + p);
    if (!(next < u * (1.0 - 1e-15))) break;
    u = next;
  }
  return u;
}

/// Speed at the end of a ramp from `from` over `length`.
inline double ramp(double from, double length, Limits k) {
  const double a = k.acceleration, j = k.jerk, full = a * a / j;
  if ((2.0 * from + full) * (a / j) >= length) {
    const double u = depressedCubicRoot(2.0 * from / j, length / j);
    return from + j * u * u;
  }
  const double b = a / j + 2.0 * from / a;
  return from + 0.5 * a * (std::sqrt(b * b + 8.0 / a * (length - from * a / j)) - b);
}

/// Highest speed reachable within `length` by one who may pass the start at `from` or slower. A slow start can end
/// faster than a quick one (more time for the acceleration to build up), so the ramp from rest counts too; without it a
/// wider corner tolerance could lengthen a path.
inline double reach(double from, double length, Limits k) {
  const double end = ramp(from, length, k);
  // From rest is better only where the end is 1.618 times the start or more (jerk alone; twice with full acceleration).
  return end > 1.5 * from ? std::max(end, ramp(0.0, length, k)) : end;
}

struct Run {
  double time{};
  double peak{};
};

/// Time over `length` from speed v0 to v1, never above `cap`: up-ramp, perhaps a cruise, down-ramp. Needs v0, v1 <= cap
/// and each reachable from the other. Where the ramp from v0 to v1 itself is longer than `length` (see reach), the mean
/// speed counts.
inline Run run(double length, double v0, double v1, double cap, Limits k) {
  const double low = std::min(v0, v1), high = std::max(v0, v1);
  if (low >= cap) return {length / cap, cap};
  const double up = cap - low, up2 = cap - high;
  const double t0 = rampTime(up, k), t1 = rampTime(up2, k);
  const double ramps = 0.5 * (low + cap) * t0 + 0.5 * (high + cap) * t1;
  if (ramps <= length) return {t0 + t1 + (length - ramps) / cap, cap};
  if (high - low <= 1e-12 * cap) {
    const double peak = ramp(high, 0.5 * length, k);
    return {2.0 * rampTime(peak - high, k), peak};
  }
  if (rampLength(low, high, k) >= length * (1.0 - 1e-12)) return {2.0 * length / (low + high), high};
  // Length as a function of u, peak = high + jerk u^2, is convex and rising: the first Newton step may go up, all later
  // ones come down to the root. Start: half of the length for the ramp from `high`.
  const double j = k.jerk, a = k.acceleration, full = a * a / j;
  double u = std::sqrt((std::min(cap, ramp(high, 0.5 * length, k)) - high) / j);
  constexpr int kMostSteps = 40;
  for (int i = 0; i < kMostSteps; ++i) {
    const double d1 = j * u * u, d0 = d1 + (high - low);
    const double w0 = rampTime(d0, k), w1 = rampTime(d1, k);
    const double covered = 0.5 * (2.0 * low + d0) * w0 + 0.5 * (2.0 * high + d1) * w1;
    // d time / d u, each: 2 j u * (1 / sqrt(j d)) below the acceleration limit, 2 j u / a above it.
    const double s0 = d0 < full ? 2.0 * u / std::sqrt(d0 / j) : 2.0 * j * u / a;
    const double s1 = d1 < full ? 2.0 : 2.0 * j * u / a;
    const double slope = 0.5 * (2.0 * j * u * (w0 + w1) + (2.0 * low + d0) * s0 + (2.0 * high + d1) * s1);
    const double next = u - (covered - length) / slope;
    if (i > 0 && !(next < u * (1.0 - 1e-14))) break;
    u = next;
  }
  const double peak = high + j * u * u;
  return {rampTime(peak - low, k) + rampTime(peak - high, k), peak};
}

/// Rest to rest: all four cases in closed form (cruise or none, acceleration limit touched or not).
inline double restToRest(double length, double cap, Limits k) {
  if (length <= 0.0) return 0.0;
  const double a = k.acceleration, j = k.jerk, full = a * a / j;
  const double t = rampTime(cap, k);
  if (cap * t <= length) return length / cap + t;
  if (length >= 2.0 * full * a / j) {
    const double peak = 0.5 * (std::sqrt(full * full + 4.0 * a * length) - full);
    return 2.0 * (peak / a + a / j);
  }
  return 4.0 * std::cbrt(0.5 * length / j);
}

}  // namespace chipledger::motion::ramps
