#include <chipledger/path/loops.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace chipledger::path {
namespace {

constexpr double kChord_mm = 0.002;  // sagitta of the chords of a loop

}  // namespace

double loopStep(double loopRadius_mm, double cutterRadius_mm, double radialStep_mm) {
  const double r = loopRadius_mm, R = cutterRadius_mm;
  if (r < kLeastLoopShare * R - 1e-9 || radialStep_mm <= 0) return 0.0;
  const double c = 1.0 - std::min(radialStep_mm, R) / R;
  return std::sqrt((r + R) * (r + R) - R * R * (1.0 - c * c)) - R * c - r;
}

double loopSeconds(double length_mm, double loopRadius_mm, double step_mm, double feed_mm_s, double travel_mm_s) {
  if (step_mm <= 0) return 1e300;
  const double half = std::numbers::pi * loopRadius_mm;
  return std::ceil(length_mm / step_mm - 1e-9) * (half / feed_mm_s + (half + step_mm) / travel_mm_s);
}

std::optional<Pass> loopPass(const LoopTask& task) {
  const double r = task.loopRadius_mm, step = loopStep(r, task.cutterRadius_mm, task.radialStep_mm);
  double length = 0.0;
  for (std::size_t i = 1; i < task.middle.size(); ++i) length += norm(task.middle[i] - task.middle[i - 1]);
  if (step <= 0 || length <= 0) return std::nullopt;
  const int loops = static_cast<int>(std::ceil(length / step - 1e-9));
  const int chords = std::max(
      12, static_cast<int>(std::ceil(2.0 * std::numbers::pi / std::acos(1.0 - std::min(0.5, kChord_mm / r)) / 2)));
  Pass pass;
  std::size_t side = 1;
  double before = 0.0;
  for (int k = 0; k <= loops; ++k) {
    const double at = length * k / loops;
    double l = norm(task.middle[side] - task.middle[side - 1]);
    while (side + 1 < task.middle.size() && before + l < at - 1e-9) {
      before += l;
      ++side;
      l = norm(task.middle[side] - task.middle[side - 1]);
    }
    const Vec2 d = l > 0 ? (task.middle[side] - task.middle[side - 1]) * (1.0 / l) : Vec2{1, 0};
    const Vec2 centre = task.middle[side - 1] + d * std::min(at - before, l);
    const double back = std::atan2(-d.y, -d.x);
    for (int i = 0; i <= chords; ++i) {
      const double a = back + 2.0 * std::numbers::pi * i / chords;
      pass.points.push_back({centre.x + r * std::cos(a), centre.y + r * std::sin(a), task.z_mm});
    }
  }
  return pass;
}

}  // namespace chipledger::path
