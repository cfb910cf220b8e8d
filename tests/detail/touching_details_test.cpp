// Details that cut into each other, drawn family by family: a window across a pocket's edge, a pocket in an island's
// flank, a slot that opens into a pocket, islands joined. The drawn details are the truth, as far as they can still be
// seen: a dimension counts when both ends of it stand on walls that the others left. Where they do not, what is left
// gives the dimension; where two details share floor or top, they are one. Both conventions are tested by themselves
// below.
#include <gtest/gtest.h>

#include <cstdlib>
#include <functional>
#include <iostream>
#include <numbers>
#include <sstream>

#include "drawn.hpp"
#include "support/random_chassis.hpp"

using namespace chipledger;
using namespace chipledger::test;
using chipledger::testing::random_chassis::Dice;
using detail::DetailKind;
using draw::DrawnKind;

namespace {

constexpr double kSize = 0.01;       // mm
constexpr double kOnWall = 0.003;    // mm: chords of the drawn footprints
constexpr double kLeastArc = 2.0;    // rad of a circle that must be left for its diameter
constexpr double kLeastLeft = 0.15;  // mm2 of floor or top that must be left
const draw::DrawOptions kTouch{draw::Touching::Allow, false};

/// Along which the drawn length lies, per detail.
struct Truth {
  const draw::DrawnDetail* drawn{};
  Vec2 along{1, 0};
  double low{}, high{};
  Region left;  ///< of its floor, top or opening
  bool lengthSeen{}, widthSeen{}, roundSeen{}, cornerSeen{}, floorSeen{};
};

bool island(const draw::DrawnDetail& d) { return d.kind == DrawnKind::Island; }

double directionOf(const draw::Chassis& c, const std::string& name) {
  for (const auto& d : c.islands)
    if (d.name == name) return d.place.angle.rad;
  for (const auto& d : c.pockets)
    if (d.name == name) return d.place.angle.rad;
  for (const auto& d : c.windows)
    if (d.name == name) return d.place.angle.rad;
  for (const auto& d : c.slots)
    if (d.name == name) {
      const Vec2 u = d.band.line_mm.back() - d.band.line_mm.front();
      return std::atan2(u.y, u.x);
    }
  return 0;
}

double floorOf(const draw::DrawnDetail& d, double surface) {
  if (d.through) return 0;
  return island(d) ? surface + toMm(*d.height) : d.centre_mm.z - toMm(d.depth.value_or(Length{}));
}

/// What of a detail the others left to be seen. Everything here stands on the outer side.
std::vector<Truth> truths(const draw::Chassis& c, const draw::Drawn& drawn) {
  const double surface = toMm(c.thickness);
  std::vector<Truth> list;
  for (const draw::DrawnDetail& d : drawn.details) {
    Truth t;
    t.drawn = &d;
    const double a = directionOf(c, d.name);
    t.along = {std::cos(a), std::sin(a)};
    t.low = island(d) ? surface : floorOf(d, surface);
    t.high = island(d) ? floorOf(d, surface) : surface;
    std::vector<Region> takers, above;  // above: takes the floor; takers: takes the wall all the way down
    for (const draw::DrawnDetail& o : drawn.details) {
      if (&o == &d || o.on == d.name || d.on == o.name) continue;
      if (intersect(o.footprint, d.footprint).empty()) continue;
      if (island(d)) {
        // A taller or equal island hides the wall, a recess takes it.
        if (!island(o) || floorOf(o, surface) > floorOf(d, surface) - 1e-9) takers.push_back(o.footprint);
      } else if (!island(o)) {
        if (floorOf(o, surface) <= floorOf(d, surface) + 1e-9) takers.push_back(o.footprint);
      }
    }
    const Region gone = unite(takers);
    // What stands in a pocket ends at the pocket's wall.
    Region room;
    for (const draw::DrawnDetail& o : drawn.details)
      if (o.name == d.on && island(d) != island(o)) room = o.footprint;
    t.left = takers.empty() ? d.footprint : subtract(d.footprint, gone);
    if (!room.empty()) t.left = intersect(t.left, room);
    Box2 all, seen;
    double arc = 0, turned = 0;
    const Ring& ring = d.footprint.rings.front();
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Vec2 p = ring[i], q = ring[(i + 1) % ring.size()];
      const int steps = std::max(1, static_cast<int>(norm(q - p) / 0.02));
      for (int s = 0; s < steps; ++s) {
        const Vec2 at = p + (q - p) * ((s + 0.5) / steps);
        const Vec2 local{dot(t.along, at), dot(perp(t.along), at)};
        all.add(local);
        turned += norm(q - p) / steps;
        if (!takers.empty() && contains(gone, at)) continue;
        if (!room.empty() && !contains(room, at)) continue;
        seen.add(local);
        arc += norm(q - p) / steps;
      }
    }
    if (arc > 0) {
      t.lengthSeen = seen.min.x - all.min.x < kOnWall && all.max.x - seen.max.x < kOnWall;
      t.widthSeen = seen.min.y - all.min.y < kOnWall && all.max.y - seen.max.y < kOnWall;
      t.roundSeen = arc / turned * 2 * std::numbers::pi > kLeastArc;
    }
    t.cornerSeen = t.lengthSeen && t.widthSeen;
    t.floorSeen = area(t.left) > kLeastLeft;
    list.push_back(std::move(t));
  }
  return list;
}

