// Slots that no end mill of the crib passes, sawn with the part on edge.
#include <chipledger/path/saw.hpp>

#include <fmt/format.h>

#include <algorithm>

#include "path/planner.hpp"

namespace chipledger::path {
namespace {

constexpr double kBelow_mm = 0.05;  // of the pass that stands for the disc: the cells' own rounding
constexpr double kAway_mm = 10.0;   // where the disc waits between slots. Common practice, no source

// From the setup's frame to one with the spindle along the normal of the slot; lowest point of the part at 0.
Frame onEdge(Vec2 along, const Region& part) {
  Frame f;
  f.x = {along.x, along.y, 0};
  f.y = {0, 0, 1};
  f.z = {along.y, -along.x, 0};
  double low = 1e300;
  for (const Ring& ring : part.rings)
    for (Vec2 p : ring) low = std::min(low, dot(f.z, Vec3{p.x, p.y, 0}));
  f.shift = {0, 0, part.empty() ? 0.0 : -low};
  return f;
}

}  // namespace

void Planner::saws() {
  if (!work_.cutOutline) return;
  for (std::size_t z = 0; z < zones_.size(); ++z) {
    const Zone& zone = zones_[z];
    if (zone.soft) continue;
    const Region& left = z < chain_.left.size() ? chain_.left[z] : zone.metal;
    for (const Region& piece : pieces(left)) {
      if (area(piece) < kLeastSawSlot_mm2) continue;
      const std::optional<Strip> slot = straightStrip(piece);
      if (!slot) {
        unsawn_.push_back({piece, "It is no straight slot, so no saw cuts it."});
        continue;
      }
      SawTask task;
      task.slot = *slot;
      task.low_mm = zone.z_mm;
      task.top_mm = std::min(zone.z_mm + zone.depth_mm, chart_.high());
      task.highest_mm = chart_.high();
      task.over_mm = zone.z_mm <= kAboveLevel_mm ? toMm(work_.practice.throughDepth) : 0.0;
      task.stays = zone.obstacle;
      sawWith(task, piece);
    }
  }
}

void Planner::sawWith(const SawTask& task, const Region& piece) {
  const cutting::Cutter* saw = nullptr;
  std::optional<SawWay> way;
  for (const cutting::Cutter& c : work_.crib) {
    if (saw != nullptr && c.fluteLength <= saw->fluteLength) continue;
    if (const std::optional<SawWay> found = sawWay(task, c)) {
      saw = &c;
      way = found;
    }
  }
  if (saw == nullptr) {
    unsawn_.push_back({piece, whyNoSaw(task, work_.crib)});
    return;
  }
  const std::optional<Mill> m = mill(*saw, cutting::CutKind::Saw, task.top_mm - task.low_mm + task.over_mm);
  if (!m || m->conditions.feed.base <= 0) {
    unsawn_.push_back({piece, fmt::format("The tables have no conditions for {} in this material.", saw->id)});
    return;
  }

  Operation operation;
  operation.setup = work_.setupIndex;
  operation.kind = OperationKind::Saw;
  operation.cutter = saw->id;
  operation.conditions = m->conditions;
  operation.why = fmt::format("slot of {:.2f} mm, narrower than any end mill", task.slot.width_mm);
  cutting::Cutter disc = *saw;  // as the plate sees it: a pass as wide as the disc is thick
  disc.kind = cutting::CutterKind::Flat;
  disc.diameter = saw->fluteLength;
  walk_.begin(std::move(operation), disc, style(false, *m, task.top_mm));
  const double clear = toMm(work_.practice.entryClearance);
  const double bottom = task.low_mm - (task.over_mm > 0 ? kBelow_mm : 0.0);
  walk_.rapid({way->from.x, way->from.y, walk_.safe_mm()});
  walk_.rapid({way->from.x, way->from.y, bottom});
  walk_.feed({way->to.x, way->to.y, bottom}, m->conditions.feed);

  // The metal is booked; the moves are those of the disc.
  SawCut cut;
  cut.operation = walk_.end();
  cut.toSaw = onEdge((way->to - way->from) * (1.0 / norm(way->to - way->from)), chart_.part());
  std::vector<Move>& moves = cut.operation.moves;
  moves.clear();
  const auto seen = [&](Vec3 p) { return cut.toSaw.apply(p) - Vec3{0, 0, 0.5 * toMm(saw->fluteLength)}; };
  const auto go = [&](MoveKind kind, Vec3 from, Vec3 to, Speed feed) {
    const Length width = kind == MoveKind::Cut ? m->conditions.radialStep : Length{};
    moves.push_back({kind, line(seen(from), seen(to)), feed, width, {}});
  };
  const std::vector<Vec3>& axis = way->axis;
  const Vec3 towards = (axis[1] - axis[0]) * (1.0 / norm(axis[1] - axis[0]));
  const Vec3 near = axis[0] - towards * clear, far = axis[0] - towards * (clear + kAway_mm);
  go(MoveKind::Rapid, far, near, {});
  go(MoveKind::Link, near, axis[0], m->conditions.feed);
  for (std::size_t i = 0; i + 1 < axis.size(); ++i) go(MoveKind::Cut, axis[i], axis[i + 1], m->conditions.feed);
  const Vec3 out = way->up ? Vec3{axis.back().x, axis.back().y, near.z} : near;
  go(MoveKind::Link, axis.back(), out, kLinkFeed);
  go(MoveKind::Rapid, out, out - towards * kAway_mm, {});
  plan_.sawCuts.push_back(std::move(cut));
  sawn_ = sawn_.empty() ? piece : unite(sawn_, piece);
}

std::string Planner::whyNotSawn(Vec2 place) const {
  if (!work_.cutOutline) return "Slots are sawn after the last side; this one is cut before.";
  for (const auto& [piece, why] : unsawn_) {
    const Box2 b = box(piece);
    if (place.x >= b.min.x && place.x <= b.max.x && place.y >= b.min.y && place.y <= b.max.y) return why;
  }
  return {};
}

}  // namespace chipledger::path
