#include "layout.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <numbers>

namespace chipledger::draw {
namespace {

using std::numbers::pi;

constexpr double kOvershoot_mm = 1.0;   ///< cutters run past the surface: no two faces coincide
constexpr double kSink = 0.5;           ///< islands start this share of the local body thickness below its surface
constexpr double kLeastEdge_mm = 0.05;  ///< a crown must leave this much body at its rim

DrawnKind kindOf(const Pocket& p) {
  if (p.use == PocketUse::Thinning) return DrawnKind::Thinning;
  return p.open ? DrawnKind::OpenPocket : DrawnKind::Pocket;
}
DrawnKind kindOf(const Bore& b) {
  return b.use == BoreUse::Thread ? DrawnKind::Thread : b.use == BoreUse::Seat ? DrawnKind::Seat : DrawnKind::Bore;
}

struct ShapeSize {
  DrawnDetail& truth;
  void operator()(const Round& s) const { truth.diameter = s.diameter; }
  void operator()(const Oblong& s) const {
    truth.length = s.length;
    truth.width = s.width;
    truth.cornerRadius = s.width / 2;
  }
  void operator()(const Rectangle& s) const {
    truth.length = s.length;
    truth.width = s.width;
    truth.cornerRadius = s.cornerRadius;
  }
  void operator()(const Polygon& s) const { truth.cornerRadius = s.cornerRadius; }
  void operator()(const Band& s) const {
    truth.width = s.width;
    truth.cornerRadius = s.width / 2;
    if (s.line_mm.size() == 2) truth.length = mm(norm(s.line_mm[1] - s.line_mm[0])) + s.width;
  }
};

class LayoutMaker {
public:
  LayoutMaker(const Chassis& chassis, const DrawOptions& options)
      : chassis_(chassis), halves_(options.halfCylinders ? Halves::Split : Halves::Whole) {}

  Result<Layout> make() {
    if (auto bad = body(); bad) return tl::make_unexpected(*bad);
    if (auto bad = order(); bad) return tl::make_unexpected(*bad);
    return std::move(layout_);
  }

private:
  using Bad = std::optional<Fault>;
  static Bad bad(std::string where, std::string what, std::string next) {
    return Fault{FaultCode::BadFile, std::move(where), std::move(what), std::move(next)};
  }

  Bad body() {
    const double t = toMm(chassis_.thickness);
    if (!(t > 0)) return bad("thickness", "the thickness is not above 0.", "Give the thickness of the body.");
    auto outline = contourOf(chassis_.outline, "outline");
    if (!outline) return outline.error();
    layout_.outline = *outline;
    layout_.outlineRegion = {{ring(*outline)}};
    layout_.thickness_mm = layout_.top_mm = t;
    layout_.crownCentre = box(layout_.outlineRegion).centre();
    const EdgeBreak &outer = chassis_.outerEdge, &back = chassis_.backEdge;
    const auto size = [](const EdgeBreak& e) { return e.kind == EdgeBreak::Kind::Sharp ? 0.0 : toMm(e.size); };
    if (size(outer) < 0 || size(back) < 0) return bad("edge.size", "an edge break is below 0.", "Give 0 or more.");
    if (size(outer) + size(back) >= t)
      return bad("edge.size", "the edge breaks of both sides leave no wall.", "Make them smaller than the thickness.");
    if (chassis_.crown && size(outer) > 0)
      return bad("outer_edge", "an edge break on a crowned face is not drawn.",
                 "Leave out the outer edge or the crown.");
    std::vector<Step>& steps = layout_.bodySteps;
    if (size(back) > 0) steps.push_back({0, size(back), back.kind == EdgeBreak::Kind::Round});
    steps.push_back({size(back), 0, false});
    steps.push_back({t - size(outer), 0, outer.kind == EdgeBreak::Kind::Round && size(outer) > 0});
    if (size(outer) > 0) steps.push_back({t, size(outer), false});
    layout_.volume_mm3 = stackVolume(*outline, steps, 0, t);
    if (chassis_.crown) return crown();
    return {};
  }

