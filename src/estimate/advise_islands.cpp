#include <fmt/format.h>
#include <chipledger/detail/treads.hpp>

#include <algorithm>
#include <cmath>
#include <optional>

#include "estimate/candidates.hpp"

namespace chipledger::estimate {
namespace {

using detail::Detail;
using detail::DetailKind;
using field::Prism;

constexpr double kSameHeight_mm = 0.05;    ///< islands within this are one height to the owner
constexpr double kLargestLowering = 0.6;   ///< of an island's height: beyond that it is another design
constexpr double kRoomToPass = 1.15;       ///< gap over cutter below which the cutter does not pass (common practice)
constexpr double kLeastWidening_mm = 0.3;  ///< less than this is no change worth drawing
constexpr double kLeastEdge_mm = 1.0;      ///< an island moved stays this far inside the outline
constexpr double kLargestTrim = 0.3;       ///< of an island's foot: beyond that it is another design
constexpr double kSpigotShare = 0.6;       ///< of the island's width: thickest spigot of a pressed boss
constexpr double kTwoScrewsFrom_mm = 10;   ///< a boss shorter than this is held by one screw
constexpr double kScrewShare = 0.25;       ///< of the length: how far the screws stand from the middle

std::vector<int> islandsOf(const Ground& ground) {
  return where(ground.details(), [](const Detail& d) { return d.kind == DetailKind::Island; });
}

double rootOf(const Detail& d) { return d.dimensions.rootRadius ? toMm(*d.dimensions.rootRadius) : 0.0; }

Region movedBy(const Region& region, Vec2 by) {
  Region moved = region;
  for (Ring& ring : moved.rings)
    for (Vec2& p : ring) p = p + by;
  return moved;
}

/// An island as it stands, elsewhere: its top and its foot fillet.
void standAgain(const Detail& d, Vec2 by, std::vector<field::Change>& changes) {
  const bool outer = d.side != detail::Side::Back;
  const double root = rootOf(d);
  const Region foot = movedBy(d.footprint, by);
  const Region wall = root > 0 ? offset(foot, -root) : foot;
  changes.push_back(prism(Prism::Act::Add, wall, d.low_mm, d.high_mm));
  if (root > 0) detail::appendFillet(wall, root, true, outer ? d.low_mm : d.high_mm, outer, changes);
}

bool carriesNothing(const Ground& ground, int island) {
  const detail::Details& all = ground.details();
  for (std::size_t i = 0; i < all.list.size(); ++i) {
    const Detail& d = all.list[i];
    if (d.kind == DetailKind::Chamfer || d.kind == DetailKind::Round) continue;
    if (d.parent == island || (d.kind == DetailKind::CarvedFace && !d.footprint.empty() &&
                               !intersect(d.footprint, ground.at(island).footprint).empty()))
      return false;
  }
  return true;
}

/// Whether the island may stand there: inside the outline, clear of all that is on its side by the width that passes.
bool isFree(const Ground& ground, int island, const Region& foot, double clear_mm) {
  const detail::Details& all = ground.details();
  for (std::size_t i = 0; i < all.list.size(); ++i) {
    const Detail& d = all.list[i];
    if (static_cast<int>(i) == island || d.footprint.empty()) continue;
    if (d.kind == DetailKind::Outline) {
      if (!subtract(foot, offset(d.footprint, -kLeastEdge_mm)).empty()) return false;
      continue;
    }
    const bool sameSide = d.side == ground.at(island).side || d.side == detail::Side::Both;
    if (!sameSide || d.kind == DetailKind::Body || d.kind == DetailKind::Chamfer || d.kind == DetailKind::Round)
      continue;
    const Region room = d.kind == DetailKind::Island ? offset(foot, clear_mm - 1e-3) : foot;
    if (!intersect(room, d.footprint).empty()) return false;
  }
  return true;
}

/// Moved along the shortest way until the cutter passes; empty when there is no room.
std::optional<std::vector<field::Change>> movedApart(const Ground& ground, int island, const Gap& gap, double by_mm,
                                                     double clear_mm) {
  const Detail& d = ground.at(island);
  if (!carriesNothing(ground, island) || gap.distance_mm <= 0) return std::nullopt;
  const Vec2 way = (gap.onFirst - gap.onSecond) * (by_mm / gap.distance_mm);
  if (!isFree(ground, island, movedBy(d.footprint, way), clear_mm)) return std::nullopt;
  std::vector<field::Change> changes{prism(Prism::Act::Remove, d.footprint, d.low_mm, d.high_mm)};
  standAgain(d, way, changes);
  return changes;
}

/// What a neck of this width must become for the next larger cutters to pass: the crib's next two, and the next that
/// the plan uses anyway (no tool change more).
struct Room {
  double mill_mm{}, neck_mm{};
};
std::vector<Room> widerRooms(const Ground& ground, double now_mm, double roots_mm) {
  constexpr std::size_t kNextOfCrib = 2;
  const auto roomFor = [&](double mill) {
    return upToStep(std::max(kRoomToPass * mill, mill + roots_mm + 2 * toMm(ground.shop.practice.fitClearance)));
  };
  std::vector<double> crib;
  for (const cutting::Cutter& c : ground.shop.crib)
    if (c.kind == cutting::CutterKind::Flat) crib.push_back(toMm(c.diameter));
  std::sort(crib.begin(), crib.end());
  crib.erase(std::unique(crib.begin(), crib.end()), crib.end());
  std::vector<Room> rooms;
  for (const double mill : crib)
    if (now_mm + kLeastWidening_mm <= roomFor(mill) && rooms.size() < kNextOfCrib)
      rooms.push_back({mill, roomFor(mill)});
  for (const double mill : ground.millsInUse()) {
    if (now_mm + kLeastWidening_mm > roomFor(mill)) continue;
    const bool there = std::any_of(rooms.begin(), rooms.end(), [&](const Room& r) { return r.mill_mm == mill; });
    if (!there) rooms.push_back({mill, roomFor(mill)});
    break;
  }
  return rooms;
}

/// One neck: between two islands, or (other = the recess it stands in) between an island and the wall round it.
void widenNeck(const Ground& ground, int island, int other, std::vector<Candidate>& out) {
  const Detail& a = ground.at(island);
  const Detail& b = ground.at(other);
  const bool toWall = b.kind != DetailKind::Island;
  const Gap feet = gapBetween(a.footprint, b.footprint);
  const double roots = rootOf(a) + (toWall ? 0.0 : rootOf(b));
  const double now = feet.distance_mm + roots;
  const std::string neck = toWall ? fmt::format("between {} and the wall of {}", a.name, b.name)
                                  : fmt::format("between {} and {}", a.name, b.name);
  for (const Room& room : widerRooms(ground, now, roots)) {
    const double by = room.neck_mm - now, clear = room.neck_mm - roots;
    const std::string then = fmt::format("the neck {} is then {:.2f} instead of {:.2f} and \xC3\x98{:g} passes", neck,
                                         room.neck_mm, now, room.mill_mm);
    Candidate c;
    c.advice.details = {island};
    c.advice.about = a.name;
    if (!toWall) {
      // Whichever of the two has room on its far side.
      if (auto moved = movedApart(ground, island, feet, by, clear)) {
        c.variant.changes = std::move(*moved);
      } else if (auto second = movedApart(ground, other, {feet.distance_mm, feet.onSecond, feet.onFirst}, by, clear)) {
        c.variant.changes = std::move(*second);
        c.advice.details = {other};
        c.advice.about = b.name;
      }
    }
    if (!c.variant.changes.empty()) {
      c.advice.change = fmt::format("move {} {:.2f} mm away: {}", c.advice.about, by, then);
    } else {
      const Region wide = toWall ? subtract(a.footprint, offset(b.footprint, -clear))
                                 : intersect(a.footprint, offset(b.footprint, clear));
      if (wide.empty() || area(wide) > kLargestTrim * area(a.footprint)) continue;
      c.variant.changes = {prism(Prism::Act::Remove, wide, a.low_mm, a.high_mm)};
      c.advice.change = fmt::format("make {} {:.2f} mm narrower there: {}", a.name, by, then);
    }
    sayLooks(ground, c.advice);
    out.push_back(std::move(c));
  }
}

/// Reamers of the crib that a boss of this width can stand on with its spigot; 0: none.
double spigotFor(const Ground& ground, double width_mm) {
  double best = 0.0;
  for (const cutting::Cutter& c : ground.shop.crib)
    if (c.kind == cutting::CutterKind::Reamer && toMm(c.diameter) <= kSpigotShare * width_mm)
      best = std::max(best, toMm(c.diameter));
  return best;
}

struct ScrewBore {
  std::string thread;
  double drill_mm{};
};
/// The smallest screw of the tap table that the crib can tap.
ScrewBore screwFor(const Ground& ground) {
  ScrewBore best;
  for (const detail::TapDrill& t : detail::RecogniseOptions{}.tapDrills) {
    const auto thread = cutting::findThread(ground.shop.tables.threads, t.thread);
    if (!thread) continue;
    const bool tapped = std::any_of(ground.shop.crib.begin(), ground.shop.crib.end(), [&](const cutting::Cutter& c) {
      return c.kind == cutting::CutterKind::Tap && std::abs(toMm(c.diameter) - thread->nominal_mm) < 1e-3;
    });
    if (tapped) return {t.thread, toMm(t.most)};
  }
  return best;
}

}  // namespace

void lowerIslands(const Ground& ground, std::vector<Candidate>& out) {
  const Estimate& e = ground.estimate;
  const auto rules = ground.shop.plates.find(e.material);
  const std::vector<int> islands = islandsOf(ground);
  if (rules == ground.shop.plates.end() || islands.empty()) return;
  double thinner = 0.0;
  for (const Length step : rules->second.steps)
    if (step < e.blank.step) thinner = toMm(step);
  if (thinner <= 0.0) return;
  double top = 0.0;
  for (const int i : islands) top = std::max(top, ground.at(i).high_mm);
  // What a thinner plate may lack below its name is another than now: ask the chooser, step by step.
  const double low = ground.standing().solid->low(), high = ground.standing().solid->high();
  const Area shadow = mm2(area(ground.standing().solid->shadowFromAbove(low)));
  double lower = 0.0;
  for (double by = kRounding_mm; by < high - low && lower <= 0.0; by += kRounding_mm) {
    Box3 box;
    box.add({0, 0, 0});
    box.add({e.size_mm.x, e.size_mm.y, high - low - by});
    const auto blank = stock::chooseBlank(box, e.partVolume, rules->second, shadow);
    if (blank && blank->step < e.blank.step) {
      lower = by;
      thinner = toMm(blank->step);
    }
  }
  if (lower <= 0.0 || high > top + kSameHeight_mm) return;
  Candidate c;
  double newHeight = 0.0;
  for (const int i : islands) {
    const Detail& d = ground.at(i);
    // An island below the others need only come down to where they end.
    const double by = lower - (top - d.high_mm);
    if (by <= kSameHeight_mm / 2) continue;
    const double height = d.high_mm - d.low_mm;
    if (by > kLargestLowering * height) return;
    field::Change change;
    change.kind = field::Change::Kind::Lift;
    change.lift.region = d.footprint;
    change.lift.above_mm = d.low_mm + 0.75 * height;
    change.lift.by_mm = -by;
    c.variant.changes.push_back(change);
    c.advice.details.push_back(i);
    newHeight = height - by;
  }
  if (c.advice.details.empty()) return;
  c.advice.about = c.advice.details.size() > 1 ? "all islands" : ground.at(c.advice.details.front()).name;
  c.advice.change = fmt::format("lower {} to {:.2f} mm ({:.2f} less): the part then fits the {:.2f} plate",
                                namesOf(ground, c.advice.details, "islands"), newHeight, lower, thinner);
  sayLooks(ground, c.advice);
  out.push_back(std::move(c));
}

void widenNecks(const Ground& ground, std::vector<Candidate>& out) {
  const std::vector<int> islands = islandsOf(ground);
  for (std::size_t i = 0; i < islands.size(); ++i) {
    const Detail& a = ground.at(islands[i]);
    if (a.footprint.empty() || a.side == detail::Side::Other) continue;
    for (std::size_t k = i + 1; k < islands.size(); ++k) {
      const Detail& b = ground.at(islands[k]);
      if (b.side != a.side || b.parent != a.parent || b.footprint.empty()) continue;
      if (!intersect(a.footprint, b.footprint).empty()) continue;
      widenNeck(ground, islands[i], islands[k], out);
    }
    if (a.parent >= 0 && isPocket(ground.at(a.parent).kind) && !ground.at(a.parent).footprint.empty())
      widenNeck(ground, islands[i], a.parent, out);
  }
}

void separateBosses(const Ground& ground, std::vector<Candidate>& out) {
  const detail::Details& drawn = ground.details();
  std::vector<int> islands;
  for (const int i : islandsOf(ground))
    if (ground.at(i).parent < 0 && !ground.at(i).footprint.empty()) islands.push_back(i);
  if (islands.empty()) return;
  const int count = static_cast<int>(islands.size());
  const ScrewBore screw = screwFor(ground);
  for (const Bosses::Fixing fixing : {Bosses::Fixing::Pressed, Bosses::Fixing::Screwed}) {
    const bool pressed = fixing == Bosses::Fixing::Pressed;
    if (!pressed && screw.thread.empty()) continue;
    Candidate c;
    auto details = std::make_shared<detail::Details>(drawn);
    std::vector<char> dropped(drawn.list.size(), 0);
    for (const int i : islands)
      for (const int child : detail::withChildren(drawn, i)) dropped[static_cast<std::size_t>(child)] = 1;
    takeAway(ground.replanner.drawn(), islands, c.variant);
    bool possible = true;
    double spigot = 0.0;
    for (const int i : islands) {
      const Detail& island = ground.at(i);
      const Box2 plan = box(island.footprint);
      const double width =
          island.dimensions.width ? toMm(*island.dimensions.width) : std::min(plan.size().x, plan.size().y);
      const double length = std::max(plan.size().x, plan.size().y);
      const Vec2 along = plan.size().x >= plan.size().y ? Vec2{1, 0} : Vec2{0, 1};
      const double diameter = pressed ? spigotFor(ground, width) : screw.drill_mm;
      if (diameter <= 0.0 || diameter > kSpigotShare * width) possible = false;
      spigot = diameter;
      std::vector<Vec2> places{plan.centre()};
      if (!pressed && length >= kTwoScrewsFrom_mm)
        places = {plan.centre() - along * (kScrewShare * length), plan.centre() + along * (kScrewShare * length)};
      for (const Vec2 at : places) {
        Detail bore;
        bore.name = fmt::format("boss-bore-{}", details->list.size());
        bore.kind = pressed ? DetailKind::Bore : DetailKind::Thread;
        bore.side = detail::Side::Both;
        bore.through = true;
        bore.dimensions.diameter = mm(diameter);
        bore.dimensions.depth = mm(drawn.bodyHigh_mm - drawn.bodyLow_mm);
        bore.footprint = disc(at, 0.5 * diameter);
        bore.low_mm = drawn.bodyLow_mm;
        bore.high_mm = drawn.bodyHigh_mm;
        // Where a bore goes through the island already, the boss is held by that.
        bool taken = false;
        for (const Detail& d : drawn.list)
          taken = taken || (d.through && !d.footprint.empty() && d.kind != DetailKind::Outline &&
                            d.kind != DetailKind::Body && !intersect(d.footprint, offset(bore.footprint, 0.5)).empty());
        if (taken) continue;
        c.variant.changes.push_back(prism(Prism::Act::Remove, bore.footprint, bore.low_mm, bore.high_mm));
        path::HoleOrder order;
        order.detail = static_cast<int>(details->list.size());
        order.tight = pressed;
        if (!pressed) order.thread = bore.thread = screw.thread;
        c.variant.moreHoles.push_back(order);
        details->list.push_back(std::move(bore));
      }
    }
    if (!possible) continue;
    dropped.resize(details->list.size(), 0);
    c.variant.dropped = std::move(dropped);
    c.variant.bosses = {fixing, count};
    c.variant.details = details;
    c.advice.details = islands;
    c.advice.about = count > 1 ? "all islands" : ground.at(islands.front()).name;
    const std::string them = namesOf(ground, islands, "islands");
    c.advice.change = pressed ? fmt::format("press {} in as separate {} with a spigot in a reamed bore of {:g}", them,
                                            count > 1 ? "bosses" : "a boss", spigot)
                              : fmt::format("screw {} on as separate {} with {} screws", them,
                                            count > 1 ? "bosses" : "a boss", screw.thread);
    sayLooks(ground, c.advice);
    c.advice.looks +=
        pressed ? "; a ring line shows and a boss may loosen" : "; a joint line shows; screws need locking";
    out.push_back(std::move(c));
  }
}

}  // namespace chipledger::estimate
