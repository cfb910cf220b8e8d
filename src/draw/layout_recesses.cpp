// Pockets, windows and slots, and what all cavities share.
#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <variant>

#include "layout_maker.hpp"

namespace chipledger::draw {
namespace {

DrawnKind kindOf(const Pocket& p) {
  if (p.use == PocketUse::Thinning) return DrawnKind::Thinning;
  return p.open ? DrawnKind::OpenPocket : DrawnKind::Pocket;
}

}  // namespace

LayoutMaker::Bad LayoutMaker::pocket(const Pocket& d, int parent) {
  const double depth = toMm(d.depth), r = toMm(d.floorRadius), c = toMm(d.rimChamfer);
  auto contour = contourOf(d.shape, d.place, halves_, d.name);
  if (!contour) return contour.error();
  if (!(depth > 0)) return bad(d.name + ".depth", "the depth is not above 0.", "Give the depth.");
  if (r < 0 || c < 0) return bad(d.name, "a radius or chamfer is below 0.", "Give 0 or more.");
  if (r + c > depth - 1e-6 && r + c > 0)
    return bad(d.name + ".floor_radius", "the floor radius and rim chamfer take up the whole wall.",
               "Make them smaller than the depth.");
  if (r > 0 && smallestConvexRadius(*contour) < r + 1e-6)
    return bad(d.name + ".floor_radius", "the floor radius is not below the corner radius.",
               "Make it smaller, or the corner radius larger.");
  Item item = start(d.name, *contour, parent, d.on);
  item.hint = d.hint;
  item.truth.kind = kindOf(d);
  item.truth.depth = d.depth;
  item.open = d.open;
  if (r > 0) item.truth.rootRadius = d.floorRadius;
  sayShape(d.shape, item.truth);
  if (auto b = cavity(item, d.side, depth); b) return b;
  if (c > 0 && !item.steps.empty() && chassis_.crown && parent < 0 && d.side == Side::Outer)
    return bad(d.name + ".rim_chamfer", "a rim chamfer on a crowned face is not drawn.", "Leave it out.");
  item.floorInset_mm = r;
  const double down = item.floor_mm < item.surface_mm ? -1 : 1;
  std::vector<Step> steps{{item.floor_mm, r, r > 0}};
  if (r > 0) steps.push_back({item.floor_mm - down * r, 0, false});
  if (c > 0) {
    steps.push_back({item.surface_mm + down * c, 0, false});
    steps.push_back({item.surface_mm, -c, false});
  }
  steps.push_back({past(item), -c, false});
  item.steps = ascending(steps, item.truth.side == Side::Outer ? Side::Outer : Side::Back);
  finishCavity(item, c, middle(*contour, d.shape, d.place));
  return {};
}

LayoutMaker::Bad LayoutMaker::window(const Window& d, int parent) {
  auto contour = contourOf(d.shape, d.place, halves_, d.name);
  if (!contour) return contour.error();
  Item item = start(d.name, *contour, parent, d.on);
  item.hint = d.hint;
  item.truth.kind = DrawnKind::Window;
  item.open = d.open;
  sayShape(d.shape, item.truth);
  if (auto b = cavity(item, Side::Outer, 0); b) return b;
  item.steps = {{-kOvershoot_mm, 0, false}, {layout_.top_mm + kOvershoot_mm, 0, false}};
  finishCavity(item, 0, middle(*contour, d.shape, d.place));
  return {};
}

LayoutMaker::Bad LayoutMaker::slot(const Slot& d, int parent) {
  auto contour = contourOf(PlanShape{d.band}, {}, halves_, d.name);
  if (!contour) return contour.error();
  Item item = start(d.name, *contour, parent, d.on);
  item.hint = d.hint;
  item.truth.kind = d.use == SlotUse::LockCut ? DrawnKind::LockCut : DrawnKind::Slot;
  item.open = d.open;
  sayShape(d.band, item.truth);
  const double depth = toMm(d.depth);
  if (depth < 0) return bad(d.name + ".depth", "the depth is below 0.", "Give 0 for through, or a depth.");
  if (depth > 0) item.truth.depth = d.depth;
  if (auto b = cavity(item, d.side, depth); b) return b;
  std::vector<Step> steps{{depth > 0 ? item.floor_mm : farSide(item), 0, false}, {past(item), 0, false}};
  item.steps = ascending(steps, item.truth.side);
  finishCavity(item, 0, box(item.truth.footprint).centre());
  return {};
}

LayoutMaker::Bad LayoutMaker::cavity(Item& item, Side side, double depth) {
  const std::string& name = item.truth.name;
  const Item* on = host(item.parent);
  if (on && on->truth.through)
    return bad(name + ".on", "it sits on something that is an opening.", "Choose a pocket or an island.");
  if (on && on->truth.side != side)
    return bad(name + ".side", fmt::format("{} lies on the other side.", on->truth.name), "Use the same side.");
  if (on && on->truth.kind != DrawnKind::Island && on->truth.kind != DrawnKind::Pocket &&
      on->truth.kind != DrawnKind::OpenPocket && on->truth.kind != DrawnKind::Thinning)
    return bad(name + ".on", "it sits on something without a floor of its own.", "Choose a pocket or an island.");
  item.truth.side = side;
  item.surface_mm = surface(side, item.parent);
  item.truth.through = depth == 0;
  item.zone = depth == 0 ? Zone::Through : side == Side::Outer ? Zone::Outer : Zone::Back;
  const double far = side == Side::Outer ? 0.0 : layout_.thickness_mm;
  const double left = std::abs(item.surface_mm - far) - depth;
  if (depth > 0 && left < 1e-6)
    return bad(name + ".depth",
               fmt::format("it goes through the body, which is {} mm there.", std::abs(item.surface_mm - far)),
               "Make it shallower, or draw an opening.");
  item.floor_mm = depth == 0 ? far : item.surface_mm + (side == Side::Outer ? -depth : depth);
  item.low_mm = std::min(item.floor_mm, item.surface_mm);
  item.high_mm = std::max(item.floor_mm, item.surface_mm);
  return {};
}

double LayoutMaker::farSide(const Item& item) const {
  return item.truth.side == Side::Outer ? -kOvershoot_mm : layout_.top_mm + kOvershoot_mm;
}

double LayoutMaker::past(const Item& item) const {
  const Item* on = host(item.parent);
  const double out = item.truth.side == Side::Outer ? 1 : -1;
  if (on && !on->island)
    return item.surface_mm + out * std::min(kOvershoot_mm, 0.5 * std::abs(on->surface_mm - on->floor_mm));
  return out > 0 ? layout_.top_mm + kOvershoot_mm : -kOvershoot_mm;
}

void LayoutMaker::finishCavity(Item& item, double grow, Vec2 centre) {
  item.ground = grow > 0 ? offset(item.truth.footprint, grow) : item.truth.footprint;
  item.volume_mm3 = -stackVolume(item.contour, item.steps, item.low_mm, item.high_mm);
  if (chassis_.crown && item.parent < 0 && (item.truth.side == Side::Outer || item.truth.through))
    item.volume_mm3 += area(item.contour) * layout_.thickness_mm -
                       crownColumn(*chassis_.crown, layout_.thickness_mm, item.contour, layout_.crownCentre);
  if (item.open) item.exact = false;
  if (item.open) item.doubt_mm3 = -item.volume_mm3;
  close(std::move(item), centre);
}

}  // namespace chipledger::draw