  Bad crown() {
    const Crown& c = *chassis_.crown;
    if (!(toMm(c.acrossRadius) > 0)) return bad("crown.across_radius", "the radius is not above 0.", "Give a radius.");
    if (toMm(c.alongRadius) != 0 && toMm(c.alongRadius) <= toMm(c.acrossRadius))
      return bad("crown.along_radius", "the radius along is not above the radius across.",
                 "Give a larger one, or 0 for straight along.");
    const double back = chassis_.backEdge.kind == EdgeBreak::Kind::Sharp ? 0.0 : toMm(chassis_.backEdge.size);
    for (Vec2 p : layout_.outlineRegion.rings[0]) {
      const double x = p.x - layout_.crownCentre.x, y = p.y - layout_.crownCentre.y;
      if (std::abs(y) >= toMm(c.acrossRadius) || crownHeight(c, layout_.thickness_mm, x, y) < back + kLeastEdge_mm)
        return bad("crown", "the crowned face leaves no edge at the outline.",
                   "Make the radii larger or the body thicker.");
    }
    layout_.volume_mm3 += crownColumn(c, layout_.thickness_mm, layout_.outline, layout_.crownCentre) -
                          area(layout_.outline) * layout_.thickness_mm;
    return {};
  }

  // Adds the details parents first: those on the body, then whatever stands on what is there already.
  Bad order() {
    struct Waiting {
      std::string name, on;
      std::function<Bad(int)> add;
    };
    std::vector<Waiting> waiting;
    for (const Island& d : chassis_.islands) waiting.push_back({d.name, d.on, [&](int p) { return island(d, p); }});
    for (const Pocket& d : chassis_.pockets) waiting.push_back({d.name, d.on, [&](int p) { return pocket(d, p); }});
    for (const Window& d : chassis_.windows) waiting.push_back({d.name, d.on, [&](int p) { return window(d, p); }});
    for (const Slot& d : chassis_.slots) waiting.push_back({d.name, d.on, [&](int p) { return slot(d, p); }});
    for (const Bore& d : chassis_.bores) waiting.push_back({d.name, d.on, [&](int p) { return bore(d, p); }});
    for (const Waiting& w : waiting) {
      if (w.name.empty()) return bad("name", "a detail has no name.", "Name every detail.");
      if (!names_.emplace(w.name, -1).second)
        return bad(w.name + ".name", "two details have this name.", "Give each its own.");
    }
    while (!waiting.empty()) {
      std::vector<Waiting> later;
      for (Waiting& w : waiting) {
        int parent = -1;
        if (!w.on.empty()) {
          const auto found = names_.find(w.on);
          if (found == names_.end())
            return bad(w.name + ".on", fmt::format("there is no detail named {}.", w.on), "Name one that is drawn.");
          parent = found->second;
          if (parent < 0) {
            later.push_back(std::move(w));
            continue;
          }
        }
        if (auto b = w.add(parent); b) return b;
        names_[w.name] = static_cast<int>(layout_.items.size()) - 1;
      }
      if (later.size() == waiting.size())
        return bad(later.front().name + ".on", "details stand on each other in a ring.", "Let one stand on the body.");
      waiting = std::move(later);
    }
    return {};
  }

  // Where a detail on `parent` starts, and the body left below (or above, from the back).
  double surface(Side side, int parent) const {
    if (parent >= 0) return layout_.items[static_cast<std::size_t>(parent)].floor_mm;
    return side == Side::Outer ? layout_.thickness_mm : 0.0;
  }
  const Item* host(int parent) const { return parent < 0 ? nullptr : &layout_.items[static_cast<std::size_t>(parent)]; }

  Item start(const std::string& name, const Contour& contour, int parent, const std::string& on) const {
    Item item;
    item.truth.name = name;
    item.truth.on = on;
    item.contour = contour;
    item.parent = parent;
    item.truth.footprint = {{ring(contour)}};
    return item;
  }

  void close(Item item, Vec2 centre) {
    item.truth.centre_mm = {centre.x, centre.y, item.surface_mm};
    layout_.items.push_back(std::move(item));
  }