bool answers(DrawnKind drawn, bool round, bool through, DetailKind found) {
  switch (drawn) {
    case DrawnKind::Island:
      return found == DetailKind::Island;
    case DrawnKind::Pocket:
    case DrawnKind::Slot:
    case DrawnKind::LockCut:
    case DrawnKind::Window:
    case DrawnKind::Bore:
      if (through)
        return found == DetailKind::Window || found == DetailKind::Slot || found == DetailKind::LockCut ||
               (round && (found == DetailKind::Bore || found == DetailKind::Seat));
      return found == DetailKind::Pocket || found == DetailKind::Slot ||
             (round && (found == DetailKind::Bore || found == DetailKind::Seat));
    default:
      return false;
  }
}

draw::Chassis drawnWithout(draw::Chassis c, const std::string& name) {
  const auto goes = [&](const auto& d) { return d.name == name || d.on == name; };
  std::erase_if(c.islands, goes);
  std::erase_if(c.pockets, goes);
  std::erase_if(c.windows, goes);
  std::erase_if(c.slots, goes);
  std::erase_if(c.bores, [&](const draw::Bore& b) { return b.name == name || (b.on == name && toMm(b.depth) > 0); });
  for (draw::Bore& b : c.bores)
    if (b.on == name) b.on.clear();
  return c;
}

/// Places where two solids differ, away from walls: cells of 0.1 mm.
std::string unlike(const field::Solid& a, const field::Solid& b, const std::vector<std::pair<Region, double>>& walls) {
  field::GridSpec spec;
  spec.cell_um = 100;
  spec.x0_mm = -1;
  spec.y0_mm = -1;
  spec.nx = 620;
  spec.ny = 280;
  const auto high = a.fromAbove(spec).height, want = b.fromAbove(spec).height;
  int count = 0;
  std::ostringstream first;
  for (std::size_t k = 0; k < spec.count(); ++k) {
    if (std::abs(high.cells[k] - want.cells[k]) < 20) continue;
    const Vec2 at{spec.x0_mm + (static_cast<double>(k % static_cast<std::size_t>(spec.nx)) + 0.5) * spec.cell(),
                  spec.y0_mm + (static_cast<double>(k / static_cast<std::size_t>(spec.nx)) + 0.5) * spec.cell()};
    bool wall = false;
    for (const auto& [region, reach] : walls)
      for (const Ring& ring : region.rings)
        for (std::size_t i = 0; i < ring.size() && !wall; ++i) {
          const Vec2 p = ring[i], e = ring[(i + 1) % ring.size()] - p;
          const double t = std::clamp(dot(at - p, e) / std::max(dot(e, e), 1e-12), 0.0, 1.0);
          wall = norm(at - p - e * t) < reach;
        }
    if (wall) continue;
    if (count++ == 0) first << at.x << "," << at.y << " " << high.cells[k] << " um for " << want.cells[k];
  }
  return count == 0 ? "" : std::to_string(count) + " cells, first at " + first.str();
}

struct Tally {
  int drawn{}, found{}, hidden{}, dimensions{}, unseen{}, invented{}, taken{}, takenRight{};
  std::ostringstream text;
};

