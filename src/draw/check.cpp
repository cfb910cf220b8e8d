// Where details may lie: inside the outline or their host, apart from each other, not into a cavity from the other
// side.
#include "layout.hpp"

#include <fmt/format.h>
#include <cmath>

namespace chipledger::draw {
namespace {

constexpr double kGap_mm = 0.01;  ///< details nearer than this count as touching: five times the chord error of rings
constexpr double kOverlap_mm2 = 1e-4;  ///< smaller overlaps are rounding of the rings

bool overlap(const Region& a, const Region& b) {
  const Box2 ba = box(a), bb = box(b);
  if (ba.max.x < bb.min.x || bb.max.x < ba.min.x || ba.max.y < bb.min.y || bb.max.y < ba.min.y) return false;
  return area(intersect(a, b)) > kOverlap_mm2;
}

/// First crossing of a ring with itself.
std::optional<Vec2> selfCrossing(const Ring& ring) {
  const std::size_t n = ring.size();
  for (std::size_t i = 0; i < n; ++i) {
    const Vec2 a = ring[i], b = ring[(i + 1) % n];
    for (std::size_t j = i + 2; j < n; ++j) {
      if (i == 0 && j == n - 1) continue;
      const Vec2 c = ring[j], d = ring[(j + 1) % n];
      if (std::max(a.x, b.x) < std::min(c.x, d.x) || std::max(c.x, d.x) < std::min(a.x, b.x)) continue;
      const double s0 = cross(b - a, c - a), s1 = cross(b - a, d - a), t0 = cross(d - c, a - c),
                   t1 = cross(d - c, b - c);
      if ((s0 > 0) != (s1 > 0) && (t0 > 0) != (t1 > 0)) return a + (b - a) * (t0 / (t0 - t1));
    }
  }
  return std::nullopt;
}

std::string placeText(const Region& region) {
  const Vec2 c = box(region).centre();
  return fmt::format("({:.2f}, {:.2f}) mm", c.x, c.y);
}

bool shareZone(Zone a, Zone b) { return a == b || a == Zone::Through || b == Zone::Through; }

bool isAncestor(const Layout& layout, int elder, int younger) {
  for (int at = layout.items[static_cast<std::size_t>(younger)].parent; at >= 0;
       at = layout.items[static_cast<std::size_t>(at)].parent)
    if (at == elder) return true;
  return false;
}

// The flat part of a host on which a detail may lie.
Region groundOf(const Layout& layout, const Chassis& chassis, const Item& item) {
  if (item.parent >= 0) {
    const Item& on = layout.items[static_cast<std::size_t>(item.parent)];
    return offset(on.truth.footprint, -on.floorInset_mm);
  }
  const auto size = [](const EdgeBreak& e) { return e.kind == EdgeBreak::Kind::Sharp ? 0.0 : toMm(e.size); };
  double edge = 0.0;
  if (item.zone != Zone::Back) edge = std::max(edge, size(chassis.outerEdge));
  if (item.zone != Zone::Outer) edge = std::max(edge, size(chassis.backEdge));
  return edge > 0 ? offset(layout.outlineRegion, -edge) : layout.outlineRegion;
}

}  // namespace

Result<Layout> checkPlaces(Layout layout, const Chassis& chassis, const DrawOptions& options) {
  const bool touching = chassis.detailsMayTouch || options.touching == Touching::Allow;
  if (const auto at = selfCrossing(layout.outlineRegion.rings[0]))
    return fault(FaultCode::BadFile, "outline",
                 fmt::format("the outline crosses itself at ({:.2f}, {:.2f}) mm.", at->x, at->y),
                 "Move the corners apart.");
  for (Item& item : layout.items) {
    const std::string& name = item.truth.name;
    if (const auto at = selfCrossing(item.truth.footprint.rings[0]))
      return fault(FaultCode::BadFile, name,
                   fmt::format("its shape crosses itself at ({:.2f}, {:.2f}) mm.", at->x, at->y),
                   "Move its corners apart.");
    const Region ground = groundOf(layout, chassis, item);
    const std::string where =
        item.parent < 0 ? "the outline" : layout.items[static_cast<std::size_t>(item.parent)].truth.name;
    if (!overlap(item.truth.footprint, ground))
      return fault(FaultCode::BadFile, name, fmt::format("it lies outside {}, at {}.", where, placeText(item.ground)),
                   "Move it inside.");
    if (item.open || touching) continue;
    if (area(subtract(offset(item.ground, kGap_mm), ground)) > kOverlap_mm2)
      return fault(FaultCode::BadFile, name,
                   fmt::format("it runs over the edge of {}, at {}.", where, placeText(item.ground)),
                   "Move it inside, make it smaller, or mark a pocket, window or slot as open.");
  }
  if (touching) return layout;
  const int n = static_cast<int>(layout.items.size());
  for (int i = 0; i < n; ++i) {
    for (int j = i + 1; j < n; ++j) {
      const Item &a = layout.items[static_cast<std::size_t>(i)], &b = layout.items[static_cast<std::size_t>(j)];
      if (isAncestor(layout, i, j)) continue;
      if (shareZone(a.zone, b.zone)) {
        if (overlap(offset(a.ground, kGap_mm), b.ground))
          return fault(FaultCode::BadFile, b.truth.name,
                       fmt::format("it overlaps {}, at {}.", a.truth.name,
                                   placeText(intersect(offset(a.ground, kGap_mm), b.ground))),
                       "Move them apart, or make them smaller.");
      } else if (!a.island && !b.island && overlap(a.ground, b.ground)) {
        const double left = a.zone == Zone::Outer ? a.low_mm - b.high_mm : b.low_mm - a.high_mm;
        if (left < kGap_mm)
          return fault(FaultCode::BadFile, b.truth.name + ".depth",
                       fmt::format("it meets {} from the other side, at {}.", a.truth.name,
                                   placeText(intersect(a.ground, b.ground))),
                       "Make one of them shallower, or move them apart.");
      }
    }
  }
  return layout;
}

}  // namespace chipledger::draw
