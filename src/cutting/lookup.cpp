#include "cutting/lookup.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>

namespace chipledger::cutting {
namespace {

double between(double x, double x0, double x1, double y0, double y1) {
  return x1 <= x0 ? y0 : y0 + (y1 - y0) * std::clamp((x - x0) / (x1 - x0), 0.0, 1.0);
}

/// Rows [first, last) rise in diameter; the pair around `d` and the share of the way in log D.
template <class Row>
struct Around {
  const Row* low{};
  const Row* high{};
  double share{};
  const Row* nearest() const { return share < 0.5 ? low : high; }
};

template <class Iterator>
auto around(Iterator first, Iterator last, double d) {
  using Row = std::remove_reference_t<decltype(*first)>;
  Iterator high = std::find_if(first, last, [&](const auto& row) { return row.diameter_mm >= d; });
  if (high == last) --high;
  Iterator low = high;
  if (low != first && low->diameter_mm > d) --low;
  const double share = between(std::log(d), std::log(low->diameter_mm), std::log(high->diameter_mm), 0, 1);
  return Around<std::remove_const_t<Row>>{&*low, &*high, low == high ? 0.0 : share};
}

double mix(double a, double b, double share) { return a + (b - a) * share; }

}  // namespace

std::vector<SpeedBand> speedsFor(const CuttingTables& tables, const std::string& material,
                                 const std::string& cutterMaterial, CutKind kind, double d) {
  const auto wanted = std::tie(material, cutterMaterial, kind);
  const auto keyOf = [](const SpeedRow& r) { return std::tie(r.material, r.cutterMaterial, r.kind); };
  auto first = std::lower_bound(tables.speeds.begin(), tables.speeds.end(), wanted,
                                [&](const SpeedRow& r, const auto& key) { return keyOf(r) < key; });
  std::vector<SpeedBand> bands;
  while (first != tables.speeds.end() && keyOf(*first) == wanted) {
    auto last = first;
    while (last != tables.speeds.end() && keyOf(*last) == wanted && last->radialLow == first->radialLow &&
           last->radialHigh == first->radialHigh) {
      ++last;
    }
    const auto pair = around(first, last, d);
    const auto& a = *pair.low;
    const auto& b = *pair.high;
    bands.push_back({a.radialLow, a.radialHigh, mix(a.low_m_min, b.low_m_min, pair.share),
                     mix(a.start_m_min, b.start_m_min, pair.share), mix(a.high_m_min, b.high_m_min, pair.share),
                     mix(a.lifeShare, b.lifeShare, pair.share), pair.nearest()});
    first = last;
  }
  return bands;
}

std::optional<ChipLoad> chipLoadFor(const CuttingTables& tables, const std::string& material,
                                    const std::string& cutterMaterial, CutKind kind, double d) {
  const auto wanted = std::tie(material, cutterMaterial, kind);
  const auto keyOf = [](const ChipLoadRow& r) { return std::tie(r.material, r.cutterMaterial, r.kind); };
  const auto first = std::lower_bound(tables.chipLoads.begin(), tables.chipLoads.end(), wanted,
                                      [&](const ChipLoadRow& r, const auto& key) { return keyOf(r) < key; });
  const auto last = std::upper_bound(first, tables.chipLoads.end(), wanted,
                                     [&](const auto& key, const ChipLoadRow& r) { return key < keyOf(r); });
  if (first == last) return std::nullopt;
  const auto pair = around(first, last, d);
  double rated = std::exp(mix(std::log(pair.low->rated_mm), std::log(pair.high->rated_mm), pair.share));
  rated *= std::min(d / first->diameter_mm, 1.0);
  return ChipLoad{rated, pair.nearest()};
}

std::optional<EngagementLimit> engagementFor(const CuttingTables& tables, const std::string& material, CutKind kind,
                                             double d) {
  const auto wanted = std::tie(material, kind);
  const auto keyOf = [](const EngagementRow& r) { return std::tie(r.material, r.kind); };
  const auto first = std::lower_bound(tables.engagements.begin(), tables.engagements.end(), wanted,
                                      [&](const EngagementRow& r, const auto& key) { return keyOf(r) < key; });
  const auto last = std::upper_bound(first, tables.engagements.end(), wanted,
                                     [&](const auto& key, const EngagementRow& r) { return key < keyOf(r); });
  if (first == last) return std::nullopt;
  const auto pair = around(first, last, d);
  return EngagementLimit{mix(pair.low->axial, pair.high->axial, pair.share),
                         mix(pair.low->radial, pair.high->radial, pair.share), pair.nearest()};
}

const LifeRow* lifeFor(const CuttingTables& tables, const std::string& material, const std::string& cutterMaterial) {
  for (const auto& row : tables.lives) {
    if (row.material == material && row.cutterMaterial == cutterMaterial) return &row;
  }
  return nullptr;
}

double chippingShare(const CuttingTables& tables, double d) {
  if (tables.chipping.empty()) return 0;
  const auto pair = around(tables.chipping.begin(), tables.chipping.end(), d);
  return mix(pair.low->share, pair.high->share, pair.share);
}

ReachRow reachAt(const CuttingTables& tables, double ratio) {
  if (tables.reach.empty() || ratio <= tables.reach.front().ratio) {
    return tables.reach.empty() ? ReachRow{} : tables.reach.front();
  }
  for (std::size_t i = 1; i < tables.reach.size(); ++i) {
    const auto& a = tables.reach[i - 1];
    const auto& b = tables.reach[i];
    if (ratio > b.ratio) continue;
    ReachRow row = b;
    row.ratio = ratio;
    row.lifeFactor = between(ratio, a.ratio, b.ratio, a.lifeFactor, b.lifeFactor);
    row.feedFactor = between(ratio, a.ratio, b.ratio, a.feedFactor, b.feedFactor);
    return row;
  }
  // Past the last row the factors go on falling with the cube of the reach, as stiffness does.
  ReachRow row = tables.reach.back();
  const double cube = std::pow(row.ratio / ratio, 3);
  row.ratio = ratio;
  row.lifeFactor *= cube;
  row.feedFactor *= cube;
  return row;
}

namespace {

ThinFactor thinAt(const CuttingTables& tables, ThinPart part, double measure) {
  const ThinRow* low = nullptr;
  const ThinRow* high = nullptr;
  for (const auto& row : tables.thin) {
    if (row.part != part) continue;
    if (row.measure <= measure) low = &row;
    if (row.measure >= measure && !high) high = &row;
  }
  if (!low && !high) return {};
  if (low && high) return {between(measure, low->measure, high->measure, low->timeFactor, high->timeFactor), false};
  const ThinRow& end = low ? *low : *high;
  return {end.timeFactor, end.timeFactor > 1};
}

}  // namespace

ThinFactor thinFloor(const CuttingTables& tables, double thickness_mm) {
  return thickness_mm > 0 ? thinAt(tables, ThinPart::Floor, thickness_mm) : ThinFactor{};
}
ThinFactor thinWall(const CuttingTables& tables, double ratio) {
  return ratio > 0 ? thinAt(tables, ThinPart::Wall, ratio) : ThinFactor{};
}

std::string rowsThereAre(const CuttingTables& tables, const std::string& material) {
  std::set<std::string> cuts;
  for (const auto& row : tables.speeds) {
    if (row.material == material) cuts.insert(fmt::format("{} with {}", word(row.kind), row.cutterMaterial));
  }
  if (cuts.empty()) return fmt::format("The tables have no speeds for {} at all.", material);
  return fmt::format("For {} there are rows for: {}.", material, fmt::join(cuts, ", "));
}

}  // namespace chipledger::cutting