void check(const draw::Chassis& c, const std::string& label, Tally& tally) {
  const auto drawn = draw::drawChassis(c, kTouch);
  if (!drawn) return;  // the draw took one of them away altogether
  const std::vector<Truth> list = truths(c, *drawn);
  const Seen seen = look(std::move(*draw::drawChassis(c, kTouch)));
  for (const int owner : seen.details.faceDetail) EXPECT_GE(owner, 0) << label << ": a face of no detail";
  std::vector<char> used(seen.details.list.size(), 0);
  for (const Truth& t : list) {
    const draw::DrawnDetail& d = *t.drawn;
    if (!t.floorSeen) {
      ++tally.hidden;
      continue;
    }
    ++tally.drawn;
    std::ostringstream wrong;
    bool good = false;
    for (std::size_t k = 0; k < seen.details.list.size() && !good; ++k) {
      const detail::Detail& found = seen.details.list[k];
      if (used[k] || !answers(d.kind, d.diameter.has_value(), d.through, found.kind)) continue;
      Region there = found.footprint;
      for (Ring& ring : there.rings)
        for (Vec2& p : ring) p = seen.plan.partToPlate.applyBack({p.x, p.y, 0}).xy();
      there = clean(there.rings);
      const double common = area(intersect(there, t.left));
      if (common < 0.8 * area(t.left) || common < 0.4 * area(there)) continue;
      std::ostringstream note;
      const auto compare = [&](const char* what, std::optional<Length> a, std::optional<Length> b) {
        ++tally.dimensions;
        if (!b)
          note << " no " << what;
        else if (std::abs(toMm(*a) - toMm(*b)) > kSize)
          note << " " << what << " " << toMm(*b) << " for " << toMm(*a);
      };
      const detail::Dimensions& m = found.dimensions;
      if (d.height) compare("height", d.height, m.height);
      if (d.depth) compare("depth", d.depth, m.depth);
      if (d.diameter) {
        if (t.roundSeen)
          compare("diameter", d.diameter, m.diameter);
        else
          ++tally.unseen;
      }
      if (d.length && d.width) {
        const bool turnedOver = *d.width > *d.length;
        const bool both = t.lengthSeen && t.widthSeen;
        if (both) {
          compare("length", turnedOver ? d.width : d.length, m.length);
          compare("width", turnedOver ? d.length : d.width, m.width);
        } else if (t.lengthSeen != t.widthSeen) {
          // One of the two must be there; the other is what is left.
          const Length sure = t.lengthSeen ? *d.length : *d.width;
          ++tally.dimensions;
          ++tally.unseen;
          const bool there1 = m.length && std::abs(toMm(*m.length - sure)) < kSize;
          const bool there2 = m.width && std::abs(toMm(*m.width - sure)) < kSize;
          if (!there1 && !there2)
            note << " neither " << (m.length ? toMm(*m.length) : 0.0) << " nor " << (m.width ? toMm(*m.width) : 0.0)
                 << " is " << toMm(sure);
        } else {
          tally.unseen += 2;
        }
      }
      if (d.cornerRadius && toMm(*d.cornerRadius) > 0 && t.cornerSeen)
        compare("corner radius", d.cornerRadius, m.cornerRadius);
      if (d.rootRadius) compare("root radius", d.rootRadius, m.rootRadius);
      if (d.through != found.through) note << " through";
      if (!note.str().empty()) {
        wrong << " as " << found.name << ":" << note.str();
        continue;
      }
      good = true;
      used[k] = 1;
      // Taken away, what was under it shows again, as far as its neighbours tell how they go on.
      const bool told = std::all_of(list.begin(), list.end(), [&](const Truth& o) {
        return &o == &t || (o.floorSeen && (o.drawn->diameter ? o.roundSeen : o.lengthSeen && o.widthSeen));
      });
      const auto bare = told ? draw::drawChassis(drawnWithout(c, d.name), kTouch) : draw::drawChassis({}, kTouch);
      if (!bare) continue;
      // Feet that show again are not drawn anew.
      std::vector<std::pair<Region, double>> walls;
      for (const draw::DrawnDetail& o : bare->details)
        walls.emplace_back(o.footprint, o.rootRadius ? toMm(*o.rootRadius) + 0.1 : 0.02);
      for (auto& [r, reach] : walls)
        for (Ring& ring : r.rings)
          for (Vec2& p : ring) p = seen.plan.partToPlate.apply({p.x, p.y, 0}).xy();
      const Seen other = look(std::move(*draw::drawChassis(drawnWithout(c, d.name), kTouch)));
      const field::Solid away =
          field::Solid(seen.body(), seen.plan.partToPlate).changed(detail::without(seen.details, static_cast<int>(k)));
      const std::string wrongPlaces = unlike(away, field::Solid(other.body(), other.plan.partToPlate), walls);
      ++tally.taken;
      tally.takenRight += wrongPlaces.empty();
      if (!wrongPlaces.empty()) tally.text << label << " without " << d.name << ": " << wrongPlaces << "\n";
    }
    tally.found += good;
    if (!good) tally.text << label << " " << d.name << (wrong.str().empty() ? " nothing there" : wrong.str()) << "\n";
  }
  for (std::size_t k = 0; k < seen.details.list.size(); ++k) {
    const detail::Detail& found = seen.details.list[k];
    if (used[k] || found.kind == DetailKind::Body || found.kind == DetailKind::Outline) continue;
    ++tally.invented;
    tally.text << label << " beside them: " << found.name << "\n";
  }
  for (const int owner : seen.details.faceDetail) EXPECT_GE(owner, 0) << label;
  if (std::getenv("CHIPLEDGER_KEEP")) (void)draw::writeStep(*draw::drawChassis(c, kTouch), label + ".step");
}

