#include <chipledger/field/removal.hpp>
#include <chipledger/parallel/parallel.hpp>
#include <chipledger/path/clearance.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::path {
namespace {

constexpr std::size_t kPlacesPerTask = 64;
constexpr double kLeastRun_mm = 0.1;  // shorter pieces of an edge break are not worth a way down

}  // namespace

double standsIn(const field::HeightField& target, const field::Profile& profile, Vec3 tip, double enough_mm) {
  const field::GridSpec& g = target.spec;
  const double slack = field::kGougeTolerance_mm, reach = profile.radius_mm - slack;
  if (reach <= 0) return 0.0;
  const int i0 = std::max(0, g.column(tip.x - reach)), i1 = std::min(g.nx - 1, g.column(tip.x + reach));
  const int j0 = std::max(0, g.row(tip.y - reach)), j1 = std::min(g.ny - 1, g.row(tip.y + reach));
  const auto allowed = static_cast<std::int32_t>(std::floor((tip.z + slack) * 1000.0));
  double deepest = 0.0;
  // A few cells at a time: where none is higher than the underside at the nearest of their places, none is looked at.
  constexpr int kTogether = 8;
  for (int j = j0; j <= j1; ++j) {
    const std::int32_t* row = target.cells.data() + g.at(0, j);
    const double dy = g.centre(0, j).y - tip.y;
    for (int first = i0; first <= i1; first += kTogether) {
      const int last = std::min(i1, first + kTogether - 1);
      std::int32_t highest = row[first];
      for (int i = first + 1; i <= last; ++i) highest = std::max(highest, row[i]);
      if (highest <= allowed) continue;
      const double left = g.centre(first, j).x - tip.x, right = g.centre(last, j).x - tip.x;
      const double dx = left > 0 ? left : right < 0 ? right : 0.0;
      const double nearest = std::sqrt(dx * dx + dy * dy) + slack;
      if (nearest >= profile.radius_mm) continue;
      if (highest / 1000.0 - tip.z - profile.heightAt(nearest) <= std::max(slack, deepest)) continue;
      for (int i = first; i <= last; ++i) {
        if (row[i] <= allowed) continue;
        const double distance = norm(g.centre(i, j) - tip.xy()) + slack;
        if (distance >= profile.radius_mm) continue;
        const double deep = row[i] / 1000.0 - tip.z - profile.heightAt(distance);
        if (deep > slack) deepest = std::max(deepest, deep);
        if (deepest > enough_mm) return deepest;
      }
    }
  }
  return deepest;
}

ClearPasses clearOf(const field::HeightField& target, const field::Profile& profile, const std::vector<Pass>& passes) {
  ClearPasses out;
  for (const Pass& pass : passes) {
    std::vector<Vec3> points = pass.points;
    if (pass.closed && !points.empty()) points.push_back(points.front());
    // Stretches short enough to be judged by their ends.
    std::vector<Vec3> close;
    for (std::size_t i = 0; i + 1 < points.size(); ++i) {
      const Vec3 d = points[i + 1] - points[i];
      const int n = std::max(1, static_cast<int>(std::ceil(norm(d) / kClearLook_mm)));
      for (int k = 0; k < n; ++k) close.push_back(points[i] + d * (static_cast<double>(k) / n));
    }
    if (!points.empty()) close.push_back(points.back());
    std::vector<char> clear(close.size());
    forEachRange(close.size(), kPlacesPerTask, [&](std::size_t begin, std::size_t end) {
      for (std::size_t i = begin; i < end; ++i) clear[i] = standsIn(target, profile, close[i], 0.0) <= 0.0 ? 1 : 0;
    });
    const bool all = std::all_of(clear.begin(), clear.end(), [](char c) { return c != 0; });
    if (all) {
      out.passes.push_back(pass);
      continue;
    }
    Pass run = pass;
    run.closed = false;
    run.points.clear();
    const auto end = [&] {
      if (run.points.size() > 1 && planLength(run) >= kLeastRun_mm)
        out.passes.push_back(run);
      else
        out.lost_mm += planLength(run);
      run.points.clear();
    };
    for (std::size_t i = 0; i < close.size(); ++i) {
      if (i > 0 && !(clear[i] != 0 && clear[i - 1] != 0)) out.lost_mm += norm(close[i] - close[i - 1]);
      if (clear[i] != 0)
        run.points.push_back(close[i]);
      else
        end();
    }
    end();
  }
  return out;
}

}  // namespace chipledger::path
