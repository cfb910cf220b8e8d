#include <chipledger/path/wall.hpp>

#include <chipledger/path/roughing.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::path {
namespace {

constexpr double kBeside_mm = 0.05;  // a wall is beside a floor when its foot is this near to it
constexpr double kLeastPass_mm = 0.05;

bool free(const Region& keepOut, Vec2 p) { return keepOut.empty() || !contains(keepOut, p); }

}  // namespace

std::vector<double> wallDistances(double allowance_mm, double passStep_mm, int springPasses) {
  std::vector<double> distances;
  const int count = std::max(1, static_cast<int>(std::ceil(allowance_mm / passStep_mm - 1e-9)));
  for (int i = 1; i <= count; ++i) distances.push_back(allowance_mm * (1.0 - static_cast<double>(i) / count));
  for (int i = 0; i < springPasses; ++i) distances.push_back(0.0);
  return distances;
}

Pass withLead(Pass pass, const Region& keepOut, double lead_mm) {
  if (pass.points.size() < 2 || lead_mm <= 0) return pass;
  if (pass.closed) {
    pass.points.push_back(pass.points.front());
    pass.closed = false;
    pass.keepStart = true;
  }
  const auto side = [](Vec3 a, Vec3 b) {
    const Vec2 d = (b - a).xy();
    const double l = norm(d);
    return l > 0 ? perp(d) * (1.0 / l) : Vec2{};
  };
  const Vec3 first = pass.points.front(), last = pass.points.back();
  const Vec2 in = first.xy() + side(first, pass.points[1]) * lead_mm;
  const Vec2 out = last.xy() + side(pass.points[pass.points.size() - 2], last) * lead_mm;
  if (free(keepOut, in)) pass.points.insert(pass.points.begin(), Vec3{in.x, in.y, first.z});
  if (free(keepOut, out)) pass.points.push_back({out.x, out.y, last.z});
  return pass;
}

std::vector<Pass> wallPasses(const WallTask& task) {
  std::vector<Pass> passes;
  if (task.obstacle.empty() || task.beside.empty()) return passes;
  // Only what meets the wall counts: across a gap narrower than the cutter stands another floor.
  const Region foot = intersect(task.beside, offset(task.obstacle, kBeside_mm));
  if (foot.empty()) return passes;
  for (double distance : wallDistances(task.allowance_mm, task.passStep_mm, task.springPasses)) {
    const double grown = task.radius_mm + distance + kFinishGuard_mm;
    const Region keepOut = offset(offset(task.obstacle, grown + task.fit_mm), -task.fit_mm);
    Region limit = offset(foot, grown);
    if (!task.closed.empty()) limit = subtract(limit, task.closed);
    for (const Ring& ring : keepOut.rings) {
      for (Pass& pass : clipRing(ring, limit, task.z_mm, 0)) {
        if (planLength(pass) < kLeastPass_mm) continue;
        // A closed pass gets its way in where the walk begins it.
        if (pass.closed) {
          pass.lead_mm = task.lead_mm;
          passes.push_back(std::move(pass));
        } else {
          passes.push_back(withLead(std::move(pass), keepOut, task.lead_mm));
        }
      }
    }
  }
  return passes;
}

}  // namespace chipledger::path
