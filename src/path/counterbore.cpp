#include <chipledger/path/counterbore.hpp>
#include <chipledger/path/entry.hpp>
#include <chipledger/path/kit.hpp>
#include <chipledger/path/wall.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::path {

double boreOffset(const HoleSpot& spot, const cutting::Cutter& mill) {
  return 0.5 * (spot.seat_mm - toMm(mill.diameter)) - kFinishGuard_mm;
}

std::vector<Segment> counterborePath(const HoleSpot& spot, const cutting::Cutter& mill, double from_mm, Angle ramp) {
  return helixEntry(spot.centre, boreOffset(spot, mill), from_mm, spot.top_mm, ramp, 0.0);
}

void chooseCounterbore(const Work& work, HolePlan& hole) {
  const HoleSpot& spot = hole.spot;
  if (spot.seat_mm <= 0 || hole.drill == nullptr) return;
  const double depth = spot.seatTop_mm - spot.top_mm;
  double least = 1e300;
  for (const cutting::Cutter* c : flatMills(work)) {
    const double D = toMm(c->diameter), e = boreOffset(spot, *c);
    // No core stays between the helix and the hole that is there already, and the helix is one.
    if (e < kLeastHelixShare * D || e - 0.5 * D > 0.5 * spot.diameter_mm - kNoCore_mm || reachOf(*c) < depth) continue;
    const std::optional<Mill> m = millFor(work, *c, cutting::CutKind::Rough, depth, depth);
    if (!m || m->conditions.enterFeed.base <= 0) continue;
    const Angle ramp = m->conditions.rampAngle.rad > 0 ? m->conditions.rampAngle : degrees(2.0);
    const double seconds = pathLength(counterborePath(spot, *c, spot.seatTop_mm, ramp)) / m->conditions.enterFeed.base;
    const double money = seconds * moneyPerSecond(work, *c, m->conditions);
    if (money >= least) continue;
    least = money;
    hole.counterbore = c;
  }
}

}  // namespace chipledger::path
