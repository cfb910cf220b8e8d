// Cutting the part out, and the concave corners of its outline that are too narrow for the cutter that goes round.
#include <chipledger/path/corners.hpp>
#include <chipledger/path/outline.hpp>
#include <chipledger/path/roughing.hpp>
#include <chipledger/path/wall.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "path/planner.hpp"

namespace chipledger::path {
namespace {

constexpr double kArc_mm = 0.005;
constexpr double kBand_mm = 2.0;  // round the part, where corners are looked for
constexpr double kLeastRest_mm2 = 0.02;
constexpr double kRoughGuard_mm = 0.03;  // links keep this far inside the allowance
constexpr double kMeet_mm = 0.06;        // the small cutter meets the wall that the large one left

double leadOf(double radius) { return 0.5 * radius; }

}  // namespace

void Planner::outline() {
  OutlineTask task;
  task.part = chart_.outline();
  task.top_mm = top_mm_;
  int outlineDetail = -1;
  if (work_.details != nullptr)
    for (std::size_t i = 0; i < work_.details->list.size(); ++i)
      if (work_.details->list[i].kind == detail::DetailKind::Outline) {
        outlineDetail = static_cast<int>(i);
        task.partLow_mm = heightsInSetup(work_, work_.details->list[i]).first;
      }
  const Region band = subtract(offset(task.part, kBand_mm), task.part);
  task.top_mm = std::min(top_mm_, stockTop(band));
  if (task.top_mm <= task.partLow_mm) return;
  task.bottom_mm = task.partLow_mm - toMm(work_.practice.throughDepth);
  task.allowance_mm = wallAllowance();
  task.tabs = work_.practice.tabs;
  task.tabWidth_mm = toMm(work_.practice.tabWidth);
  task.tabHeight_mm = toMm(work_.practice.tabHeight);
  const double depth = task.top_mm - task.bottom_mm;

  // The cheapest smaller cutter by its formula, to weigh.
  const auto cornerMoney = [&](const Region& left, double deep, double radius) {
    double cheapest = 1e300;
    for (const cutting::Cutter* c : flatMills(work_)) {
      if (0.5 * toMm(c->diameter) >= radius - 1e-9 || reachOf(*c) < deep) continue;
      const std::optional<Candidate> k = candidate(*c, deep);
      if (!k || area(unreachable(band, task.part, k->radius_mm, fit())) > kLeastRest_mm2) continue;
      cheapest = std::min(cheapest, k->changeMoney + std::ceil(deep / k->layer_mm) *
                                                         (area(left) / k->step_mm + 0.5 * perimeter(left)) /
                                                         k->feed_mm_s * k->moneyPerSecond);
    }
    return cheapest < 1e300 ? cheapest : 0.0;  // no cutter takes them: they stay whichever goes round
  };
  std::optional<Mill> best;
  double least = 1e300;
  for (const cutting::Cutter* c : flatMills(work_)) {
    if (reachOf(*c) < depth) continue;
    const std::optional<Mill> m = mill(*c, cutting::CutKind::Rough, depth);
    if (!m || m->slotStepFeed.base <= 0) continue;
    const double seconds =
        std::ceil(depth / m->slotStep_mm - 1e-9) * perimeter(offset(task.part, m->radius())) / m->slotStepFeed.base;
    double money = seconds * moneyPerSecond(work_, *c, m->conditions);
    if (std::find(plan_.cuttersUsed.begin(), plan_.cuttersUsed.end(), c->id) == plan_.cuttersUsed.end())
      money += toSeconds(work_.toolChange) * work_.moneyPerMachineMinute / 60.0;
    // Concave corners that it leaves ask for a second cutter.
    const Region left = unreachable(band, task.part, m->radius(), fit());
    if (area(left) > kLeastRest_mm2) money += cornerMoney(left, depth, m->radius());
    if (money < least) {
      least = money;
      best = m;
    }
  }
  if (!best) {
    note(NoteSeverity::LeftOut, "no-outline-cutter",
         "No flat cutter in the crib reaches down to the underside, so the outline is not priced.");
    return;
  }
  task.radius_mm = best->radius();
  task.slotStep_mm = best->slotStep_mm;
  start(OperationKind::Outline, inSlotSteps(*best), style(true, *best, task.top_mm),
        "cheapest way round in full-width steps");
  double above = task.top_mm;
  walk_.keepOutOf(keepOutOf(task.part, task.radius_mm, task.allowance_mm, 0.0), kRoughGuard_mm);
  for (const Pass& pass : outlineRough(task)) {
    walk_.setTop(above);
    walk_.follow(pass);
    above = pass.points.front().z;
  }
  finish();
  const std::optional<Mill> wall = mill(*best->cutter, cutting::CutKind::Wall, depth);
  if (wall) {
    start(OperationKind::Outline, *wall, style(false, *wall, task.top_mm), "finishing pass round the outline");
    const Region keepOut = keepOutOf(task.part, task.radius_mm, 0.0, 0.0);
    walk_.keepOutOf(keepOut, kRoughGuard_mm);
    for (const Pass& pass : outlineFinish(task, kFinishGuard_mm))
      walk_.follow(withLead(pass, keepOut, leadOf(task.radius_mm)));
    finish();
  }
  outlineCorners(task, *best);
  for (Operation& operation : plan_.operations) {
    if (operation.kind != OperationKind::Outline || outlineDetail < 0) continue;
    for (Share& share : operation.shares)
      if (share.detail < 0) share.detail = outlineDetail;
    std::sort(operation.shares.begin(), operation.shares.end(),
              [](const Share& a, const Share& b) { return a.detail < b.detail; });
  }
}

// Corners go down beside the cut that is already there, never over a tab.
void Planner::outlineCorners(const OutlineTask& task, const Mill& first) {
  const double depth = task.top_mm - task.bottom_mm;
  const Region band = subtract(offset(task.part, kBand_mm), task.part);
  Zone zone{unreachable(band, task.part, first.radius(), fit()), task.part, depth, task.partLow_mm, false};
  if (area(zone.metal) <= kLeastRest_mm2) return;
  std::vector<Candidate> candidates;
  std::vector<const cutting::Cutter*> mills;
  for (const cutting::Cutter* c : flatMills(work_)) {
    if (c->diameter >= first.cutter->diameter || reachOf(*c) < depth) continue;
    std::optional<Candidate> k = candidate(*c, depth);
    if (!k) continue;
    candidates.push_back(std::move(*k));
    mills.push_back(c);
  }
  const Region tabs = tabPlaces(task);
  const double tabTop = task.partLow_mm + task.tabHeight_mm;
  const auto beside = [&](const Region& metal, double z) {
    return z < tabTop && !tabs.empty() ? subtract(metal, tabs) : metal;
  };
  std::vector<const cutting::Cutter*> before{first.cutter};
  Region left = zone.metal;
  for (int index : chooseChain({zone}, candidates, fit()).cutters) {
    const cutting::Cutter& cutter = *mills[static_cast<std::size_t>(index)];
    const std::string why = fmt::format("corners of the outline that {} leaves", before.back()->id);
    const std::optional<Mill> m = mill(cutter, cutting::CutKind::Rough, depth);
    if (!m) continue;
    start(OperationKind::Outline, *m, style(true, *m, task.top_mm), why);
    std::vector<RoughLevel> levels =
        layersOf(band, task.part, task.top_mm, task.bottom_mm, toMm(m->conditions.axialStep));
    for (RoughLevel& level : levels) level.metal = beside(level.metal, level.z_mm);
    clear(*m, before, levels);
    finish();
    if (const std::optional<Mill> wall = mill(cutter, cutting::CutKind::Wall, depth)) {
      start(OperationKind::Outline, *wall, style(false, *wall, task.top_mm), why);
      WallTask pass;
      pass.obstacle = task.part;
      pass.radius_mm = wall->radius();
      pass.allowance_mm = wallAllowance();
      pass.passStep_mm = toMm(work_.practice.finishWallPass);
      pass.springPasses = work_.practice.springPasses;
      pass.fit_mm = fit();
      pass.lead_mm = leadOf(pass.radius_mm);
      walk_.keepOutOf(keepOutOf(task.part, pass.radius_mm, 0.0, fit()), kRoughGuard_mm);
      const int layers = std::max(1, static_cast<int>(std::ceil(depth / toMm(wall->conditions.axialStep) - 1e-9)));
      for (int i = 1; i <= layers; ++i) {
        pass.z_mm = task.bottom_mm + depth * (layers - i) / layers;
        pass.beside = beside(intersect(band, offset(left, kMeet_mm, kArc_mm)), pass.z_mm);
        walk_.setTop(pass.z_mm + depth / layers);
        walk_.follow(wallPasses(pass));
      }
      finish();
    }
    before.push_back(&cutter);
    left = unreachable(band, task.part, m->radius(), fit());
  }
  zone.metal = band;
  for (const std::vector<Corner>& alike : grouped(cornersOf(zone, left, 0.5 * toMm(before.back()->diameter), fit())))
    note(NoteSeverity::Doubt, "corner-left", sentenceOf(alike, before.back()->id), "outline");
}

}  // namespace chipledger::path
