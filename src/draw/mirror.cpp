#include <chipledger/draw/chassis.hpp>

#include <algorithm>
#include <utility>

namespace chipledger::draw {
namespace {

Vec2 over(Vec2 p) { return {p.x, -p.y}; }
void turnOver(std::vector<Vec2>& points) {
  for (Vec2& p : points) p = over(p);
}
void turnOver(PlanShape& shape) {
  if (auto* polygon = std::get_if<Polygon>(&shape)) turnOver(polygon->corners_mm);
  if (auto* band = std::get_if<Band>(&shape)) turnOver(band->line_mm);
}
void turnOver(Place& place) { place = {over(place.centre_mm), {-place.angle.rad}}; }
template <class Shaped>
void turnOverAll(std::vector<Shaped>& list) {
  for (Shaped& one : list) {
    turnOver(one.shape);
    turnOver(one.place);
  }
}

}  // namespace

Chassis mirrorMate(const Chassis& chassis) {
  Chassis mate = chassis;
  if (auto* o = std::get_if<SplineHandleOutline>(&mate.outline); o && !o->lower_mm.empty()) {
    std::swap(o->upper_mm, o->lower_mm);
    for (auto* side : {&o->upper_mm, &o->lower_mm}) {
      turnOver(*side);
      std::reverse(side->begin(), side->end());
    }
  }
  if (auto* o = std::get_if<SplineOutline>(&mate.outline)) turnOver(o->through_mm);
  if (auto* o = std::get_if<PolylineOutline>(&mate.outline))
    for (Corner& c : o->corners) {
      c.at_mm = over(c.at_mm);
      c.bulge = -c.bulge;
    }
  turnOverAll(mate.islands);
  turnOverAll(mate.pockets);
  turnOverAll(mate.windows);
  for (Slot& s : mate.slots) turnOver(s.band.line_mm);
  for (Bore& b : mate.bores) b.centre_mm = over(b.centre_mm);
  return mate;
}

}  // namespace chipledger::draw
