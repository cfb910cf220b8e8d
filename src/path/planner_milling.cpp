// Stages that clear and finish with end mills.
#include <chipledger/parallel/parallel.hpp>
#include <chipledger/path/chamfer.hpp>
#include <chipledger/path/clearance.hpp>
#include <chipledger/path/floor.hpp>
#include <chipledger/path/roughing.hpp>
#include <chipledger/path/thin.hpp>
#include <chipledger/path/wall.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "path/planner.hpp"

namespace chipledger::path {
namespace {

constexpr double kArc_mm = 0.005;
constexpr double kRestSliver_mm = 0.03;  // rest strips thinner than twice this are the neighbour's cusps, no work
constexpr double kRoughGuard_mm = 0.03;  // links keep this far inside the allowance
constexpr double kLeastRest_mm2 = 0.02;
constexpr double kLeastEdge_mm = 0.5;  // of an edge break: shorter is the end of a pass, not worth a sentence

Region opened(const Region& region, double by) { return offset(offset(region, -by, kArc_mm), by, kArc_mm); }

// A cutter that has been there: its radius and what had to stay for it.
struct Before {
  double radius{};
  const Region* obstacle{};
};

// Of `metal`, what this cutter takes that the ones before (with the same allowance) have not.
Region restFor(const Region& metal, const Region& obstacle, double allowance, double fit, double radius,
               const std::vector<Before>& before) {
  Region rest = metal;
  for (const Before& b : before)
    rest = subtract(rest, sweptOf(metal, keepOutOf(*b.obstacle, b.radius, allowance, fit), b.radius));
  if (before.empty()) return rest;
  rest = opened(rest, kRestSliver_mm);
  if (area(rest) < kLeastRest_mm2) return {};
  return opened(intersect(rest, sweptOf(rest, keepOutOf(obstacle, radius, allowance, fit), radius)), kRestSliver_mm);
}

double leadOf(double radius) { return 0.5 * radius; }

}  // namespace

void Planner::rough() {
  for (std::size_t i = 0; i < cutters_.size(); ++i) roughWith(i);
}

void Planner::roughWith(std::size_t index) {
  const cutting::Cutter& cutter = *cutters_[index];
  double deepest = 0.0;
  for (const Zone& z : zones_) deepest = std::max(deepest, z.depth_mm);
  const std::optional<Mill> m = mill(cutter, cutting::CutKind::Rough, std::min(deepest, reachOf(cutter)));
  if (!m) return;
  const double axial = toMm(m->conditions.axialStep);
  start(index == 0 ? OperationKind::Rough : OperationKind::RestRough, *m, style(true, *m, top_mm_),
        index == 0 ? "largest cutter of the cheapest sequence"
                   : fmt::format("corners and narrow places that {} leaves", cutters_[index - 1]->id));

  const std::vector<const cutting::Cutter*> before(cutters_.begin(),
                                                   cutters_.begin() + static_cast<std::ptrdiff_t>(index));
  clear(*m, before, roughLevels(chart_, site(), axial));
  // Openings come after the floors over them, so that a short cutter begins where the metal now ends.
  for (const Opening& o : openings_) {
    const double top = std::min(top_mm_, stockTop(o.region)), bottom = o.low_mm - toMm(work_.practice.throughDepth);
    if (top <= o.low_mm) continue;
    clear(*m, before, layersOf(o.region, o.obstacle, top, bottom, axial));
  }
  finish();
}

std::vector<RoughLevel> Planner::layersOf(const Region& metal, const Region& obstacle, double top_mm, double bottom_mm,
                                          double axial_mm) const {
  const int layers = std::max(1, static_cast<int>(std::ceil((top_mm - bottom_mm) / axial_mm - 1e-9)));
  std::vector<RoughLevel> levels;
  for (int i = 1; i <= layers; ++i)
    levels.push_back({top_mm - (top_mm - bottom_mm) * i / layers, top_mm - (top_mm - bottom_mm) * (i - 1) / layers,
                      subtract(metal, offset(obstacle, wallAllowance(), kArc_mm)), obstacle});
  return levels;
}

// What to clear does not depend on the walk: levels are worked out side by side, those between two steps of the part
// once for all, and walked one after the other.
void Planner::clear(const Mill& m, const std::vector<const cutting::Cutter*>& before,
                    const std::vector<RoughLevel>& levels) {
  struct Job {
    std::vector<Before> before;
    const Region* stays{};
    ClearTask task;
    std::vector<Pass> passes;
    std::size_t like{};  ///< the first level with the same work
  };
  const double R = m.radius();
  std::vector<Job> jobs(levels.size());
  std::vector<const cutting::Cutter*> all = before;
  all.push_back(m.cutter);
  std::vector<double> heights;
  for (const RoughLevel& level : levels)
    if (!level.obstacle.empty()) heights.push_back(level.z_mm);
  prepareStanding(all, heights);
  for (std::size_t i = 0; i < levels.size(); ++i) {
    for (const cutting::Cutter* b : before)
      jobs[i].before.push_back({0.5 * toMm(b->diameter), &standing(*b, levels[i].z_mm)});
    jobs[i].stays = levels[i].obstacle.empty() ? &levels[i].obstacle : &standing(*m.cutter, levels[i].z_mm);
  }
  forEachTask(jobs.size(), [&](std::size_t i) {
    ClearTask& task = jobs[i].task;
    task.metal = restFor(withoutNarrow(levels[i].metal, levels[i].obstacle), *jobs[i].stays, wallAllowance(), fit(), R,
                         jobs[i].before);
    if (task.metal.empty()) return;
    if (!jobs[i].stays->empty()) task.keepOut = keepOutOf(*jobs[i].stays, R, wallAllowance(), fit());
    task.blank = work_.blank;
    task.z_mm = levels[i].z_mm;
    task.radius_mm = R;
    task.step_mm = toMm(m.conditions.radialStep);
    task.secondsPerMm = 1.0 / m.conditions.feed.base;
  });
  std::vector<std::size_t> own;
  for (std::size_t i = 0; i < jobs.size(); ++i) {
    const auto same = [&](std::size_t k) {
      return jobs[k].task.metal.rings == jobs[i].task.metal.rings &&
             jobs[k].task.keepOut.rings == jobs[i].task.keepOut.rings;
    };
    const auto found = std::find_if(own.begin(), own.end(), same);
    jobs[i].like = found == own.end() ? i : *found;
    if (found == own.end()) own.push_back(i);
  }
  forEachTask(own.size(), [&](std::size_t k) { jobs[own[k]].passes = clearRegion(jobs[own[k]].task).passes; });
  for (std::size_t i = 0; i < jobs.size(); ++i) {
    if (jobs[i].task.metal.empty()) continue;
    walk_.setTop(levels[i].top_mm);
    walk_.keepOutOf(jobs[i].task.keepOut, kRoughGuard_mm);
    walk_.follow(atHeight(jobs[jobs[i].like].passes, levels[i].z_mm));
  }
}

// One floor by one cutter: what it clears is worked out before anything is walked.
struct Planner::FloorJob {
  const FloorLevel* floor{};
  FloorTask task;
  Mill mill;
  Region metal;                ///< all that the floor's cutters clear together
  std::vector<Before> before;  ///< cutters of the same floor that go first
  bool first{};
  std::vector<Pass> layer;
};

void Planner::addFloorJobs(const FloorLevel& floor, std::vector<FloorJob>& jobs) {
  const RoughSite s = site();
  FloorTask task;
  task.z_mm = floor.z_mm;
  task.from_mm = worthRoughing(s, floor.z_mm) ? floor.z_mm + s.floorAllowance_mm : top_mm_;
  if (task.from_mm <= task.z_mm + kAboveLevel_mm) return;
  task.obstacle = chart_.obstacle(floor.z_mm);
  task.wallAllowance_mm = task.obstacle.empty() ? 0.0 : wallAllowance();
  task.passDepth_mm = toMm(work_.practice.finishFloorPass);
  task.fit_mm = fit();
  std::vector<const cutting::Cutter*> mills = cutters_;
  if (mills.empty()) {
    // Nothing was roughed on this side: the largest cutter that is no wider than the floor.
    for (const cutting::Cutter* c : flatMills(work_))
      if (mills.empty() && !offset(floor.region, -0.25 * toMm(c->diameter)).empty()) mills.push_back(c);
  }
  const Region metal =
      task.obstacle.empty()
          ? floor.region
          : withoutNarrow(subtract(floor.region, offset(task.obstacle, task.wallAllowance_mm, kArc_mm)), task.obstacle);
  const double left = floorLeft(work_, floor.region, floor.z_mm);
  const double reach = topBeside(floor.region, floor.z_mm) - floor.z_mm;
  std::vector<Before> before;
  const Region& alone = chart_.obstacle(floor.z_mm);
  for (const cutting::Cutter* c : mills) {
    task.obstacle = alone.empty() ? alone : standing(*c, floor.z_mm);
    const std::optional<Mill> m = mill(*c, cutting::CutKind::Floor, task.passDepth_mm, reach, {.floor_mm = left});
    if (!m) continue;
    task.radius_mm = m->radius();
    task.step_mm = toMm(m->conditions.radialStep);
    jobs.push_back({&floor, task, *m, metal, before, before.empty(), {}});
    before.push_back({task.radius_mm, alone.empty() ? &alone : &standing(*c, floor.z_mm)});
  }
}

void Planner::floors(bool tops) {
  std::vector<FloorJob> jobs;
  for (auto floor = chart_.floors().rbegin(); floor != chart_.floors().rend(); ++floor) {
    if (skimmed_ && floor->z_mm >= chart_.high() - kAboveLevel_mm) continue;
    if (isTop(*floor) == tops) addFloorJobs(*floor, jobs);
  }
  forEachTask(jobs.size(), [&](std::size_t i) {
    FloorTask& task = jobs[i].task;
    task.floor = restFor(jobs[i].metal, task.obstacle, task.wallAllowance_mm, fit(), task.radius_mm, jobs[i].before);
    if (!task.floor.empty()) jobs[i].layer = floorLayer(task, task.z_mm);
  });
  for (const FloorJob& job : jobs) {
    const FloorTask& task = job.task;
    if (task.floor.empty()) continue;
    start(tops ? OperationKind::IslandTop : OperationKind::Floor, job.mill, style(false, job.mill, task.from_mm),
          job.first ? "widest step that reaches this floor" : "corners the larger cutter leaves");
    if (!task.obstacle.empty())
      walk_.keepOutOf(keepOutOf(task.obstacle, task.radius_mm, task.wallAllowance_mm, fit()), kRoughGuard_mm);
    const int layers = floorPasses(task);
    double above = task.from_mm;
    for (int i = 1; i <= layers; ++i) {
      const double z = i == layers ? task.z_mm : task.from_mm - (task.from_mm - task.z_mm) * i / layers;
      walk_.setTop(above);
      walk_.follow(atHeight(job.layer, z));
      above = z;
    }
    finish();
  }
}

void Planner::openings() {}

void Planner::walls() {
  std::vector<Foot> feet;
  for (auto floor = chart_.floors().rbegin(); floor != chart_.floors().rend(); ++floor) {
    const Region& obstacle = chart_.obstacle(floor->z_mm);
    if (obstacle.empty() || floor->z_mm >= top_mm_ - kAboveLevel_mm) continue;
    feet.push_back({floor->region, obstacle, floor->z_mm, topBeside(floor->region, floor->z_mm) - floor->z_mm});
  }
  for (const Opening& o : openings_)
    feet.push_back(
        {o.region, o.obstacle, o.low_mm - toMm(work_.practice.throughDepth), topBeside(o.region, o.low_mm) - o.low_mm});

  // Slender walls get passes of their own, so that they slow nothing but themselves.
  std::vector<Foot> stiff, slender;
  ThinWork worst;
  for (Foot& foot : feet) {
    const ThinWork thin = thinnestWall(work_, chart_, foot.obstacle, foot.z_mm);
    if (thin.wall_mm > 0 && (worst.wall_mm <= 0 || thin.wallHigh_mm * worst.wall_mm > worst.wallHigh_mm * thin.wall_mm))
      worst = thin;
    (thin.wall_mm > 0 ? slender : stiff).push_back(std::move(foot));
  }
  wallsOf(stiff, {});
  wallsOf(slender, worst);
}

void Planner::wallsOf(const std::vector<Foot>& feet, ThinWork thin) {
  for (std::size_t index = 0; index < cutters_.size(); ++index) {
    const cutting::Cutter& cutter = *cutters_[index];
    double highest = 0.0;
    for (const Foot& foot : feet) highest = std::max(highest, foot.height_mm);
    highest = std::min(highest, reachOf(cutter));
    if (highest <= 0) continue;
    const std::optional<Mill> m = mill(cutter, cutting::CutKind::Wall, highest, 0, thin);
    if (!m) continue;
    start(OperationKind::Wall, *m, style(false, *m, top_mm_),
          index == 0 ? "all walls it can follow" : "corners the larger cutter cannot follow");
    for (const Foot& foot : feet) {
      if (foot.height_mm <= kAboveLevel_mm) continue;
      WallTask task;
      task.obstacle = foot.obstacle;
      task.beside = foot.beside;
      for (std::size_t b = 0; b < index; ++b) {
        // One strip wider than the corner, so that the small cutter meets the wall the large one left.
        const Region rest =
            unreachable(foot.beside, standing(*cutters_[b], foot.z_mm), 0.5 * toMm(cutters_[b]->diameter), fit());
        task.beside = intersect(task.beside, offset(rest, 2.0 * kRestSliver_mm, kArc_mm));
      }
      if (area(task.beside) < kLeastRest_mm2) continue;
      task.radius_mm = m->radius();
      task.allowance_mm = wallAllowance();
      task.passStep_mm = toMm(work_.practice.finishWallPass);
      task.springPasses = work_.practice.springPasses;
      task.fit_mm = fit();
      task.lead_mm = leadOf(task.radius_mm);
      task.closed = bodyKeepOut(cutter, foot.z_mm);
      walk_.keepOutOf(keepOutOf(standing(cutter, foot.z_mm), task.radius_mm, 0.0, fit()), kRoughGuard_mm);
      const int layers =
          std::max(1, static_cast<int>(std::ceil(foot.height_mm / toMm(m->conditions.axialStep) - 1e-9)));
      for (int i = 1; i <= layers; ++i) {
        task.z_mm = foot.z_mm + foot.height_mm * (layers - i) / layers;
        walk_.setTop(task.z_mm + foot.height_mm / layers);
        walk_.follow(wallPasses(task));
      }
    }
    finish();
  }
}

void Planner::chamfers() {
  if (work_.details == nullptr || (work_.setup != nullptr && !work_.setup->plateSide)) return;
  const cutting::Cutter* cutter = nullptr;
  for (const cutting::Cutter& c : work_.crib)
    if (c.kind == cutting::CutterKind::Chamfer && (cutter == nullptr || c.diameter > cutter->diameter)) cutter = &c;
  std::optional<Mill> m;
  bool started = false;
  for (int index : work_.served) {
    const detail::Detail& d = work_.details->list[static_cast<std::size_t>(index)];
    if (d.kind != detail::DetailKind::Chamfer || d.footprint.empty()) continue;
    if (cutter == nullptr) {
      note(NoteSeverity::LeftOut, "no-chamfer-cutter", "No chamfer cutter in the crib, so this edge is not priced.",
           d.name);
      continue;
    }
    const auto [low, high] = heightsInSetup(work_, d);
    if (!m) m = mill(*cutter, cutting::CutKind::Chamfer, high - low);
    if (!m) break;
    ChamferTask task;
    task.wall = chart_.obstacle(low);
    task.near = footprintInSetup(work_, d);
    task.foot_mm = low;
    constexpr double kOver_mm = 0.2;  // the tip itself cuts badly; common practice, no source
    task.over_mm = kOver_mm;
    task.pointAngle = cutter->pointAngle.rad > 0 ? cutter->pointAngle : degrees(90);
    if (!started) {
      start(OperationKind::Chamfer, *m, style(false, *m, high), "edge breaks with the point angle of the cutter");
      started = true;
    }
    walk_.setTop(high);
    // A broad edge, one of another angle or one beside a wall would cost metal of the part: that much is left and said.
    const ClearPasses clear = clearOf(removal_.target(), profileOf(*cutter), chamferPasses(task));
    for (const Pass& pass : clear.passes) {
      walk_.follow(pass);
      if (clear.lost_mm > 0) walk_.up();  // the straight way on would lead over what was left out
    }
    if (clear.lost_mm > kLeastEdge_mm)
      note(
          NoteSeverity::LeftOut, "edge-not-cut",
          fmt::format("{:.1f} mm of this edge cannot be broken with {}: it would cut into what stands beside or below. "
                      "The price leaves it out.",
                      clear.lost_mm, cutter->id),
          d.name);
  }
  if (started) finish();
}

}  // namespace chipledger::path
