// Sizes in plan: the opening or the foot is drawn anew, old metal taken or filled by upright prisms.
#include <fmt/format.h>
#include <chipledger/detail/treads.hpp>

#include <algorithm>
#include <cmath>

#include "detail/change_kinds.hpp"
#include "detail/plan_shape.hpp"

namespace chipledger::detail {
namespace {

constexpr double kOverlap_mm = 0.03;   // prisms reach past the chords of old walls
constexpr double kLeastSize_mm = 0.2;  // smaller is no detail
constexpr double kNoLimit_mm = 1e9;
constexpr double kLeastWall_mm = 0.05;  // metal left between a detail and its neighbour
constexpr double kObround = 0.01;       // share of the area: how near to round ends a shape must be

const Detail& at(const Standing& part, int index) { return part.details->list[static_cast<std::size_t>(index)]; }

field::Change prism(field::Prism::Act act, Region region, double low, double high) {
  field::Change change;
  change.kind = field::Change::Kind::Prism;
  change.prism = {act, std::move(region), low, high};
  return change;
}

bool isBore(DetailKind k) { return k == DetailKind::Bore || k == DetailKind::Thread || k == DetailKind::Seat; }
bool isRecess(DetailKind k) { return k == DetailKind::Pocket || k == DetailKind::Thinning || k == DetailKind::Window; }
bool isGroove(DetailKind k) { return k == DetailKind::Slot || k == DetailKind::LockCut; }

/// Direction of the long side of the smallest rectangle round the shape.
Vec2 longSide(const Region& region) {
  const Region hull = hullOf(region);
  Vec2 best{1, 0};
  double least = 1e300;
  if (hull.empty()) return best;
  const Ring& ring = hull.rings.front();
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Vec2 e = ring[(i + 1) % ring.size()] - ring[i];
    if (norm(e) < 1e-6) continue;
    const Vec2 u = e * (1.0 / norm(e)), v = perp(u);
    double a0 = 1e300, a1 = -1e300, b0 = 1e300, b1 = -1e300;
    for (const Vec2& p : ring) {
      a0 = std::min(a0, dot(p, u)), a1 = std::max(a1, dot(p, u));
      b0 = std::min(b0, dot(p, v)), b1 = std::max(b1, dot(p, v));
    }
    if ((a1 - a0) * (b1 - b0) < least - 1e-9) {
      least = (a1 - a0) * (b1 - b0);
      best = a1 - a0 >= b1 - b0 ? u : v;
    }
  }
  return best;
}

/// Halves moved apart (or together) along `u`; empty when points lie so near the middle that the shape would fold.
Region pulled(Region region, Vec2 centre, Vec2 u, double by) {
  for (Ring& ring : region.rings)
    for (Vec2& p : ring) {
      const double s = dot(p - centre, u);
      if (by < 0 && std::abs(s) < -0.5 * by) return {};
      p = p + u * (s >= 0 ? 0.5 * by : -0.5 * by);
    }
  return region;
}

bool roundEnds(const Region& region, const PlanShape& shape) {
  const double obround = shape.length * shape.width - (1 - 0.78539816339744831) * shape.width * shape.width;
  return std::abs(area(region) - obround) < kObround * obround;
}

/// The shape with one size changed; empty when it cannot be.
Region resized(const Region& shape, const Detail& d, Dimension dimension, double value) {
  const PlanShape now = measure(shape);
  if (dimension == Dimension::Diameter) return disc(now.centre, 0.5 * value);
  const Vec2 u = longSide(shape);
  if (dimension == Dimension::Length) return pulled(shape, now.centre, u, value - toMm(*d.dimensions.length));
  const double by = value - toMm(*d.dimensions.width);
  if (isGroove(d.kind)) return offset(shape, 0.5 * by);
  if (!roundEnds(shape, now)) return pulled(shape, now.centre, perp(u), by);
  // Round ends stay round: wider all round, then shorter again.
  return pulled(offset(shape, 0.5 * by), now.centre, u, -by);
}

std::string neighbourHit(const Standing& part, int index, const Region& reach) {
  const Detail& d = at(part, index);
  const std::vector<int> own = family(*part.details, index);
  for (std::size_t k = 0; k < part.details->list.size(); ++k) {
    const Detail& other = part.details->list[k];
    const int number = static_cast<int>(k);
    if (other.kind == DetailKind::Body || other.kind == DetailKind::Outline || number == d.parent ||
        std::find(own.begin(), own.end(), number) != own.end() || other.footprint.empty())
      continue;
    if (d.kind != DetailKind::Island && other.kind == DetailKind::Island && !d.through && other.side != d.side)
      continue;
    if (!d.through && !other.through && d.side != other.side && other.side != Side::Both) continue;
    if (!intersect(reach, other.footprint).empty()) return other.name;
  }
  return "";
}

Result<int> mayStand(const Standing& part, int index, const Region& shape, double margin) {
  const Detail& d = at(part, index);
  if (shape.empty()) return wouldBreak(fmt::format("{} would fold into itself.", d.name));
  const Region reach = offset(shape, margin);
  if (const std::string other = neighbourHit(part, index, reach); !other.empty())
    return wouldBreak(fmt::format("{} would run into {}.", d.name, other));
  Region ground = part.solid->shadowFromAbove(part.solid->low());
  if (d.parent >= 0 && !at(part, d.parent).footprint.empty() && at(part, d.parent).kind != DetailKind::Body &&
      at(part, d.parent).kind != DetailKind::Outline)
    ground = filled(at(part, d.parent).footprint);
  if (area(subtract(reach, filled(ground))) > 1e-6)
    return wouldBreak(fmt::format("{} would run out over the edge.", d.name));
  return 0;
}

/// The broken edge of a recess's rim or an island's top, a detail of its own.
struct BrokenEdge {
  int index{-1};
  double width_mm{}, depth_mm{};
  bool round{};
};
BrokenEdge brokenEdge(const Standing& part, int index) {
  BrokenEdge edge;
  for (std::size_t k = 0; k < part.details->list.size(); ++k) {
    const Detail& d = part.details->list[k];
    if (d.parent != index || (d.kind != DetailKind::Chamfer && d.kind != DetailKind::Round)) continue;
    if (edge.index >= 0) return {};  // broken in two ways: left as it was
    edge.index = static_cast<int>(k);
    edge.round = d.kind == DetailKind::Round;
    edge.depth_mm = d.high_mm - d.low_mm;
    edge.width_mm = edge.round || !d.dimensions.width ? edge.depth_mm : toMm(*d.dimensions.width);
  }
  return edge;
}

/// The nominal shape in plan: without the foot fillet of an island, or the rim of a recess where that is no detail of
/// its own.
Region nominal(const Standing& part, int index) {
  const Detail& d = at(part, index);
  const WallEnds ends = wallEnds(part, index);
  const bool apart = d.through || brokenEdge(part, index).index >= 0;
  const double in = d.kind == DetailKind::Island ? ends.fillet_mm : (apart ? 0.0 : ends.edge_mm);
  return in > 0 ? offset(d.footprint, -in) : d.footprint;
}

/// The same edge along the new border: metal is taken outside a recess, inside an island.
void breakEdge(const BrokenEdge& edge, const Detail& d, const Region& border, Changed& out) {
  const bool island = d.kind == DetailKind::Island, outer = d.side != Side::Back;
  Slope slope;
  slope.wall = border;
  slope.width_mm = edge.width_mm;
  slope.outwards = !island;
  slope.height = [edge](double x) {
    const double to = 1.0 - x / edge.width_mm;
    return edge.round ? edge.depth_mm * (1.0 - std::sqrt(std::max(0.0, 1.0 - to * to))) : edge.depth_mm * to;
  };
  appendSlope(slope, field::Prism::Act::Remove, outer ? d.high_mm : d.low_mm, !outer, out.changes);
  out.details.list[static_cast<std::size_t>(edge.index)].footprint =
      island ? subtract(border, offset(border, -edge.width_mm)) : subtract(offset(border, edge.width_mm), border);
}

Result<Changed> recessResized(const Standing& part, int index, const Region& before, const Region& after) {
  const Detail& d = at(part, index);
  Changed out{{}, *part.details};
  double low = d.low_mm, high = d.high_mm;
  if (isBore(d.kind) && d.dimensions.counterDepth) {
    const double depth = toMm(*d.dimensions.counterDepth);
    (d.side == Side::Back ? low : high) += d.side == Side::Back ? depth : -depth;
    const Region mouth = disc(box(d.footprint).centre(), 0.5 * toMm(d.dimensions.counterDiameter.value_or(Length{})));
    if (area(subtract(after, mouth)) > 1e-6)
      return wouldBreak(fmt::format("{} would be wider than its counterbore.", d.name));
  }
  const BrokenEdge edge = d.through || isBore(d.kind) ? BrokenEdge{} : brokenEdge(part, index);
  const Region filling = subtract(offset(before, edge.width_mm + kOverlap_mm), after);
  // The fillet along the old floor goes with the old wall.
  const double fillet = d.through || isBore(d.kind) ? 0.0 : wallEnds(part, index).fillet_mm;
  const Region taking = subtract(after, offset(before, -kOverlap_mm - fillet));
  if (edge.index >= 0 || area(subtract(before, after)) > 1e-6)
    out.changes.push_back(prism(field::Prism::Act::Add, filling, low, high));
  if (fillet > 0 || area(subtract(after, before)) > 1e-6)
    out.changes.push_back(prism(field::Prism::Act::Remove, taking, low, high));
  if (fillet > 0) {
    const bool outer = d.side != Side::Back;
    appendFillet(after, fillet, false, outer ? d.low_mm : d.high_mm, outer, out.changes);
  }
  if (edge.index >= 0) breakEdge(edge, d, after, out);
  Detail& changed = out.details.list[static_cast<std::size_t>(index)];
  if (!(isBore(d.kind) && d.dimensions.counterDepth)) changed.footprint = after;
  return out;
}

Changed islandResized(const Standing& part, int index, const Region& after) {
  const Detail& d = at(part, index);
  Changed out{{}, *part.details};
  Region holes;
  for (const int k : family(*part.details, index))
    if (k != index && part.details->list[static_cast<std::size_t>(k)].kind != DetailKind::Chamfer &&
        part.details->list[static_cast<std::size_t>(k)].kind != DetailKind::Round)
      holes = unite(holes, part.details->list[static_cast<std::size_t>(k)].footprint);
  const Region old = subtract(offset(d.footprint, kOverlap_mm), holes);
  out.changes.push_back(prism(field::Prism::Act::Remove, old, d.low_mm, d.high_mm));
  out.changes.push_back(prism(field::Prism::Act::Add, subtract(after, holes), d.low_mm, d.high_mm));
  const bool outer = d.side == Side::Outer;
  const double root = d.dimensions.rootRadius ? toMm(*d.dimensions.rootRadius) : 0.0;
  if (root > 0) appendFillet(after, root, true, outer ? d.low_mm : d.high_mm, outer, out.changes);
  if (const BrokenEdge edge = brokenEdge(part, index); edge.index >= 0) breakEdge(edge, d, after, out);
  out.details.list[static_cast<std::size_t>(index)].footprint = root > 0 ? offset(after, root) : after;
  return out;
}

const std::optional<Length>& sizeOf(const Detail& d, Dimension dimension) {
  if (dimension == Dimension::Diameter) return d.dimensions.diameter;
  return dimension == Dimension::Width ? d.dimensions.width : d.dimensions.length;
}

}  // namespace

