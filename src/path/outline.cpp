#include <chipledger/path/outline.hpp>

#include <chipledger/path/roughing.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::path {

Pass overTabs(const Pass& pass, const OutlineTask& task) {
  const double tabTop = task.partLow_mm + task.tabHeight_mm;
  const double z = pass.points.front().z;
  if (task.tabs <= 0 || z >= tabTop) return pass;
  const double whole = planLength(pass);
  // The cutter must keep clear of the tab on both sides: the path stays up for the tab's width plus a cutter diameter.
  const double half = 0.5 * task.tabWidth_mm + task.radius_mm;
  if (whole < task.tabs * 2.0 * half * 1.5) return pass;
  std::vector<Vec2> way;
  for (const Vec3& p : pass.points) way.push_back(p.xy());
  way.push_back(way.front());
  Pass out;
  out.level = pass.level;
  out.keepStart = true;
  const auto put = [&](Vec2 p, double at) {
    if (out.points.empty() || norm(Vec3{p.x, p.y, at} - out.points.back()) > 1e-6) out.points.push_back({p.x, p.y, at});
  };
  // Tab i stands round (i + 1/2) / tabs of the way, so that the pass begins between two tabs.
  double at = 0.0;
  put(way.front(), z);
  for (std::size_t i = 1; i < way.size(); ++i) {
    const Vec2 a = way[i - 1], d = way[i] - a;
    const double l = norm(d);
    if (l <= 0) continue;
    std::vector<std::pair<double, double>> events;  // place on the way, height after it
    for (int t = 0; t < task.tabs; ++t) {
      const double mid = whole * (t + 0.5) / task.tabs;
      for (const auto& [place, after] : {std::pair{mid - half, tabTop}, std::pair{mid + half, z}})
        if (place > at && place <= at + l) events.emplace_back(place, after);
    }
    for (const auto& [place, after] : events) {
      const Vec2 p = a + d * ((place - at) / l);
      put(p, out.points.back().z);
      put(p, after);
    }
    at += l;
    put(way[i], out.points.back().z);
  }
  return out;
}

std::vector<Pass> outlineRough(const OutlineTask& task) {
  std::vector<Pass> passes;
  const Region path = offset(task.part, task.radius_mm + task.allowance_mm);
  const double depth = task.top_mm - task.bottom_mm;
  const int count = std::max(1, static_cast<int>(std::ceil(depth / task.slotStep_mm - 1e-9)));
  for (const Ring& ring : path.rings) {
    if (signedArea(ring) <= 0) continue;
    for (int i = 1; i <= count; ++i) {
      Line line(ring.rbegin(), ring.rend());
      Pass pass = levelPass(line, task.top_mm - depth * i / count, true, count - i);
      pass.keepStart = true;  // the tabs of all layers stand over each other
      passes.push_back(overTabs(pass, task));
    }
  }
  return passes;
}

Region tabPlaces(const OutlineTask& task) {
  std::vector<Region> discs;
  for (const Ring& ring : offset(task.part, task.radius_mm + task.allowance_mm).rings) {
    if (signedArea(ring) <= 0) continue;
    const Pass pass = overTabs(levelPass(Line(ring.rbegin(), ring.rend()), task.bottom_mm, true, 0), task);
    for (std::size_t i = 1; i < pass.points.size(); ++i) {
      const Vec3 a = pass.points[i - 1], b = pass.points[i];
      if (a.z <= task.bottom_mm || b.z <= task.bottom_mm) continue;
      const int parts = std::max(1, static_cast<int>(std::ceil(norm(b - a) / (0.5 * task.radius_mm))));
      for (int k = 0; k <= parts; ++k)
        discs.push_back(disc((a + (b - a) * (static_cast<double>(k) / parts)).xy(), task.radius_mm));
    }
  }
  return discs.empty() ? Region{} : unite(discs);
}

std::vector<Pass> outlineFinish(const OutlineTask& task, double guard_mm) {
  std::vector<Pass> passes;
  for (const Ring& ring : offset(task.part, task.radius_mm + guard_mm).rings) {
    if (signedArea(ring) <= 0) continue;
    Line line(ring.rbegin(), ring.rend());
    Pass pass = levelPass(line, task.bottom_mm, true, 0);
    pass.keepStart = true;
    passes.push_back(overTabs(pass, task));
  }
  return passes;
}

}  // namespace chipledger::path
