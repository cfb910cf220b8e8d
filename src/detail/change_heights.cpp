// Heights, depths and thickness: one side of the part moves, the other stays.
#include <fmt/format.h>

#include <algorithm>

#include "detail/change_kinds.hpp"

namespace chipledger::detail {
namespace {

constexpr double kLeastWall_mm = 0.02;  // of a wall that stays straight
constexpr double kOutside_mm = 1.0;     // round the part: a region that covers it
constexpr double kRimSlack_mm = 0.05;   // a section is held against the footprint with this much room
constexpr double kNoLimit_mm = 1e9;

const Detail& at(const Standing& part, int index) { return part.details->list[static_cast<std::size_t>(index)]; }
Detail& at(Details& details, int index) { return details.list[static_cast<std::size_t>(index)]; }

std::vector<int> without(std::vector<int> list, int index) {
  std::erase(list, index);
  return list;
}

std::string meets(const Room& room, Side side) {
  const std::string& other = side == Side::Outer ? room.lowest : room.highest;
  if (other == "the back" || other == "the outer side") return "goes through the part";
  return fmt::format("goes through into {}", other);
}

// Islands.

/// Metal of the island's straight wall; under what is sunk into its top, metal down to the other side.
std::vector<Layer> islandLayers(const Standing& part, int index) {
  const Detail& d = at(part, index);
  const WallEnds ends = wallEnds(part, index);
  const bool outer = d.side == Side::Outer;
  const double low = d.low_mm + (outer ? ends.fillet_mm : ends.edge_mm);
  const double high = d.high_mm - (outer ? ends.edge_mm : ends.fillet_mm);
  std::vector<Layer> list;
  for (Layer& piece : layers(*part.details, d.footprint, low, high, {index})) {
    const bool sunk = outer ? piece.high_mm < high : piece.low_mm > low;
    if (!sunk) {
      piece.lowest = piece.highest = "foot and top of " + d.name;
      list.push_back(std::move(piece));
      continue;
    }
    const double from = outer ? part.details->bodyLow_mm : piece.low_mm;
    const double to = outer ? piece.high_mm : part.details->bodyHigh_mm;
    for (Layer& under : layers(*part.details, piece.region, from, to, {index})) list.push_back(std::move(under));
  }
  return list;
}

// Recesses.

bool recess(const Detail& d) {
  if (d.through || (d.side != Side::Outer && d.side != Side::Back)) return false;
  switch (d.kind) {
    case DetailKind::Pocket:
    case DetailKind::OpenPocket:
    case DetailKind::Slot:
    case DetailKind::LockCut:
    case DetailKind::Thinning:
    case DetailKind::Bore:
    case DetailKind::Thread:
    case DetailKind::Seat:
    case DetailKind::Step:
    case DetailKind::Lettering:
      return true;
    case DetailKind::Outline:
    case DetailKind::Body:
    case DetailKind::Island:
    case DetailKind::Window:
    case DetailKind::Chamfer:
    case DetailKind::Round:
    case DetailKind::CarvedFace:
    case DetailKind::SideFace:
    case DetailKind::Undercut:
      return false;
  }
  return false;
}

double topOfFamily(const Standing& part, int index, Side side) {
  double end = side == Side::Outer ? at(part, index).high_mm : at(part, index).low_mm;
  for (const int k : family(*part.details, index))
    end = side == Side::Outer ? std::max(end, at(part, k).high_mm) : std::min(end, at(part, k).low_mm);
  return end;
}

/// The broken edge of the recess' own opening: it stays where it is.
bool breaksRim(const Standing& part, int k, int recess) {
  const Detail &d = at(part, k), &r = at(part, recess);
  if (d.parent != recess || (d.kind != DetailKind::Chamfer && d.kind != DetailKind::Round)) return false;
  return r.side == Side::Outer ? d.high_mm > r.high_mm - kLeastWall_mm : d.low_mm < r.low_mm + kLeastWall_mm;
}

/// The plan of the recess at its straight wall, what stands in it included.
Region hollow(const Standing& part, int index) {
  const Detail& d = at(part, index);
  const WallEnds ends = wallEnds(part, index);
  const bool outer = d.side == Side::Outer;
  const double floor = outer ? d.low_mm + ends.fillet_mm : d.high_mm - ends.fillet_mm;
  const double rim = outer ? d.high_mm - ends.edge_mm : d.low_mm + ends.edge_mm;
  Region region = intersect(offset(d.footprint, kRimSlack_mm),
                            subtract(offset(d.footprint, kRimSlack_mm), part.solid->section(0.5 * (floor + rim))));
  for (const int k : family(*part.details, index))
    if (k != index && at(part, k).kind == DetailKind::Island) region = unite(region, at(part, k).footprint);
  return region;
}

std::vector<Layer> recessLayers(const Standing& part, int index) {
  const double low = std::min(part.details->bodyLow_mm, topOfFamily(part, index, Side::Back));
  const double high = std::max(part.details->bodyHigh_mm, topOfFamily(part, index, Side::Outer));
  return layers(*part.details, hollow(part, index), low, high);
}

// The body.

std::vector<Layer> bodyLayers(const Standing& part) {
  Region whole = part.solid->shadowFromAbove(part.solid->low());
  const Box2 extent = box(whole);
  const Vec2 more{kOutside_mm, kOutside_mm};
  return layers(*part.details, rectangle(extent.min - more, extent.max + more), part.details->bodyLow_mm,
                part.details->bodyHigh_mm);
}

}  // namespace

std::optional<Changeable> heightRange(const Standing& part, int index) {
  const Detail& d = at(part, index);
  if (d.kind != DetailKind::Island || !d.dimensions.height || (d.side != Side::Outer && d.side != Side::Back))
    return std::nullopt;
  const double now = toMm(*d.dimensions.height);
  const Room room = roomBetween(islandLayers(part, index));
  const double straight = room.by_mm + kLeastFloor_mm - kLeastWall_mm;
  return Changeable{Dimension::Height,
                    mm(now),
                    mm(std::max(kLeastWall_mm, now - straight)),
                    mm(kNoLimit_mm),
                    fmt::format("{} would be lower than its foot and its top edge need together.", d.name),
                    ""};
}

Result<Changed> withHeight(const Standing& part, int index, double value_mm) {
  const Detail& d = at(part, index);
  const double by = value_mm - toMm(*d.dimensions.height);
  const double along = d.side == Side::Outer ? by : -by;
  auto changes = moveSide(d.side, islandLayers(part, index), along, kLeastWall_mm);
  if (!changes) return tl::make_unexpected(changes.error());
  Changed out{std::move(*changes), *part.details};
  moveDetails(out.details, without(family(*part.details, index), index), d.side, along);
  Detail& changed = at(out.details, index);
  (d.side == Side::Outer ? changed.high_mm : changed.low_mm) += along;
  changed.dimensions.height = mm(value_mm);
  return out;
}

std::optional<Changeable> depthRange(const Standing& part, int index) {
  const Detail& d = at(part, index);
  if (!recess(d) || !d.dimensions.depth) return std::nullopt;
  const double now = toMm(*d.dimensions.depth);
  const WallEnds ends = wallEnds(part, index);
  const Room room = roomBetween(recessLayers(part, index));
  return Changeable{Dimension::Depth,
                    mm(now),
                    mm(std::min(now, ends.fillet_mm + ends.edge_mm + kLeastWall_mm)),
                    mm(now + std::max(0.0, room.by_mm)),
                    fmt::format("{} would be shallower than its floor fillet and its rim need together.", d.name),
                    fmt::format("{} {}.", d.name, meets(room, d.side))};
}

Result<Changed> withDepth(const Standing& part, int index, double value_mm) {
  const Detail& d = at(part, index);
  const double deeper = value_mm - toMm(*d.dimensions.depth);
  const double along = d.side == Side::Outer ? -deeper : deeper;
  auto changes = moveSide(d.side, recessLayers(part, index), along, kLeastFloor_mm);
  if (!changes) return tl::make_unexpected(changes.error());
  Changed out{std::move(*changes), *part.details};
  std::vector<int> with = without(family(*part.details, index), index);
  std::erase_if(with, [&](int k) { return breaksRim(part, k, index); });
  moveDetails(out.details, with, d.side, along);
  Detail& changed = at(out.details, index);
  (d.side == Side::Outer ? changed.low_mm : changed.high_mm) += along;
  changed.dimensions.depth = mm(value_mm);
  if (changed.dimensions.thickness) changed.dimensions.thickness = *changed.dimensions.thickness - mm(deeper);
  return out;
}

std::optional<Changeable> thicknessRange(const Standing& part, int index) {
  const Detail& d = at(part, index);
  if (d.kind != DetailKind::Body) return std::nullopt;
  const double now = part.details->bodyHigh_mm - part.details->bodyLow_mm;
  const Room room = roomBetween(bodyLayers(part));
  const bool details = room.lowest != "the back" || room.highest != "the outer side";
  return Changeable{Dimension::Thickness,
                    mm(now),
                    mm(now - std::max(0.0, room.by_mm)),
                    mm(kNoLimit_mm),
                    details ? fmt::format("No metal would be left between {} and {}.", room.lowest, room.highest)
                            : "No body would be left.",
                    ""};
}

Result<Changed> withThickness(const Standing& part, int index, double value_mm) {
  const double by = value_mm - (part.details->bodyHigh_mm - part.details->bodyLow_mm);
  auto changes = moveSide(Side::Outer, bodyLayers(part), by, kLeastFloor_mm);
  if (!changes) return tl::make_unexpected(changes.error());
  Changed out{std::move(*changes), *part.details};
  std::vector<int> all;
  for (std::size_t k = 0; k < out.details.list.size(); ++k) all.push_back(static_cast<int>(k));
  moveDetails(out.details, all, Side::Outer, by);
  for (Detail& d : out.details.list) {
    if (d.dimensions.thickness) d.dimensions.thickness = *d.dimensions.thickness + mm(by);
    if (d.kind == DetailKind::Outline && d.dimensions.height) d.dimensions.height = *d.dimensions.height + mm(by);
  }
  at(out.details, index).dimensions.thickness = mm(value_mm);
  out.details.bodyHigh_mm += by;
  return out;
}

}  // namespace chipledger::detail
