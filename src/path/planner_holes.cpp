// Stages that work on the axis of a hole.
#include <chipledger/path/clearance.hpp>
#include <chipledger/path/counterbore.hpp>
#include <chipledger/path/thread.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "path/planner.hpp"

namespace chipledger::path {
namespace {

constexpr double kEarlyBelow_mm = 0.5;   // holes that open this near to the skimmed face are drilled before pockets
constexpr double kSinkGuard_mm = 0.006;  // cones keep this much over the drawn one
constexpr double kSpotShare = 0.9;       // of the hole's diameter: the spot stays inside the hole
constexpr double kPeckReturn_mm = 0.2;   // a drill goes back down at rapid to this much above where it was

// Nearest first, from the first of the list.
std::vector<const HolePlan*> inOrder(std::vector<const HolePlan*> open) {
  std::vector<const HolePlan*> ordered;
  while (!open.empty()) {
    std::size_t best = 0;
    if (!ordered.empty())
      for (std::size_t i = 1; i < open.size(); ++i)
        if (norm(open[i]->spot.centre - ordered.back()->spot.centre) <
            norm(open[best]->spot.centre - ordered.back()->spot.centre) - 1e-9)
          best = i;
    ordered.push_back(open[best]);
    open.erase(open.begin() + static_cast<std::ptrdiff_t>(best));
  }
  return ordered;
}

}  // namespace

void Planner::drill(bool early) {
  std::vector<const HolePlan*> mine;
  for (const HolePlan& h : holes_) {
    const bool first = work_.firstSide || h.spot.top_mm >= top_mm_ - kEarlyBelow_mm;
    if (first == early) mine.push_back(&h);
  }
  if (mine.empty()) return;
  // The metal over each hole as it stands before the first drill; later a spot drill has been in its middle.
  std::map<const HolePlan*, double> tops;
  for (const HolePlan* h : mine) {
    const double metal = stockTop(h->spot.centre, 0.5 * h->spot.diameter_mm);
    tops[h] = std::max({metal, h->spot.bottom_mm, std::min(h->spot.top_mm, top_mm_)});
  }
  // A hole under or close beside what stands higher is no work for this direction.
  const auto mayStand = [&](const HolePlan& h, const cutting::Cutter& c, double z) {
    const double deep = standsIn(removal_.target(), profileOf(c), {h.spot.centre.x, h.spot.centre.y, z});
    if (deep <= 0) return true;
    note(NoteSeverity::LeftOut, "hole-not-reached",
         fmt::format("{} would cut {:.2f} mm into what stands over or beside this hole; it is not priced.", c.id, deep),
         work_.details->list[static_cast<std::size_t>(h.spot.detail)].name);
    return false;
  };

  const auto place = [](const HolePlan& h, double z) { return Vec3{h.spot.centre.x, h.spot.centre.y, z}; };
  const auto each = [&](OperationKind kind, cutting::CutKind cut, auto cutterOf, std::string why, auto work) {
    std::vector<const cutting::Cutter*> cutters;
    for (const HolePlan* h : mine) {
      const cutting::Cutter* c = cutterOf(*h);
      if (c != nullptr && std::find(cutters.begin(), cutters.end(), c) == cutters.end()) cutters.push_back(c);
    }
    std::sort(cutters.begin(), cutters.end(), [](const cutting::Cutter* a, const cutting::Cutter* b) {
      return a->diameter != b->diameter ? a->diameter < b->diameter : a->id < b->id;
    });
    for (const cutting::Cutter* c : cutters) {
      std::vector<const HolePlan*> holes;
      double deepest = 0.0;
      for (const HolePlan* h : mine) {
        if (cutterOf(*h) != c) continue;
        holes.push_back(h);
        if (kind == OperationKind::Counterbore)
          deepest = std::max(deepest, h->spot.seatTop_mm - h->spot.top_mm);
        else
          deepest = std::max(deepest, std::min(top_mm_, h->spot.top_mm + top_mm_ - chart_.high()) - h->spot.bottom_mm);
      }
      const std::optional<Mill> m = mill(*c, cut, deepest);
      if (!m) {
        note(NoteSeverity::LeftOut, "no-hole-conditions",
             "The tables have no row for " + c->id + " in this material, so its holes are not priced.");
        continue;
      }
      start(kind, *m, style(false, *m, top_mm_), why);
      for (const HolePlan* h : inOrder(holes)) {
        if (work(*h, *c, *m, tops[h])) walk_.countHole();
      }
      finish();
    }
  };
  const double clear = toMm(work_.practice.entryClearance), through = toMm(work_.practice.throughDepth);

  each(
      OperationKind::Spot, cutting::CutKind::Spot, [](const HolePlan& h) { return h.spotDrill; },
      "a start for the drill",
      [&](const HolePlan& h, const cutting::Cutter& c, const Mill& m, double top) {
        const double tan = std::tan(0.5 * (c.pointAngle.rad > 0 ? c.pointAngle.rad : degrees(90).rad));
        const double depth = kSpotShare * 0.5 * std::min(h.spot.diameter_mm, toMm(c.diameter)) / tan;
        const double z = std::max(top - depth, h.spot.bottom_mm);
        if (!mayStand(h, c, z)) return false;
        walk_.rapid(place(h, walk_.safe_mm()));
        walk_.rapid(place(h, top + clear));
        walk_.feed(place(h, z), m.conditions.feed);
        walk_.rapid(place(h, walk_.safe_mm()));
        return true;
      });
  each(
      OperationKind::Drill, cutting::CutKind::Drill, [](const HolePlan& h) { return h.drill; },
      "nearest drill to the drawn size",
      [&](const HolePlan& h, const cutting::Cutter& c, const Mill& m, double top) {
        const double end = h.spot.through ? h.spot.bottom_mm - through - pointHeight(c) : h.spot.bottom_mm;
        if (!mayStand(h, c, end)) return false;
        walk_.rapid(place(h, walk_.safe_mm()));
        walk_.rapid(place(h, top + clear));
        const std::vector<double> depths = peckDepths(top - end, toMm(m.conditions.peck));
        for (std::size_t i = 0; i < depths.size(); ++i) {
          walk_.feed(place(h, top - depths[i]), m.conditions.feed);
          // Full retract for the chips (job 2.7), then back to just above the ground.
          walk_.rapid(place(h, i + 1 < depths.size() ? top + clear : walk_.safe_mm()));
          if (i + 1 < depths.size()) walk_.rapid(place(h, top - depths[i] + kPeckReturn_mm));
        }
        return true;
      });
  each(
      OperationKind::Counterbore, cutting::CutKind::Rough, [](const HolePlan& h) { return h.counterbore; },
      "cheapest mill that leaves no core",
      [&](const HolePlan& h, const cutting::Cutter& c, const Mill& m, double top) {
        // Round its axis the mill covers the seat: a cutter of the seat's width must have room there.
        const field::Profile seat = field::flatProfile(h.spot.seat_mm);
        if (const double deep = standsIn(removal_.target(), seat, {h.spot.centre.x, h.spot.centre.y, h.spot.top_mm});
            deep > 0) {
          note(NoteSeverity::LeftOut, "hole-not-reached",
               fmt::format("{} would cut {:.2f} mm into what stands over or beside this counterbore; it is not priced.",
                           c.id, deep),
               work_.details->list[static_cast<std::size_t>(h.spot.detail)].name);
          return false;
        }
        const double metal = std::max({top, h.spot.seatTop_mm, stockTop(h.spot.centre, 0.5 * h.spot.seat_mm)});
        const Angle ramp = m.conditions.rampAngle.rad > 0 ? m.conditions.rampAngle : degrees(2.0);
        std::vector<Segment> way = counterborePath(h.spot, c, metal + 0.2 * clear, ramp);
        const Segment round = way.back();
        way.pop_back();
        if (!way.empty()) {
          walk_.rapid({way.front().start.x, way.front().start.y, walk_.safe_mm()});
          walk_.rapid(way.front().start);
          walk_.along(way, MoveKind::Enter, m.conditions.enterFeed);
        }
        walk_.along({round}, MoveKind::Cut, m.conditions.feed);
        walk_.feed(place(h, h.spot.top_mm), m.conditions.feed, MoveKind::Link);
        walk_.rapid(place(h, walk_.safe_mm()));
        return true;
      });
  each(
      OperationKind::Ream, cutting::CutKind::Ream, [](const HolePlan& h) { return h.reamer; }, "tight bore",
      [&](const HolePlan& h, const cutting::Cutter& c, const Mill& m, double top) {
        const double end = h.spot.through ? h.spot.bottom_mm - through : h.spot.bottom_mm;
        if (!mayStand(h, c, end)) return false;
        walk_.rapid(place(h, walk_.safe_mm()));
        walk_.rapid(place(h, top + clear));
        walk_.feed(place(h, end), m.conditions.feed);
        walk_.feed(place(h, top + clear), m.conditions.feed * 2.0, MoveKind::Link);
        walk_.rapid(place(h, walk_.safe_mm()));
        return true;
      });
  each(
      OperationKind::Countersink, cutting::CutKind::Spot, [](const HolePlan& h) { return h.sink; },
      "the angle of the countersink",
      [&](const HolePlan& h, const cutting::Cutter&, const Mill& m, double top) {
        walk_.rapid(place(h, walk_.safe_mm()));
        walk_.rapid(place(h, std::max(top, h.spot.mouthTop_mm) + clear));
        walk_.feed(place(h, h.spot.mouthTop_mm - sinkDepth(h.spot.mouth_mm, h.spot.mouthAngle) + kSinkGuard_mm),
                   m.conditions.feed);
        walk_.rapid(place(h, walk_.safe_mm()));
        return true;
      });
  for (const HolePlan* h : mine)
    if (h->spot.mouth_mm > 0 && h->sink == nullptr && work_.details != nullptr)
      note(NoteSeverity::LeftOut, "no-countersink-cutter",
           "No chamfer cutter of this countersink's angle and size is in the crib, so it is not priced.",
           work_.details->list[static_cast<std::size_t>(h->spot.detail)].name);
  each(
      OperationKind::Tap, cutting::CutKind::Tap, [](const HolePlan& h) { return h.tap; }, "thread from the answers",
      [&](const HolePlan& h, const cutting::Cutter&, const Mill& m, double top) {
        walk_.rapid(place(h, walk_.safe_mm()));
        walk_.rapid(place(h, top + clear));
        // The drawn bore is the hole to be tapped: the thread's own metal is not in the drawing, so nothing is booked.
        walk_.pass(place(h, h.spot.through ? h.spot.bottom_mm - through : h.spot.bottom_mm), m.conditions.feed,
                   MoveKind::Cut);
        walk_.pass(place(h, top + clear), m.conditions.feed, MoveKind::Link);
        walk_.rapid(place(h, walk_.safe_mm()));
        return true;
      });
  each(
      OperationKind::ThreadMill, cutting::CutKind::ThreadMill, [](const HolePlan& h) { return h.threadMill; },
      "thread from the answers; a tap is dearer here or does not fit",
      [&](const HolePlan& h, const cutting::Cutter& c, const Mill& m, double top) {
        const ThreadHelix helix = helixOf(h, h.spot.through ? through : 0.0);
        const Speed speed = axisFeed(helix, c, m.conditions.feed);
        const Vec3 above = place(h, top + clear);
        walk_.rapid(place(h, walk_.safe_mm()));
        walk_.rapid(above);
        // As with a tap nothing is booked. The way begins and ends over the hole.
        const std::vector<Segment> way = threadPath(helix);
        std::vector<Move>& moves = walk_.operation().moves;
        moves.push_back({MoveKind::Link, line(above, way.front().start), kLinkFeed, {}, {}});
        for (const Segment& s : way) moves.push_back({MoveKind::Cut, s, speed, m.conditions.radialStep, {}});
        moves.push_back({MoveKind::Link, line(way.back().end, above), kLinkFeed, {}, {}});
        walk_.rapid(place(h, walk_.safe_mm()));
        return true;
      });
  for (const HolePlan* h : mine)
    if (!h->spot.thread.empty() && h->tap == nullptr && h->threadMill == nullptr)
      note(NoteSeverity::LeftOut, "no-thread-cutter",
           fmt::format("No tap and no thread mill in the crib cuts {} in this hole; its bore is priced, its thread is "
                       "not. Add the cutter to the shop file.",
                       h->spot.thread),
           work_.details->list[static_cast<std::size_t>(h->spot.detail)].name);
}

}  // namespace chipledger::path