double step(double v) { return std::round(v / 0.05) * 0.05; }

draw::Pocket anyPocket(Dice& dice, const char* name, Vec2 at) {
  draw::Pocket p = pocket(name, at, dice.pick(8, 16), dice.pick(5, 10), dice.pick(0.6, 2.2), dice.pick(0.6, 1.5));
  p.place.angle = degrees(dice.pick(0, 175, 5));
  if (dice.chance(0.3)) p.shape = draw::Oblong{mm(dice.pick(10, 16)), mm(dice.pick(5, 9))};
  return p;
}
Vec2 onEdge(Dice& dice, const draw::Pocket& p, double out) {
  // A place near the end of its long axis.
  const double half = 0.5 * toMm(std::visit(
                                [](const auto& s) {
                                  if constexpr (requires { s.length; })
                                    return s.length;
                                  else
                                    return mm(4);
                                },
                                p.shape));
  const double a = p.place.angle.rad + (dice.chance(0.5) ? std::numbers::pi : 0.0);
  const Vec2 u{std::cos(a), std::sin(a)};
  return p.place.centre_mm + u * (half + out) + perp(u) * dice.pick(-1, 1, 0.1);
}

struct Family {
  const char* name;
  std::function<draw::Chassis(Dice&)> draw;
};

const std::vector<Family>& families() {
  static const std::vector<Family> list{
      {"window-across-pocket",
       [](Dice& dice) {
         draw::Chassis c = plainPlate();
         c.pockets.push_back(anyPocket(dice, "p", {dice.pick(-6, 6), 0}));
         draw::Window w =
             window("w", onEdge(dice, c.pockets[0], dice.pick(-1, 1, 0.1)), dice.pick(4, 8), dice.pick(2.5, 4), 0.8);
         w.place.angle = degrees(dice.pick(0, 175, 5));
         c.windows.push_back(w);
         return c;
       }},
      {"bore-across-pocket",
       [](Dice& dice) {
         draw::Chassis c = plainPlate();
         c.pockets.push_back(anyPocket(dice, "p", {dice.pick(-6, 6), 0}));
         c.bores.push_back(bore("b", onEdge(dice, c.pockets[0], dice.pick(-0.8, 0.8, 0.1)), dice.pick(2, 4.5),
                                dice.chance(0.6) ? 0.0 : 2.4));
         return c;
       }},
      {"slot-into-pocket",
       [](Dice& dice) {
         draw::Chassis c = plainPlate();
         draw::Pocket p = anyPocket(dice, "p", {dice.pick(-8, 0), 0});
         p.place.angle = {};
         c.pockets.push_back(p);
         draw::Slot s;
         s.name = "s";
         const double y = dice.pick(-1, 1, 0.1);
         s.band = {{{toMm(Length{}) + p.place.centre_mm.x + 2, y}, {p.place.centre_mm.x + 20, y + dice.pick(-2, 2)}},
                   mm(dice.pick(1.2, 2.4, 0.1)),
                   {}};
         s.depth = mm(dice.chance(0.3) ? 0.0 : toMm(p.depth) + (dice.chance(0.5) ? 0.4 : -0.4));
         c.slots.push_back(s);
         return c;
       }},
      {"slot-across-pocket",
       [](Dice& dice) {
         draw::Chassis c = plainPlate();
         c.pockets.push_back(anyPocket(dice, "p", {dice.pick(-5, 5), 0}));
         draw::Slot s;
         s.name = "s";
         s.band = {{{-20, dice.pick(-2, 2)}, {20, dice.pick(-2, 2)}}, mm(dice.pick(1.2, 2.4, 0.1)), {}};
         s.depth = mm(dice.chance(0.3) ? 0.0 : toMm(c.pockets[0].depth) + (dice.chance(0.5) ? 0.4 : -0.4));
         c.slots.push_back(s);
         return c;
       }},
      {"pockets-overlap",
       [](Dice& dice) {
         draw::Chassis c = plainPlate();
         c.pockets.push_back(anyPocket(dice, "p", {dice.pick(-8, -4), 0}));
         draw::Pocket q = anyPocket(dice, "q", onEdge(dice, c.pockets[0], dice.pick(0, 2, 0.1)));
         q.shape = draw::Rectangle{mm(dice.pick(7, 11)), mm(dice.pick(5, 8)), mm(1)};
         q.depth = mm(step(toMm(c.pockets[0].depth) + (dice.chance(0.5) ? 0.5 : -0.45)));
         c.pockets.push_back(q);
         return c;
       }},
      {"pocket-in-islands-flank",
       [](Dice& dice) {
         draw::Chassis c = plainPlate();
         draw::Island i = chipledger::test::island("i", {dice.pick(-6, 6), 0}, dice.pick(10, 16), dice.pick(5, 9),
                                                   dice.pick(1.5, 4), dice.chance(0.5) ? 0.5 : 0.0);
         i.place.angle = degrees(dice.pick(0, 175, 5));
         c.islands.push_back(i);
         draw::Pocket where;
         where.shape = i.shape;
         where.place = i.place;
         draw::Pocket p = anyPocket(dice, "p", onEdge(dice, where, dice.pick(0, 2.5, 0.1)));
         p.shape = draw::Rectangle{mm(dice.pick(5, 9)), mm(dice.pick(3, 5)), mm(0.8)};
         c.pockets.push_back(p);
         return c;
       }},
      {"bore-in-island",
       [](Dice& dice) {
         draw::Chassis c = plainPlate();
         draw::Island i = chipledger::test::island("i", {dice.pick(-6, 6), 0}, dice.pick(10, 16), dice.pick(6, 9),
                                                   dice.pick(1.5, 4), dice.chance(0.5) ? 0.5 : 0.0);
         c.islands.push_back(i);
         draw::Bore b = bore("b", i.place.centre_mm + Vec2{dice.pick(-2, 2, 0.1), dice.pick(-0.6, 0.6, 0.1)},
                             dice.pick(1.6, 3.5), dice.chance(0.5) ? 0.0 : step(0.7 * toMm(i.height)));
         b.on = "i";
         c.bores.push_back(b);
         return c;
       }},
      {"bore-in-islands-flank",
       [](Dice& dice) {
         draw::Chassis c = plainPlate();
         draw::Island i = chipledger::test::island("i", {dice.pick(-6, 6), 0}, dice.pick(10, 16), dice.pick(6, 9),
                                                   dice.pick(1.5, 4), 0.0);
         c.islands.push_back(i);
         draw::Pocket where;
         where.shape = i.shape;
         c.bores.push_back(bore(
             "b",
             i.place.centre_mm + Vec2{dice.pick(-2, 2, 0.1),
                                      0.5 * toMm(std::get<draw::Oblong>(i.shape).width) + dice.pick(-0.8, 0.8, 0.1)},
             dice.pick(2, 4)));
         return c;
       }},
      {"window-across-islands-edge",
       [](Dice& dice) {
         draw::Chassis c = plainPlate();
         draw::Island i = chipledger::test::island("i", {dice.pick(-6, 6), 0}, dice.pick(10, 16), dice.pick(6, 9),
                                                   dice.pick(1.5, 4), dice.chance(0.5) ? 0.4 : 0.0);
         i.place.angle = degrees(dice.pick(0, 175, 5));
         c.islands.push_back(i);
         draw::Pocket where;
         where.shape = i.shape;
         where.place = i.place;
         draw::Window w =
             window("w", onEdge(dice, where, dice.pick(0, 1.5, 0.1)), dice.pick(4, 7), dice.pick(2.5, 4), 0.8);
         w.place.angle = degrees(dice.pick(0, 175, 5));
         c.windows.push_back(w);
         return c;
       }},
      {"islands-joined",
       [](Dice& dice) {
         draw::Chassis c = plainPlate();
         draw::Island i = chipledger::test::island("i", {-6, dice.pick(-1, 1)}, dice.pick(12, 18), dice.pick(5, 8),
                                                   dice.pick(2, 4), dice.chance(0.5) ? 0.4 : 0.0);
         c.islands.push_back(i);
         draw::Island k = chipledger::test::island("k", {dice.pick(3, 6), dice.pick(-1, 1)}, dice.pick(10, 14),
                                                   dice.pick(4, 9), 0, 0.0);
         k.height = i.height + mm(dice.chance(0.5) ? 0.8 : -0.8);
         k.rootRadius = i.rootRadius;
         k.place.angle = degrees(dice.pick(0, 175, 5));
         c.islands.push_back(k);
         return c;
       }},
      {"slot-across-island",
       [](Dice& dice) {
         draw::Chassis c = plainPlate();
         draw::Island i = chipledger::test::island("i", {dice.pick(-6, 6), 0}, dice.pick(12, 18), dice.pick(5, 9),
                                                   dice.pick(2, 4), dice.chance(0.5) ? 0.4 : 0.0);
         i.place.angle = degrees(dice.pick(0, 175, 5));
         c.islands.push_back(i);
         draw::Slot s;
         s.name = "s";
         const double a = i.place.angle.rad + std::numbers::pi / 2;
         const Vec2 u{std::cos(a), std::sin(a)}, at = i.place.centre_mm + perp(u) * dice.pick(-2, 2);
         s.band = {{at - u * 7, at + u * 7}, mm(dice.pick(1.2, 2.4, 0.1)), {}};
         s.on = "i";
         s.depth = mm(step(toMm(i.height) * dice.pick(0.3, 0.7)));
         c.slots.push_back(s);
         return c;
       }},
      {"island-against-pockets-wall",
       [](Dice& dice) {
         draw::Chassis c = plainPlate();
         c.pockets.push_back(pocket("p", {dice.pick(-6, 6), 0}, dice.pick(16, 22), dice.pick(10, 14), dice.pick(1, 2)));
         draw::Island i =
             chipledger::test::island("i", c.pockets[0].place.centre_mm + Vec2{dice.pick(-3, 3), 4}, 0, 0, 0, 0);
         i.shape = draw::Rectangle{mm(dice.pick(4, 7)), mm(dice.pick(4, 6)), mm(0.8)};
         i.height = mm(step(toMm(c.pockets[0].depth) * dice.pick(0.4, 0.8)));
         i.on = "p";
         c.islands.push_back(i);
         return c;
       }},
  };
  return list;
}

}  // namespace

