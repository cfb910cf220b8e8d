// What must stay for a cutter whose shank or holder comes down beside what stands.
#include <chipledger/parallel/parallel.hpp>

#include <algorithm>
#include <cmath>
#include <set>

#include "path/planner.hpp"

namespace chipledger::path {

std::vector<Planner::BodyPart> Planner::bodyParts(const cutting::Cutter& cutter, double z_mm) const {
  const Body body = bodyOf(cutter);
  // Over a top that is not finished yet stands what roughing leaves, or everything.
  const RoughSite s = site();
  const double over = s.floorAllowance_mm + s.finishPass_mm;
  std::vector<BodyPart> parts;
  const auto add = [&](double from, double radius) {
    const double height = z_mm + from;
    if (radius > 0 && height < top_mm_) parts.push_back({std::min(height, chart_.high()) - over, radius});
  };
  add(body.shankFrom_mm, body.shankRadius_mm);
  add(body.holderFrom_mm, body.holderRadius_mm);
  return parts;
}

Region Planner::bodyKeepOut(const cutting::Cutter& cutter, double z_mm) const {
  Region keepOut;
  for (const BodyPart& part : bodyParts(cutter, z_mm)) {
    const Region grown =
        offset(chart_.obstacle(part.from_mm), part.radius_mm + wallAllowance() + field::kBodyClearance_mm);
    keepOut = keepOut.empty() ? grown : unite(keepOut, grown);
  }
  return keepOut;
}

bool Planner::bodyComesDown(const cutting::Cutter& cutter, double z_mm) const {
  const Body body = bodyOf(cutter);
  const double first = body.shankRadius_mm > 0 ? body.shankFrom_mm : body.holderFrom_mm;
  return z_mm + first < top_mm_ && (body.shankRadius_mm > 0 || body.holderRadius_mm > 0);
}

Planner::StandingKey Planner::standingKey(const cutting::Cutter& cutter, double z_mm) {
  return {cutter.id, std::llround(z_mm * 1e4)};
}

Region Planner::standingAnew(const cutting::Cutter& cutter, double z_mm) const {
  const Region keepOut = bodyKeepOut(cutter, z_mm);
  Region region = chart_.obstacle(z_mm);
  if (!keepOut.empty()) region = unite(region, offset(keepOut, -0.5 * toMm(cutter.diameter)));
  return region;
}

const Region& Planner::standing(const cutting::Cutter& cutter, double z_mm) {
  if (!bodyComesDown(cutter, z_mm)) return chart_.obstacle(z_mm);
  const StandingKey key = standingKey(cutter, z_mm);
  const auto found = standing_.find(key);
  if (found != standing_.end()) return found->second;
  return standing_.emplace(key, standingAnew(cutter, z_mm)).first->second;
}

void Planner::prepareStanding(const std::vector<const cutting::Cutter*>& cutters, const std::vector<double>& heights) {
  struct Job {
    const cutting::Cutter* cutter{};
    double z{};
    Region region;
  };
  std::vector<Job> jobs;
  std::set<StandingKey> asked;
  for (const cutting::Cutter* c : cutters)
    for (double z : heights) {
      // The chart works its regions out when they are first asked for: before anything runs beside anything.
      chart_.obstacle(z);
      const StandingKey key = standingKey(*c, z);
      if (!bodyComesDown(*c, z) || standing_.count(key) != 0 || !asked.insert(key).second) continue;
      for (const BodyPart& part : bodyParts(*c, z)) chart_.obstacle(part.from_mm);
      jobs.push_back({c, z, {}});
    }
  forEachTask(jobs.size(), [&](std::size_t i) { jobs[i].region = standingAnew(*jobs[i].cutter, jobs[i].z); });
  for (Job& job : jobs) standing_.emplace(standingKey(*job.cutter, job.z), std::move(job.region));
}

}  // namespace chipledger::path
