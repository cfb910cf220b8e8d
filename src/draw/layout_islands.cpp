// Islands: left standing on the body or in a pocket.
#include <algorithm>
#include <cmath>
#include <variant>

#include "layout_maker.hpp"

namespace chipledger::draw {
namespace {

constexpr double kSink = 0.5;  ///< islands start this share of the local body thickness below its surface

}  // namespace

LayoutMaker::Bad LayoutMaker::island(const Island& d, int parent) {
  const double h = toMm(d.height), r = toMm(d.rootRadius), c = toMm(d.topChamfer), dome = toMm(d.domeRadius);
  auto contour = contourOf(d.shape, d.place, halves_, d.name);
  if (!contour) return contour.error();
  if (!(h > 0)) return bad(d.name + ".height", "the height is not above 0.", "Give the height.");
  if (r < 0 || c < 0 || dome < 0) return bad(d.name, "a radius or chamfer is below 0.", "Give 0 or more.");
  if (r + c > h - 1e-6 && r + c > 0)
    return bad(d.name + ".root_radius", "the foot radius and top chamfer take up the whole wall.",
               "Make them smaller than the height.");
  if (r > 0 && smallestHollowRadius(*contour) < r + 1e-6)
    return bad(d.name + ".root_radius", "the foot radius does not fit into a hollow corner of the island.",
               "Give the corner a larger radius.");
  const Item* on = host(parent);
  if (on && (on->island || on->zone == Zone::Through))
    return bad(d.name + ".on", "an island stands on the body or in a pocket only.", "Choose a pocket.");
  if (on && h > std::abs(on->surface_mm - on->floor_mm) + 1e-9)
    return bad(d.name + ".height", "an island in a pocket is taller than the pocket is deep.",
               "Make it no taller than the depth of the pocket.");
  Item item = start(d.name, *contour, parent, d.on);
  item.island = true;
  item.hint = d.hint;
  item.truth.kind = DrawnKind::Island;
  item.truth.height = d.height;
  if (r > 0) item.truth.rootRadius = d.rootRadius;
  sayShape(d.shape, item.truth);
  const Side side = on && on->zone == Zone::Back ? Side::Back : Side::Outer;
  item.zone = side == Side::Back ? Zone::Back : Zone::Outer;
  item.truth.side = side;
  const double base = surface(side, parent), up = side == Side::Outer ? 1 : -1;
  const double sink = on ? kOvershoot_mm : kSink * lowestCrown(item.truth.footprint);
  item.surface_mm = base;
  item.floor_mm = base + up * h;
  item.root_mm = r;
  item.dome_mm = dome;
  item.domeCentre = d.place.centre_mm;
  item.floorInset_mm = c;
  std::vector<Step> steps{{base - up * (on ? sink : base - sink), 0, false}, {item.floor_mm - up * c, 0, false}};
  if (c > 0) steps.push_back({item.floor_mm, c, false});
  item.steps = ascending(steps, side);
  item.low_mm = std::min(base, item.floor_mm);
  item.high_mm = std::max(base, item.floor_mm);
  item.ground = offset(item.truth.footprint, std::max(r, 0.0));
  item.volume_mm3 = stackVolume(*contour, item.steps, item.low_mm, item.high_mm);
  if (dome > 0)
    if (auto b = this->dome(d, item, *contour); b) return b;
  if (!on && chassis_.crown)
    item.volume_mm3 += area(*contour) * base - crownColumn(*chassis_.crown, base, *contour, layout_.crownCentre);
  if (r > 0) {
    const double fillet = rootFilletVolume(*contour, r);
    item.volume_mm3 += fillet;
    item.exact = smooth(*contour) && (on || !chassis_.crown);
    if (!item.exact) item.doubt_mm3 = fillet;
  }
  if (!on) layout_.top_mm = std::max(layout_.top_mm, item.floor_mm);
  close(std::move(item), middle(*contour, d.shape, d.place));
  return {};
}

LayoutMaker::Bad LayoutMaker::dome(const Island& d, Item& item, const Contour& contour) {
  const double dome = toMm(d.domeRadius);
  if (item.parent >= 0 || toMm(d.topChamfer) > 0)
    return bad(d.name + ".dome_radius", "a dome is drawn on an island of the body without top chamfer only.",
               "Leave out the dome or the chamfer.");
  double far = 0;
  for (Vec2 p : item.truth.footprint.rings[0]) far = std::max(far, norm(p - d.place.centre_mm));
  if (far >= dome || dome - std::sqrt(dome * dome - far * far) >= toMm(d.height) - toMm(d.rootRadius))
    return bad(d.name + ".dome_radius", "the dome runs down to the foot of the island.", "Give a larger radius.");
  item.volume_mm3 = domeColumn(dome, item.floor_mm, contour, d.place.centre_mm) - area(contour) * item.surface_mm;
  return {};
}

}  // namespace chipledger::draw
