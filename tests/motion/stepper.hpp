#pragma once
// An independent twin of the planner's arithmetic: speeds are stepped through time, nothing is solved in closed form.
#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace chipledger::test {

struct Stepped {
  double time{}, length{};
};

/// Speed up from `from` to `to` in steps of at most `dt`: the highest acceleration of more, same or less by one step of
/// jerk from which it can still be eased off before `to` is passed. Position by the trapezoid rule.
inline Stepped stepUp(double from, double to, double a, double j, double dt) {
  Stepped sum;
  if (to - from < 1e-9 * to) return sum;
  dt = std::min(dt, std::sqrt((to - from) / j) / 300);  // short ramps need finer steps
  double v = from, acceleration = 0;
  for (;;) {
    double next = std::max(0.0, acceleration - j * dt);
    for (const double wish : {std::min(a, acceleration + j * dt), acceleration})
      if (v + 0.5 * (acceleration + wish) * dt + wish * wish / (2 * j) <= to) {
        next = wish;
        break;
      }
    if (next < 1e-6 * j * dt) next = 0.0;
    if (next == 0.0 && acceleration == 0.0) return sum;  // less than one step of jerk is left
    const double gain = 0.5 * (acceleration + next) * dt;
    sum.length += (v + 0.5 * gain) * dt;
    sum.time += dt;
    v += gain;
    acceleration = next;
  }
}

/// Time over `length` from v0 to v1 below `top`: the peak is found by halving, each trial stepped through time.
inline double steppedTime(double length, double v0, double v1, double top, double a, double j, double dt) {
  const auto both = [&](double peak) {
    const Stepped up = stepUp(v0, peak, a, j, dt),
                  down = stepUp(v1, peak, a, j, dt);  // braking is speeding up run backwards
    return Stepped{up.time + down.time, up.length + down.length};
  };
  const Stepped full = both(top);
  if (full.length <= length) return full.time + (length - full.length) / top;
  double low = std::max(v0, v1), high = top;
  if (both(low).length >= length) {  // just reachable
    const Stepped direct = both(low);
    return direct.time * length / direct.length;
  }
  for (int i = 0; i < 40; ++i) {
    const double middle = 0.5 * (low + high);
    (both(middle).length < length ? low : high) = middle;
  }
  return both(0.5 * (low + high)).time;
}

}  // namespace chipledger::test