TEST(TouchingDetails, EachFamilyIsFoundAgain) {
  const int count = std::getenv("CHIPLEDGER_SEEDS") ? std::atoi(std::getenv("CHIPLEDGER_SEEDS")) : 3;
  Tally all;
  for (const Family& family : families()) {
    if (const char* only = std::getenv("CHIPLEDGER_FAMILY"); only && std::string(only) != family.name) continue;
    Tally tally;
    for (int seed = 1; seed <= count; ++seed) {
      Dice dice(static_cast<std::uint32_t>(seed) * 7919u + 3u);
      for (int warm = 0; warm < 3; ++warm) (void)dice.upTo(10);
      check(family.draw(dice), std::string(family.name) + "-" + std::to_string(seed), tally);
      if (HasFatalFailure()) FAIL() << family.name << " " << seed;
    }
    std::cout << family.name << ": found " << tally.found << " of " << tally.drawn << " (" << tally.hidden
              << " taken away whole), " << tally.dimensions << " dimensions, " << tally.unseen << " not to be seen, "
              << tally.invented << " beside them; taken away right " << tally.takenRight << " of " << tally.taken
              << "\n"
              << tally.text.str();
    all.drawn += tally.drawn;
    all.found += tally.found;
    all.invented += tally.invented;
    all.taken += tally.taken;
    all.takenRight += tally.takenRight;
    all.text << tally.text.str();
  }
  std::cout << "found " << all.found << " of " << all.drawn << ", " << all.invented << " beside them\n";
  EXPECT_GE(all.found, 0.99 * all.drawn) << all.text.str();
  EXPECT_EQ(all.invented, 0) << all.text.str();
  EXPECT_EQ(all.takenRight, all.taken) << all.text.str();
}

