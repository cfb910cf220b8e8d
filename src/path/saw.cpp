#include <chipledger/path/saw.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace chipledger::path {
namespace {

constexpr double kStraight = 0.9;      // of its rectangle that a strip fills
constexpr double kLeastRatio = 2.0;    // length over width
constexpr double kTooThick_mm = 0.01;  // half the gouge tolerance, over both sides
constexpr double kFree_mm2 = 0.01;     // of overlap that is rounding
constexpr double kWide_mm = 60.0;      // as far aside as a flange and its arbor reach

// A rectangle from a point along a direction.
Region ahead(Vec2 from, Vec2 direction, double length, double halfWidth) {
  const Vec2 aside = perp(direction) * halfWidth, end = from + direction * length;
  return clean({{from - aside, end - aside, end + aside, from + aside}});
}

bool isFree(const Region& stays, const Region& place) {
  return stays.empty() || area(intersect(stays, place)) < kFree_mm2;
}

std::optional<SawWay> overhead(const SawTask& task, double R, double flange, double thick) {
  const double depth = task.top_mm - task.low_mm, over = task.over_mm;
  if (task.low_mm - over + R - flange < task.highest_mm + kFlangeFree_mm || depth + over >= R) return std::nullopt;
  const double half = std::min(halfChord(R, over), 0.5 * task.slot.length_mm);
  const double beyond = halfChord(R, depth + over) - half;
  const Vec2 u = (task.slot.to - task.slot.from) * (1.0 / task.slot.length_mm);
  if (!isFree(task.stays, ahead(task.slot.from, u * -1.0, beyond, 0.5 * thick)) ||
      !isFree(task.stays, ahead(task.slot.to, u, beyond, 0.5 * thick)))
    return std::nullopt;
  const Vec2 first = task.slot.from + u * half, last = task.slot.to - u * half;
  const double low = task.low_mm - over + R;
  // Small mills reach a little way into the mouths of a slot; the disc goes past them.
  const Vec2 mouth = u * std::min(beyond, task.slot.width_mm);
  return SawWay{task.slot.from - mouth,
                task.slot.to + mouth,
                {{first.x, first.y, task.top_mm + R}, {first.x, first.y, low}, {last.x, last.y, low}},
                true};
}

std::optional<SawWay> edgeOn(const SawTask& task, Vec2 open, Vec2 closed, double R, double flange, double thick) {
  const double depth = task.top_mm - task.low_mm, length = task.slot.length_mm;
  if (length > R - flange - kFlangeFree_mm || depth >= 2.0 * R) return std::nullopt;
  if (R - std::sqrt(R * R - 0.25 * depth * depth) > kRoundEnd_mm) return std::nullopt;
  const Vec2 u = (closed - open) * (1.0 / length);
  // Nothing of the part may stand before the open end: disc, flange and arbor come from there. A small mill may have
  // reached a little way into the mouth.
  const Vec2 edge = open - u * task.slot.width_mm;
  if (!isFree(task.stays, ahead(edge, u * -1.0, 2.0 * R, kWide_mm))) return std::nullopt;
  const Vec2 end = closed + u * (-0.5 * thick), first = edge + u * -R, last = end + u * -R;
  const double middle = task.low_mm + 0.5 * depth;
  return SawWay{edge, end, {{first.x, first.y, middle}, {last.x, last.y, middle}}, false};
}

}  // namespace

double halfChord(double radius_mm, double height_mm) {
  const double down = radius_mm - height_mm;
  return std::sqrt(std::max(0.0, radius_mm * radius_mm - down * down));
}