  Bad island(const Island& d, int parent) {
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
    std::visit(ShapeSize{item.truth}, d.shape);
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
    if (dome > 0) {
      if (on || c > 0)
        return bad(d.name + ".dome_radius", "a dome is drawn on an island of the body without top chamfer only.",
                   "Leave out the dome or the chamfer.");
      double far = 0;
      for (Vec2 p : item.truth.footprint.rings[0]) far = std::max(far, norm(p - d.place.centre_mm));
      if (far >= dome || dome - std::sqrt(dome * dome - far * far) >= h - r)
        return bad(d.name + ".dome_radius", "the dome runs down to the foot of the island.", "Give a larger radius.");
      item.volume_mm3 = domeColumn(dome, item.floor_mm, *contour, d.place.centre_mm) - area(*contour) * base;
    }
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

  Bad pocket(const Pocket& d, int parent) {
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
    std::visit(ShapeSize{item.truth}, d.shape);
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

  Bad window(const Window& d, int parent) {
    auto contour = contourOf(d.shape, d.place, halves_, d.name);
    if (!contour) return contour.error();
    Item item = start(d.name, *contour, parent, d.on);
    item.hint = d.hint;
    item.truth.kind = DrawnKind::Window;
    item.open = d.open;
    std::visit(ShapeSize{item.truth}, d.shape);
    if (auto b = cavity(item, Side::Outer, 0); b) return b;
    item.steps = {{-kOvershoot_mm, 0, false}, {layout_.top_mm + kOvershoot_mm, 0, false}};
    finishCavity(item, 0, middle(*contour, d.shape, d.place));
    return {};
  }

  Bad slot(const Slot& d, int parent) {
    auto contour = contourOf(PlanShape{d.band}, {}, halves_, d.name);
    if (!contour) return contour.error();
    Item item = start(d.name, *contour, parent, d.on);
    item.hint = d.hint;
    item.truth.kind = d.use == SlotUse::LockCut ? DrawnKind::LockCut : DrawnKind::Slot;
    item.open = d.open;
    ShapeSize{item.truth}(d.band);
    const double depth = toMm(d.depth);
    if (depth < 0) return bad(d.name + ".depth", "the depth is below 0.", "Give 0 for through, or a depth.");
    if (depth > 0) item.truth.depth = d.depth;
    if (auto b = cavity(item, d.side, depth); b) return b;
    std::vector<Step> steps{{depth > 0 ? item.floor_mm : farSide(item), 0, false}, {past(item), 0, false}};
    item.steps = ascending(steps, item.truth.side);
    finishCavity(item, 0, box(item.truth.footprint).centre());
    return {};
  }

  Bad bore(const Bore& d, int parent) {
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

  // Side, zone and heights of a cavity. depth 0: through.
  Bad cavity(Item& item, Side side, double depth) {
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

  double farSide(const Item& item) const {
    return item.truth.side == Side::Outer ? -kOvershoot_mm : layout_.top_mm + kOvershoot_mm;
  }
  // Where its cutter ends outside: past everything, or inside the hollow of the pocket it sits in.
  double past(const Item& item) const {
    const Item* on = host(item.parent);
    const double out = item.truth.side == Side::Outer ? 1 : -1;
    if (on && !on->island)
      return item.surface_mm + out * std::min(kOvershoot_mm, 0.5 * std::abs(on->surface_mm - on->floor_mm));
    return out > 0 ? layout_.top_mm + kOvershoot_mm : -kOvershoot_mm;
  }

  void finishCavity(Item& item, double grow, Vec2 centre) {
    item.ground = grow > 0 ? offset(item.truth.footprint, grow) : item.truth.footprint;
    item.volume_mm3 = -stackVolume(item.contour, item.steps, item.low_mm, item.high_mm);
    if (chassis_.crown && item.parent < 0 && (item.truth.side == Side::Outer || item.truth.through))
      item.volume_mm3 += area(item.contour) * layout_.thickness_mm -
                         crownColumn(*chassis_.crown, layout_.thickness_mm, item.contour, layout_.crownCentre);
    if (item.open) item.exact = false;
    if (item.open) item.doubt_mm3 = -item.volume_mm3;
    close(std::move(item), centre);
  }

  static std::vector<Step> ascending(std::vector<Step> steps, Side side) {
    if (side == Side::Outer) return steps;
    std::reverse(steps.begin(), steps.end());
    for (std::size_t i = 0; i + 1 < steps.size(); ++i) std::swap(steps[i].roundNext, steps[i + 1].roundNext);
    return steps;
  }

  double lowestCrown(const Region& footprint) const {
    double low = layout_.thickness_mm;
    if (chassis_.crown)
      for (Vec2 p : footprint.rings[0])
        low = std::min(low, crownHeight(*chassis_.crown, layout_.thickness_mm, p.x - layout_.crownCentre.x,
                                        p.y - layout_.crownCentre.y));
    return low;
  }

  static Vec2 middle(const Contour& contour, const PlanShape& shape, Place place) {
    if (std::holds_alternative<Band>(shape) || std::holds_alternative<Polygon>(shape))
      return box(ring(contour)).centre();
    return place.centre_mm;
  }

  const Chassis& chassis_;
  Halves halves_;
  Layout layout_;
  std::map<std::string, int> names_;
};

}  // namespace

Result<Layout> layOut(const Chassis& chassis, const DrawOptions& options) {
  auto layout = LayoutMaker(chassis, options).make();
  if (!layout) return layout;
  return checkPlaces(std::move(*layout), chassis, options);
}

}  // namespace chipledger::draw
