#include <chipledger/path/kit.hpp>
#include <chipledger/path/thread.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace chipledger::path {
namespace {

// Money for one hole; negative when the tables have no conditions.
double moneyOf(const Work& work, const HolePlan& hole, const cutting::Cutter& cutter) {
  const bool tap = cutter.kind == cutting::CutterKind::Tap;
  const double depth = hole.spot.top_mm - hole.spot.bottom_mm;
  const std::optional<Mill> m =
      millFor(work, cutter, tap ? cutting::CutKind::Tap : cutting::CutKind::ThreadMill, depth, depth);
  if (!m || m->conditions.feed.base <= 0) return -1.0;
  const double through = hole.spot.through ? toMm(work.practice.throughDepth) : 0.0;
  const ThreadHelix helix = helixOf(hole, through);
  const double seconds = tap ? 2.0 * (depth + through + toMm(work.practice.entryClearance)) / m->conditions.feed.base
                             : threadLength(helix) / axisFeed(helix, cutter, m->conditions.feed).base;
  const double wear = m->conditions.lifeHoles > 0 ? toUnits(cutter.price) / m->conditions.lifeHoles : 0.0;
  return seconds * work.moneyPerMachineMinute / 60.0 + wear;
}

bool canTap(const HolePlan& hole) {
  if (hole.tap == nullptr) return false;
  const double pitch = toMm(hole.tap->threadPitch);
  return hole.spot.through || hole.spot.top_mm - hole.spot.bottom_mm >= (kTapLead + kLeastThread) * pitch - 1e-9;
}

bool canMill(const HolePlan& hole) {
  if (hole.threadMill == nullptr || hole.drill == nullptr) return false;
  const double depth = hole.spot.top_mm - hole.spot.bottom_mm;
  return toMm(hole.threadMill->diameter) <= toMm(hole.drill->diameter) - kThreadMillFree_mm &&
         reachOf(*hole.threadMill) >= depth;
}

}  // namespace

double threadTurns(const ThreadHelix& helix) {
  return std::max(1.0, std::ceil((helix.to_mm - helix.from_mm) / helix.pitch_mm - 1e-9));
}

double threadLength(const ThreadHelix& helix) {
  const double round = 2.0 * std::numbers::pi * helix.offset_mm;
  return threadTurns(helix) * std::hypot(round, helix.pitch_mm) + 2.0 * std::hypot(0.25 * round, 0.25 * helix.pitch_mm);
}

std::vector<Segment> threadPath(const ThreadHelix& helix) {
  const double e = helix.offset_mm, P = helix.pitch_mm, turns = threadTurns(helix);
  const Vec2 c = helix.centre, aside = c + Vec2{0.5 * e, 0}, wall = c + Vec2{e, 0};
  const double top = helix.from_mm + turns * P;
  const auto ccw = Segment::Shape::ArcCcw;
  return {arc({c.x, c.y, helix.from_mm - 0.25 * P}, {wall.x, wall.y, helix.from_mm}, aside, ccw),
          arc({wall.x, wall.y, helix.from_mm}, {wall.x, wall.y, top}, c, ccw, turns),
          arc({wall.x, wall.y, top}, {c.x, c.y, top + 0.25 * P}, aside, ccw)};
}

ThreadHelix helixOf(const HolePlan& hole, double through_mm) {
  ThreadHelix helix;
  helix.centre = hole.spot.centre;
  if (hole.threadMill == nullptr) return helix;
  helix.pitch_mm = toMm(hole.threadMill->threadPitch);
  helix.offset_mm = 0.5 * (hole.nominal_mm - toMm(hole.threadMill->diameter));
  helix.from_mm = hole.spot.bottom_mm - through_mm + (hole.spot.through ? 0.0 : 0.25 * helix.pitch_mm);
  helix.to_mm = hole.spot.top_mm;
  return helix;
}

Speed axisFeed(const ThreadHelix& helix, const cutting::Cutter& mill, Speed edge) {
  const double e2 = 2.0 * helix.offset_mm;
  return edge * (e2 / (e2 + toMm(mill.diameter)));
}

void chooseThreading(const Work& work, std::vector<HolePlan>& holes) {
  for (HolePlan& hole : holes) {
    if (!canMill(hole)) hole.threadMill = nullptr;
    if (hole.threadMill != nullptr && !canTap(hole)) hole.tap = nullptr;
  }
  std::vector<std::string> threads;
  for (const HolePlan& hole : holes)
    if (!hole.spot.thread.empty() && std::find(threads.begin(), threads.end(), hole.spot.thread) == threads.end())
      threads.push_back(hole.spot.thread);
  const double change = toSeconds(work.toolChange) * work.moneyPerMachineMinute / 60.0;
  for (const std::string& thread : threads) {
    // What is the same for both ways is left out: holes that know only one.
    double tapped = change, milled = change;
    bool tapStays = false, millStays = false;
    for (HolePlan& hole : holes) {
      if (hole.spot.thread != thread) continue;
      const bool both = hole.tap != nullptr && hole.threadMill != nullptr;
      tapStays = tapStays || (!both && hole.tap != nullptr);
      millStays = millStays || (!both && hole.threadMill != nullptr);
      if (!both) continue;
      const double tap = moneyOf(work, hole, *hole.tap), mill = moneyOf(work, hole, *hole.threadMill);
      tapped += tap < 0 ? 1e9 : tap;
      milled += mill < 0 ? 1e9 : mill;
    }
    if (tapStays) tapped -= change;
    if (millStays) milled -= change;
    for (HolePlan& hole : holes)
      if (hole.spot.thread == thread && hole.tap != nullptr && hole.threadMill != nullptr)
        (milled < tapped - 1e-9 ? hole.tap : hole.threadMill) = nullptr;
  }
}

}  // namespace chipledger::path