std::optional<Changeable> planRange(const Standing& part, int index, Dimension dimension) {
  const Detail& d = at(part, index);
  const std::optional<Length>& now = sizeOf(d, dimension);
  if (!now || d.side == Side::Other || d.footprint.empty()) return std::nullopt;
  const bool round = d.dimensions.diameter.has_value();
  // A tapped hole has its diameter from its thread.
  const bool can = dimension == Dimension::Diameter ? (isBore(d.kind) && d.kind != DetailKind::Thread) ||
                                                          isRecess(d.kind) || d.kind == DetailKind::Island
                                                    : !round && (isRecess(d.kind) || d.kind == DetailKind::Island ||
                                                                 (isGroove(d.kind) && dimension == Dimension::Width));
  if (!can) return std::nullopt;
  return Changeable{dimension, *now, mm(kLeastSize_mm), mm(kNoLimit_mm), fmt::format("{} would be gone.", d.name), ""};
}

Result<Changed> withPlanSize(const Standing& part, int index, Dimension dimension, double value_mm) {
  const Detail& d = at(part, index);
  if (value_mm == toMm(*sizeOf(d, dimension))) return Changed{{}, *part.details};
  const bool counter = isBore(d.kind) && d.dimensions.counterDepth;
  const Region before =
      counter ? disc(box(d.footprint).centre(), 0.5 * toMm(*d.dimensions.diameter)) : nominal(part, index);
  const Region after = resized(before, d, dimension, value_mm);
  const double root = d.kind == DetailKind::Island && d.dimensions.rootRadius ? toMm(*d.dimensions.rootRadius) : 0.0;
  const double edge = d.kind == DetailKind::Island || d.through || counter ? 0.0 : brokenEdge(part, index).width_mm;
  if (auto fits = mayStand(part, index, after, root + edge + kLeastWall_mm); !fits)
    return tl::make_unexpected(fits.error());
  for (const int k : family(*part.details, index))
    if (k != index && !part.details->list[static_cast<std::size_t>(k)].footprint.empty() &&
        part.details->list[static_cast<std::size_t>(k)].kind != DetailKind::Chamfer &&
        area(subtract(part.details->list[static_cast<std::size_t>(k)].footprint, after)) > 1e-6)
      return wouldBreak(
          fmt::format("{} would no longer fit on {}.", part.details->list[static_cast<std::size_t>(k)].name, d.name));
  Result<Changed> made = d.kind == DetailKind::Island ? Result<Changed>(islandResized(part, index, after))
                                                      : recessResized(part, index, before, after);
  if (!made) return made;
  Detail& changed = made->details.list[static_cast<std::size_t>(index)];
  const double by = value_mm - toMm(*sizeOf(d, dimension));
  if (dimension == Dimension::Diameter) {
    changed.dimensions.diameter = mm(value_mm);
    if (changed.dimensions.width && !counter) changed.dimensions.width = mm(value_mm);
    if (changed.dimensions.length && !counter) changed.dimensions.length = mm(value_mm);
    if (changed.dimensions.cornerRadius) changed.dimensions.cornerRadius = mm(0.5 * value_mm);
  } else if (dimension == Dimension::Width) {
    const bool rounded = isGroove(d.kind) || roundEnds(before, measure(before));
    changed.dimensions.width = mm(value_mm);
    if (isGroove(d.kind) && changed.dimensions.length) changed.dimensions.length = *changed.dimensions.length + mm(by);
    if (rounded && changed.dimensions.cornerRadius)
      changed.dimensions.cornerRadius = *changed.dimensions.cornerRadius + mm(0.5 * by);
  } else {
    changed.dimensions.length = mm(value_mm);
  }
  return made;
}

}  // namespace chipledger::detail
