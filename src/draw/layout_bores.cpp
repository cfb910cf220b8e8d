// Bores with what widens their mouth or ends them.
#include <cmath>
#include <numbers>

#include "layout_maker.hpp"

namespace chipledger::draw {
namespace {

using std::numbers::pi;

DrawnKind kindOf(const Bore& b) {
  return b.use == BoreUse::Thread ? DrawnKind::Thread : b.use == BoreUse::Seat ? DrawnKind::Seat : DrawnKind::Bore;
}

}  // namespace

LayoutMaker::Bad LayoutMaker::bore(const Bore& d, int parent) {
  const double depth = toMm(d.depth), dia = toMm(d.diameter);
  const bool tipped = depth > 0 && d.pointAngle.rad > 0;
  auto contour = contourOf(PlanShape{Round{d.diameter}}, {d.centre_mm, {}}, tipped ? Halves::Whole : halves_, d.name);
  if (!contour) return contour.error();
  if (depth < 0) return bad(d.name + ".depth", "the depth is below 0.", "Give 0 for through, or a depth.");
  if (d.counterbore && d.countersink)
    return bad(d.name, "a bore has both a counterbore and a countersink.", "Give one of them.");
  Item item = start(d.name, *contour, parent, d.on);
  item.hint = d.hint;
  item.truth.kind = kindOf(d);
  item.truth.diameter = d.diameter;
  if (depth > 0) item.truth.depth = d.depth;
  double wide = 0, wideDepth = 0;  // widening: by radius, and how deep
  if (d.counterbore) {
    wide = (toMm(d.counterbore->diameter) - dia) / 2;
    wideDepth = toMm(d.counterbore->depth);
    item.truth.counterDiameter = d.counterbore->diameter;
    item.truth.counterDepth = d.counterbore->depth;
    if (!(wide > 0))
      return bad(d.name + ".counterbore_diameter", "the counterbore is not wider than the bore.", "Make it wider.");
    if (!(wideDepth > 0)) return bad(d.name + ".counterbore_depth", "the depth is not above 0.", "Give a depth.");
  }
  if (d.countersink) {
    if (!(d.countersink->angle.rad > 0 && d.countersink->angle.rad < pi))
      return bad(d.name + ".countersink_angle", "the angle is not between 0 and 180 degrees.",
                 "Give the full cone angle.");
    wide = (toMm(d.countersink->diameter) - dia) / 2;
    if (!(wide > 0))
      return bad(d.name + ".countersink_diameter", "the countersink is not wider than the bore.", "Make it wider.");
    wideDepth = wide / std::tan(d.countersink->angle.rad / 2);
    item.truth.counterDiameter = d.countersink->diameter;
    item.truth.counterDepth = mm(wideDepth);
    item.truth.angle = d.countersink->angle;
  }
  const double tip = tipped ? dia / 2 / std::tan(d.pointAngle.rad / 2) : 0.0;
  if (auto b = cavity(item, d.side, depth > 0 ? depth + tip : 0); b) return b;
  const double room =
      depth > 0 ? depth : std::abs(item.surface_mm - (d.side == Side::Outer ? 0 : layout_.thickness_mm));
  if (wide > 0 && wideDepth >= room)
    return bad(d.name + (d.counterbore ? ".counterbore_depth" : ".countersink_diameter"),
               "the widening is as deep as the bore.", "Make it shallower, or the bore deeper.");
  if (wide > 0 && chassis_.crown && parent < 0 && d.side == Side::Outer) item.exact = false;
  const double down = d.side == Side::Outer ? -1 : 1;
  std::vector<Step> steps;
  if (tip > 0) steps.push_back({item.floor_mm, dia / 2, false});
  steps.push_back({depth > 0 ? item.floor_mm - down * tip : farSide(item), 0, false});
  if (wide > 0) {
    steps.push_back({item.surface_mm + down * wideDepth, 0, false});
    steps.push_back({d.counterbore ? steps.back().z_mm : item.surface_mm, -wide, false});
  }
  steps.push_back({past(item), -wide, false});
  item.steps = ascending(steps, d.side);
  item.doubt_mm3 = item.exact ? 0.0 : pi * (dia + wide) * wide * layout_.thickness_mm;
  finishCavity(item, wide, d.centre_mm);
  return {};
}

}  // namespace chipledger::draw