// Conventions where what was drawn cannot be told from the solid (docs/method/details.md).

TEST(TouchingDetails, RecessesOnOneFloorAreOneDetail) {
  draw::Chassis c = plainPlate();
  c.pockets.push_back(pocket("a", {-6, 0}, 14, 8, 1));
  c.pockets.push_back(pocket("b", {5, 1}, 12, 5, 1));
  const Seen seen = look(c, kTouch);
  const auto pockets = seen.all(DetailKind::Pocket);
  ASSERT_EQ(pockets.size(), 1u);
  EXPECT_NEAR(toMm(*seen.at(pockets[0]).dimensions.length), 24, kSize);  // -13 to 11
  EXPECT_NEAR(toMm(*seen.at(pockets[0]).dimensions.width), 8, kSize);
}

TEST(TouchingDetails, ASlotEndsAtTheDeeperPocketItOpensInto) {
  draw::Chassis c = plainPlate();
  c.pockets.push_back(pocket("p", {-10, 0}, 14, 10, 1.8));
  draw::Slot s;
  s.name = "s";
  s.band = {{{-8, 0}, {15, 0}}, mm(2), {}};
  s.depth = mm(1);
  c.slots.push_back(s);
  const Seen seen = look(c, kTouch);
  const auto slots = seen.all(DetailKind::Slot);
  ASSERT_EQ(slots.size(), 1u);
  EXPECT_NEAR(toMm(*seen.at(slots[0]).dimensions.width), 2, kSize);
  EXPECT_NEAR(toMm(*seen.at(slots[0]).dimensions.length), 19, kSize);  // from the pocket's wall at -3 to 16
  EXPECT_NEAR(toMm(*seen.at(slots[0]).dimensions.depth), 1, kSize);
}