std::optional<Strip> straightStrip(const Region& region) {
  if (region.rings.size() != 1) return std::nullopt;
  const Ring& ring = region.rings.front();
  std::optional<Strip> best;
  double least = 1e300;
  // The smallest rectangle round a polygon lies along one of its edges (or of its hull's, which a strip shares).
  for (std::size_t i = 0, k = ring.size() - 1; i < ring.size(); k = i++) {
    const Vec2 edge = ring[i] - ring[k];
    const double l = norm(edge);
    if (l < 1e-6) continue;
    Vec2 u = edge * (1.0 / l);
    double low = 1e300, high = -1e300, left = 1e300, right = -1e300;
    for (Vec2 p : ring) {
      const double s = dot(p, u), t = dot(p, perp(u));
      low = std::min(low, s), high = std::max(high, s);
      left = std::min(left, t), right = std::max(right, t);
    }
    const double box = (high - low) * (right - left);
    if (box >= least * (1.0 - 1e-9)) continue;
    least = box;
    Vec2 v = perp(u);
    if (high - low < right - left) {
      std::swap(low, left), std::swap(high, right);
      std::swap(u, v);
    }
    const Vec2 middle = v * (0.5 * (left + right));
    best = Strip{u * low + middle, u * high + middle, right - left, high - low};
  }
  if (!best || best->length_mm < kLeastRatio * best->width_mm || area(region) < kStraight * least) return std::nullopt;
  return best;
}

std::optional<SawWay> sawWay(const SawTask& task, const cutting::Cutter& saw) {
  const double thick = toMm(saw.fluteLength), R = 0.5 * toMm(saw.diameter), flange = 0.5 * toMm(saw.holderDiameter);
  if (saw.kind != cutting::CutterKind::Saw || thick > task.slot.width_mm + kTooThick_mm ||
      thick < task.slot.width_mm - kSawSlack_mm)
    return std::nullopt;
  if (auto way = overhead(task, R, flange, thick)) return way;
  if (auto way = edgeOn(task, task.slot.from, task.slot.to, R, flange, thick)) return way;
  return edgeOn(task, task.slot.to, task.slot.from, R, flange, thick);
}

std::string whyNoSaw(const SawTask& task, const std::vector<cutting::Cutter>& crib) {
  std::vector<std::string> thick;
  std::string why;
  for (const cutting::Cutter& saw : crib) {
    if (saw.kind != cutting::CutterKind::Saw) continue;
    if (sawWay(task, saw)) return {};
    const double wide = toMm(saw.fluteLength), R = 0.5 * toMm(saw.diameter), flange = 0.5 * toMm(saw.holderDiameter);
    thick.push_back(fmt::format("{:.2f}", wide));
    if (wide > task.slot.width_mm + kTooThick_mm || wide < task.slot.width_mm - kSawSlack_mm) continue;
    const double depth = task.top_mm - task.low_mm;
    // What keeps the disc from coming over the slot, and from coming in along it.
    const std::string overhead =
        task.low_mm - task.over_mm + R - flange < task.highest_mm + kFlangeFree_mm
            ? fmt::format("its flange would meet what stands {:.1f} mm over the slot's bottom",
                          task.highest_mm - task.low_mm)
            : fmt::format("metal stands within the {:.1f} mm that a disc of {:.0f} mm runs out beyond the slot's ends",
                          std::max(0.0, halfChord(R, depth + task.over_mm) -
                                            std::min(halfChord(R, task.over_mm), 0.5 * task.slot.length_mm)),
                          2.0 * R);
    const std::string edge = task.slot.length_mm > R - flange - kFlangeFree_mm
                                 ? fmt::format("from an open end it reaches {:.1f} mm of {:.1f}",
                                               std::max(0.0, R - flange - kFlangeFree_mm), task.slot.length_mm)
                                 : std::string("neither end is open to it from the side");
    why = fmt::format("{} cannot saw it: {}, and {}.", saw.id, overhead, edge);
  }
  if (thick.empty()) return "The crib has no slitting saw.";
  if (why.empty()) why = fmt::format("No saw of the crib ({} mm) is as thick as the slot.", fmt::join(thick, ", "));
  return why;
}

}  // namespace chipledger::path
