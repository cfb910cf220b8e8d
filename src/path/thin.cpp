#include <chipledger/cutting/tables.hpp>
#include <chipledger/path/thin.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::path {
namespace {

constexpr double kMostOf = 0.5;  // of the floor: a thin place smaller than that does not set the pace of the pass
constexpr double kSameLevel_mm = 0.02;  // a detail's own floor against the floor of the setup
constexpr double kArc_mm = 0.02;
constexpr int kHalvings = 5;  // thickness and height to 3 %

bool recess(detail::DetailKind kind) {
  using detail::DetailKind;
  return kind == DetailKind::Pocket || kind == DetailKind::OpenPocket || kind == DetailKind::Thinning ||
         kind == DetailKind::Slot || kind == DetailKind::Seat || kind == DetailKind::Step ||
         kind == DetailKind::Lettering;
}

/// Parts of the region thinner than `thickness`, without the slivers at its corners.
Region strips(const Region& region, double thickness) {
  const double radius = 0.5 * thickness;
  Region thin;
  for (const Region& piece : pieces(subtract(region, offset(offset(region, -radius, kArc_mm), radius, kArc_mm))))
    if (area(piece) > thickness * thickness) thin = thin.empty() ? piece : unite(thin, piece);
  return thin;
}

/// Height over thickness up to which the table knows no slowing.
double easyRatio(const cutting::CuttingTables& tables) {
  double easy = 0.0;
  for (const cutting::ThinRow& row : tables.thin)
    if (row.part == cutting::ThinPart::Wall && row.timeFactor <= 1.0) easy = std::max(easy, row.measure);
  return easy;
}

}  // namespace

double floorLeft(const Work& work, const Region& floor, double z_mm) {
  if (work.firstSide) return std::max(0.0, z_mm - work.blankBottom_mm);
  if (work.details == nullptr || floor.empty()) return 0.0;
  const double whole = area(floor);
  double left = 0.0;
  for (const detail::Detail& d : work.details->list) {
    if (!d.dimensions.thickness || d.through || !recess(d.kind)) continue;
    const auto [low, high] = heightsInSetup(work, d);
    // Cut from here its floor is this floor; cut from below its ceiling lies under it.
    if (std::abs(low - z_mm) > kSameLevel_mm && high > z_mm - kSameLevel_mm) continue;
    if (area(intersect(footprintInSetup(work, d), floor)) < kMostOf * whole) continue;
    const double thickness = toMm(*d.dimensions.thickness);
    left = left > 0 ? std::min(left, thickness) : thickness;
  }
  return left;
}

ThinWork thinnestWall(const Work& work, const Chart& chart, const Region& obstacle, double foot_mm) {
  const double easy = easyRatio(*work.tables);
  const double highest = chart.high() - foot_mm;
  if (easy <= 0 || highest <= 0 || obstacle.empty()) return {};
  const Region thin = strips(obstacle, highest / easy);
  if (thin.empty()) return {};
  // How high these strips really stand.
  const double half = 0.5 * area(thin);
  double low = 0.0, high = highest;
  for (int i = 0; i < kHalvings; ++i) {
    const double middle = 0.5 * (low + high);
    (area(intersect(chart.obstacle(foot_mm + middle), thin)) > half ? low : high) = middle;
  }
  const double stands = high;
  double thick = stands / easy, none = 0.0;
  if (strips(obstacle, thick).empty()) return {};
  for (int i = 0; i < kHalvings; ++i) {
    const double middle = 0.5 * (thick + none);
    (strips(obstacle, middle).empty() ? none : thick) = middle;
  }
  return {0.0, thick, stands};
}

}  // namespace chipledger::path