TEST(TouchingDetails, ALedgeInACornerIsAShallowerPocketAndOneAgainstAWallAnIsland) {
  for (const bool corner : {true, false}) {
    draw::Chassis c = plainPlate();
    c.pockets.push_back(pocket("p", {0, 0}, 24, 16, 2));
    draw::Island ledge;
    ledge.name = "ledge";
    ledge.on = "p";
    ledge.shape = draw::Rectangle{mm(8), mm(6), {}};
    ledge.place.centre_mm = {corner ? 10.0 : 0.0, 6};
    ledge.height = mm(1.2);
    c.islands.push_back(ledge);
    const Seen seen = look(c, kTouch);
    EXPECT_EQ(seen.all(DetailKind::Island).size(), corner ? 0u : 1u);
    EXPECT_EQ(seen.all(DetailKind::Pocket).size(), corner ? 2u : 1u);
    for (const int p : seen.all(DetailKind::Pocket)) {
      const double depth = toMm(*seen.at(p).dimensions.depth);
      EXPECT_TRUE(std::abs(depth - 2) < kSize || (corner && std::abs(depth - 0.8) < kSize)) << depth;
    }
  }
}

TEST(TouchingDetails, IslandsOfOneHeightThatTouchAreOne) {
  draw::Chassis c = plainPlate();
  c.islands.push_back(island("a", {-5, 0}, 14, 6, 2, 0));
  c.islands.push_back(island("b", {5, 1}, 12, 5, 2, 0));
  const Seen seen = look(c, kTouch);
  ASSERT_EQ(seen.all(DetailKind::Island).size(), 1u);
  EXPECT_NEAR(toMm(*seen.at(seen.all(DetailKind::Island)[0]).dimensions.height), 2, kSize);
}
