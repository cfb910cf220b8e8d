#include <chipledger/parallel/parallel.hpp>
#include <chipledger/path/levels.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::path {
namespace {

constexpr double kArc_mm = 0.005;
constexpr double kLeast_mm2 = 0.05;
constexpr double kSameHeight_mm = 1e-6;
constexpr double kSnapShare = 0.25;  // a main level moves up by at most this share of the step to meet a floor

std::vector<double> targets(const Chart& chart, const RoughSite& site) {
  std::vector<double> z;
  for (const FloorLevel& floor : chart.cleared())
    if (worthRoughing(site, floor.z_mm)) z.push_back(floor.z_mm + site.floorAllowance_mm);
  return z;  // falling, as the floors are
}

Region floorsAtOrBelow(const Chart& chart, const RoughSite& site, double z_mm) {
  std::vector<Region> all;
  for (const FloorLevel& floor : chart.cleared())
    if (worthRoughing(site, floor.z_mm) && floor.z_mm + site.floorAllowance_mm <= z_mm + kSameHeight_mm)
      all.push_back(floor.region);
  return all.empty() ? Region{} : unite(all);
}

Region metalFor(const Chart& chart, const RoughSite& site, const Region& wanted, const Region& stays) {
  if (wanted.empty()) return {};
  std::vector<Region> kept;
  for (const Region& piece : pieces(subtract(site.blank, stays))) {
    if (area(intersect(piece, wanted)) <= kLeast_mm2) continue;
    const Region inside = intersect(piece, chart.outline());
    if (area(piece) - area(inside) > kLeast_mm2)
      kept.push_back(intersect(piece, offset(inside, site.margin_mm, kArc_mm)));
    else
      kept.push_back(piece);
  }
  return kept.empty() ? Region{} : unite(kept);
}

}  // namespace

bool worthRoughing(const RoughSite& site, double floor_mm) {
  return site.top_mm - floor_mm > site.floorAllowance_mm + site.finishPass_mm + kSameHeight_mm;
}

Region metalAt(const Chart& chart, const RoughSite& site, double z_mm) {
  return metalFor(chart, site, floorsAtOrBelow(chart, site, z_mm),
                  offset(chart.obstacle(z_mm), site.wallAllowance_mm, kArc_mm));
}

std::vector<RoughLevel> roughLevels(const Chart& chart, const RoughSite& site, double axialStep_mm) {
  std::vector<RoughLevel> levels;
  const std::vector<double> aims = targets(chart, site);
  if (aims.empty() || axialStep_mm <= 0) return levels;
  double top = site.top_mm;
  const double deepest = aims.back();
  while (top > deepest + kSameHeight_mm) {
    // Even steps, so that no thin last layer is left over.
    const double count = std::ceil((top - deepest) / axialStep_mm - 1e-9);
    double z = count <= 1 ? deepest : top - (top - deepest) / count;
    // Up to a floor, but not where what remains would need one layer more over everything.
    const double highest = deepest + (count - 1.0) * axialStep_mm + kSameHeight_mm;
    for (double aim : aims)
      if (aim >= z - kSameHeight_mm && aim <= std::min(z + kSnapShare * axialStep_mm, highest) &&
          aim < top - kSameHeight_mm)
        z = aim;
    Region done = metalAt(chart, site, z);
    levels.push_back({z, top, done, chart.obstacle(z)});
    for (auto aim = aims.rbegin(); aim != aims.rend(); ++aim) {
      if (*aim <= z + kSameHeight_mm || *aim >= top - kSameHeight_mm) continue;
      const Region metal = metalAt(chart, site, *aim);
      Region more = subtract(metal, done);
      done = unite(done, metal);
      if (area(more) > kLeast_mm2) levels.push_back({*aim, top, std::move(more), chart.obstacle(*aim)});
    }
    top = z;
  }
  return levels;
}

std::vector<FloorZone> floorZones(const Chart& chart, const RoughSite& site) {
  std::vector<FloorZone> zones;
  std::vector<const FloorLevel*> floors;
  for (const FloorLevel& floor : chart.cleared()) {
    if (!worthRoughing(site, floor.z_mm)) continue;
    floors.push_back(&floor);
    zones.push_back({floor.z_mm, {}, chart.obstacle(floor.z_mm)});
  }
  forEachTask(zones.size(),
              [&](std::size_t i) { zones[i].metal = metalFor(chart, site, floors[i]->region, zones[i].obstacle); });
  return zones;
}

}  // namespace chipledger::path
