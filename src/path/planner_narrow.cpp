// Places that a cutter passes, but not with roughing's allowance.
#include <chipledger/path/loops.hpp>
#include <chipledger/path/narrow.hpp>
#include <chipledger/path/roughing.hpp>
#include <chipledger/path/wall.hpp>

#include <algorithm>
#include <cmath>

#include "path/planner.hpp"

namespace chipledger::path {
namespace {

constexpr double kArc_mm = 0.005;
constexpr double kRoughGuard_mm = 0.03;  // links keep this far inside the allowance
constexpr double kThroughShare = 0.1;    // of the diameter. Common practice, no source
constexpr double kNarrowRim_mm = 0.03;   // round what a narrow place's cutter reaches: the finishing cutter's
constexpr double kWallsStand = 0.5;      // share of its walls that make a place narrow at a level

constexpr double kLoopLook_mm = 0.25;

Vec2 alongLine(const Pass& line, double at) {
  for (std::size_t i = 1; i < line.points.size(); ++i) {
    const Vec2 a = line.points[i - 1].xy(), d = line.points[i].xy() - a;
    const double l = norm(d);
    if (at <= l && l > 0) return a + d * (at / l);
    at -= l;
  }
  return line.points.back().xy();
}

Line partOf(const Pass& line, double from, double to) {
  Line part{alongLine(line, from)};
  double at = 0.0;
  for (std::size_t i = 1; i < line.points.size(); ++i) {
    at += norm((line.points[i] - line.points[i - 1]).xy());
    if (at > from && at < to) part.push_back(line.points[i].xy());
  }
  part.push_back(alongLine(line, to));
  return part;
}

}  // namespace

// Places without room for the allowance go to the largest cutter that passes them, and no smaller one clears them in
// radial steps.
void Planner::findNarrow() {
  // What a larger cutter passes is done, but only down to where it passes: a strip of floor beside a lock cut is none
  // of the lock cut.
  struct Done {
    double z;
    Region region;
  };
  std::vector<Done> done;
  const auto look = [&](std::size_t index, const Region& place, double z, bool through) {
    const double R = 0.5 * toMm(cutters_[index]->diameter);
    const Region& stays = standing(*cutters_[index], z);
    Region room = narrowRoom(place, stays, R, wallAllowance(), fit());
    for (const Done& d : done)
      if (!room.empty() && d.z <= z + kAboveLevel_mm) room = subtract(room, d.region);
    if (room.empty()) return;
    const Region near = offset(room, R);
    done.push_back({z, near});
    const Region grown = offset(near, kNarrowRim_mm);
    narrow_.push_back({index, std::move(room), grown, subtract(offset(grown, wallAllowance()), place), z, through});
  };
  const RoughSite s = site();
  for (std::size_t index = 0; index < cutters_.size(); ++index) {
    for (const FloorLevel& floor : chart_.floors())
      if (worthRoughing(s, floor.z_mm)) look(index, floor.region, floor.z_mm, false);
    for (const Opening& o : openings_) look(index, o.region, o.low_mm, true);
  }
}

Region Planner::withoutNarrow(Region metal, const Region& stays) const {
  if (metal.empty() || stays.empty()) return metal;
  for (const NarrowPlace& place : narrow_)
    if (area(intersect(place.beside, stays)) > kWallsStand * area(place.beside)) metal = subtract(metal, place.swept);
  return metal;
}

// Along their middle in full-width steps, once the floors over them are finished, to their full depth, before the walls
// are finished.
void Planner::narrowWith(std::size_t index) {
  const cutting::Cutter& cutter = *cutters_[index];
  const double R = 0.5 * toMm(cutter.diameter);
  struct Slot {
    const NarrowPlace* place;
    double top, z;
  };
  // A small cutter need not pass the underside by as much as a large one: its end is cut clean at once.
  const double through = std::min(toMm(work_.practice.throughDepth), kThroughShare * 2.0 * R);
  std::vector<Slot> slots;
  double deepest = 0.0;
  for (const NarrowPlace& place : narrow_) {
    if (place.cutter != index) continue;
    const double top = std::min(stockTop(place.room), top_mm_), z = place.z_mm - (place.through ? through : 0.0);
    if (top <= z + kAboveLevel_mm) continue;
    deepest = std::max(deepest, top - z);
    slots.push_back({&place, top, z});
  }
  if (slots.empty()) return;
  const std::optional<Mill> m = mill(cutter, cutting::CutKind::Rough, deepest);
  if (!m) return;
  start(OperationKind::Slot, inSlotSteps(*m), style(false, *m, slots.front().top),
        "slots without room for an allowance, in full-width steps");
  struct Looped {
    double top;
    Region keepOut;
    std::vector<Pass> layers;
  };
  std::vector<Looped> looped;
  for (const Slot& slot : slots) {
    const Region keepOut = keepOutOf(standing(cutter, slot.place->z_mm), R, 0.0, fit());
    walk_.setTop(slot.top);
    walk_.keepOutOf(keepOut, kRoughGuard_mm);
    for (const Pass& pass : middlePasses(slot.place->room, slot.z)) {
      std::vector<Pass> loops = loopsInstead(pass, keepOut, *m, slot.top);
      if (loops.empty())
        walk_.follow(pass);
      else
        looped.push_back({slot.top, keepOut, std::move(loops)});
    }
  }
  finish();
  if (looped.empty()) return;
  Style style = this->style(true, *m, looped.front().top);
  style.fitTolerance_mm = kFinishFit_mm;  // they run along the finished walls
  start(OperationKind::RestRough, *m, style, "loops along narrow places");
  for (const Looped& place : looped) {
    double above = place.top;
    walk_.keepOutOf(place.keepOut, 0.0);  // a helix has no more room than the loops
    for (const Pass& layer : place.layers) {
      walk_.setTop(above);
      walk_.up();
      walk_.follow(layer);
      above = layer.points.front().z;
    }
  }
  finish();
}

// Loops in the depth of roughing where they cost less, time and wear, than full-width layers; empty where they do not.
std::vector<Pass> Planner::loopsInstead(const Pass& middle, const Region& keepOut, const Mill& m, double top_mm) const {
  if (middle.closed) return {};
  // As wide as the place allows all along, ends apart: there the loops end before the wall does.
  const double length = planLength(middle);
  const auto room = [&](Vec2 p) { return keepOut.empty() ? m.radius() : -wallDistance(keepOut, p); };
  const double half = room(alongLine(middle, 0.5 * length));
  if (length <= 4.0 * half) return {};
  LoopTask task;
  task.loopRadius_mm = half;
  for (double at = half; at <= length - half; at += kLoopLook_mm)
    task.loopRadius_mm = std::min(task.loopRadius_mm, room(alongLine(middle, at)));
  task.loopRadius_mm -= kFinishGuard_mm + kArc_mm;
  task.middle = partOf(middle, half, length - half);
  task.cutterRadius_mm = m.radius();
  task.radialStep_mm = toMm(m.conditions.radialStep);
  const double step = loopStep(task.loopRadius_mm, task.cutterRadius_mm, task.radialStep_mm);
  const double depth = top_mm - middle.points.front().z;
  if (step <= 0 || m.slotStepFeed.base <= 0 || m.conditions.axialStep.base <= 0 || depth <= 0) return {};
  const int layers = std::max(1, static_cast<int>(std::ceil(depth / toMm(m.conditions.axialStep) - 1e-9)));
  const double seconds = layers * loopSeconds(length, task.loopRadius_mm, step, m.conditions.feed.base, kLinkFeed.base);
  const double slotSeconds = std::ceil(depth / m.slotStep_mm - 1e-9) * length / m.slotStepFeed.base;
  cutting::Conditions slot = m.conditions;
  slot.life = m.slotStepLife;
  if (seconds * moneyPerSecond(work_, *m.cutter, m.conditions) >= slotSeconds * moneyPerSecond(work_, *m.cutter, slot))
    return {};
  std::vector<Pass> passes;
  for (int i = 1; i <= layers; ++i) {
    task.z_mm = top_mm - depth * i / layers;
    if (std::optional<Pass> pass = loopPass(task)) passes.push_back(std::move(*pass));
  }
  return passes;
}

}  // namespace chipledger::path
