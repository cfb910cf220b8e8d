// The plate itself: outline, edge breaks, crown.
#include <cmath>

#include "layout_maker.hpp"

namespace chipledger::draw {
namespace {

constexpr double kLeastEdge_mm = 0.05;  ///< a crown must leave this much body at its rim

}  // namespace

LayoutMaker::Bad LayoutMaker::body() {
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
    return bad("outer_edge", "an edge break on a crowned face is not drawn.", "Leave out the outer edge or the crown.");
  std::vector<Step>& steps = layout_.bodySteps;
  if (size(back) > 0) steps.push_back({0, size(back), back.kind == EdgeBreak::Kind::Round});
  steps.push_back({size(back), 0, false});
  steps.push_back({t - size(outer), 0, outer.kind == EdgeBreak::Kind::Round && size(outer) > 0});
  if (size(outer) > 0) steps.push_back({t, size(outer), false});
  layout_.volume_mm3 = stackVolume(*outline, steps, 0, t);
  if (chassis_.crown) return crown();
  return {};
}

LayoutMaker::Bad LayoutMaker::crown() {
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

double LayoutMaker::lowestCrown(const Region& footprint) const {
  double low = layout_.thickness_mm;
  if (chassis_.crown)
    for (Vec2 p : footprint.rings[0])
      low = std::min(low, crownHeight(*chassis_.crown, layout_.thickness_mm, p.x - layout_.crownCentre.x,
                                      p.y - layout_.crownCentre.y));
  return low;
}

}  // namespace chipledger::draw
