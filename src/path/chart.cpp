#include <chipledger/parallel/parallel.hpp>
#include <chipledger/path/chart.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::path {
namespace {

constexpr double kLeastFloor_mm2 = 0.05;  // smaller level patches are seams of the mesh, no floors
constexpr double kSliver_mm = 0.01;       // thinner strips of a difference of sections are no floors

bool isRecess(detail::DetailKind kind) {
  using K = detail::DetailKind;
  switch (kind) {
    case K::Pocket:
    case K::OpenPocket:
    case K::Window:
    case K::Slot:
    case K::LockCut:
    case K::Thinning:
    case K::Bore:
    case K::Thread:
    case K::Seat:
    case K::Lettering:
      return true;
    case K::Outline:
    case K::Body:
    case K::Island:
    case K::Step:
    case K::Chamfer:
    case K::Round:
    case K::CarvedFace:
    case K::SideFace:
    case K::Undercut:
      return false;
  }
  return false;
}

Region filled(const Region& region) {
  Region outer;
  for (const Ring& ring : region.rings)
    if (signedArea(ring) > 0) outer.rings.push_back(ring);
  return clean(outer.rings);
}

}  // namespace

bool isServed(const Work& work, int detail) {
  return std::find(work.served.begin(), work.served.end(), detail) != work.served.end();
}

Region footprintInSetup(const Work& work, const detail::Detail& detail) {
  const Frame frame = work.view->plateToSetup();
  std::vector<Ring> rings;
  for (const Ring& ring : detail.footprint.rings) {
    Ring turned;
    for (Vec2 p : ring) turned.push_back(frame.apply({p.x, p.y, 0.0}).xy());
    rings.push_back(std::move(turned));
  }
  return clean(rings);
}

std::pair<double, double> heightsInSetup(const Work& work, const detail::Detail& detail) {
  const Frame frame = work.view->plateToSetup();
  const double a = frame.apply({0, 0, detail.low_mm}).z, b = frame.apply({0, 0, detail.high_mm}).z;
  return {std::min(a, b), std::max(a, b)};
}

Chart::Chart(std::function<Region(double)> shadow, std::vector<double> levels, std::vector<Fill> fills, double high_mm)
    : shadow_(std::move(shadow)), fills_(std::move(fills)), high_(high_mm) {
  std::sort(levels.begin(), levels.end(), std::greater<>());
  for (double z : levels) {
    const Region above = obstacle(z), below = obstacle(z - 2.0 * kAboveLevel_mm);
    if (area(below) - area(above) < kLeastFloor_mm2) continue;
    Region floor = subtract(below, above);
    floor = offset(offset(floor, -kSliver_mm), kSliver_mm);
    if (area(floor) >= kLeastFloor_mm2) floors_.push_back({z, std::move(floor)});
  }
  part_ = obstacle(0.0);
  outline_ = filled(part_);
}

void Chart::addTerraces(const Region& ground, double low_mm, double high_mm, double step_mm) {
  constexpr double kAround_mm = 0.1;  // the ground is known to a cell
  sloped_ = true;
  known_.clear();
  const Region around = offset(ground, kAround_mm);
  const int count = std::max(1, static_cast<int>(std::ceil((high_mm - low_mm) / step_mm - 1e-9)));
  for (int i = 0; i < count; ++i) {
    const double z = high_mm - (high_mm - low_mm) * i / count;
    const double below = high_mm - (high_mm - low_mm) * (i + 1) / count;
    Region band = intersect(around, subtract(obstacle(below - 2.0 * kAboveLevel_mm), obstacle(z)));
    band = offset(offset(band, -kSliver_mm), kSliver_mm);
    if (area(band) >= kLeastFloor_mm2) terraces_.push_back({z, std::move(band)});
  }
  cleared_ = floors_;
  cleared_.insert(cleared_.end(), terraces_.begin(), terraces_.end());
  std::stable_sort(cleared_.begin(), cleared_.end(),
                   [](const FloorLevel& a, const FloorLevel& b) { return a.z_mm > b.z_mm; });
}

bool Chart::isTerrace(double z_mm) const {
  const auto at = [&](const FloorLevel& f) { return f.z_mm == z_mm; };
  return std::any_of(terraces_.begin(), terraces_.end(), at) && std::none_of(floors_.begin(), floors_.end(), at);
}

const Region& Chart::obstacle(double z_mm) const {
  const double z = z_mm + kAboveLevel_mm;
  const long long key = std::llround(z * 1e4);
  const auto found = known_.find(key);
  if (found != known_.end()) return found->second;
  std::vector<Region> all;
  Region region = z >= high_ + kAboveLevel_mm ? Region{} : shadow_(z);
  for (const Fill& fill : fills_)
    if (z < fill.below_mm) all.push_back(fill.region);
  if (!all.empty()) {
    all.push_back(std::move(region));
    region = unite(all);
  }
  if (sloped_) {
    // Sections through a freeform mesh have a point per triangle: far finer than any cutter feels.
    constexpr double kMeshNoise_mm = 0.004;
    for (Ring& ring : region.rings) ring = simplify(ring, kMeshNoise_mm);
    std::erase_if(region.rings, [](const Ring& ring) { return ring.size() < 3; });
  }
  return known_.emplace(key, std::move(region)).first->second;
}

void Chart::keepFloors(const std::function<Region(double)>& standing) {
  constexpr double kBeside_mm = 0.3;  // metal along a border takes the border with it
  constexpr double kLeast_mm2 = 0.3;
  std::vector<FloorLevel> kept;
  for (FloorLevel& floor : floors_) {
    const Region metal = offset(offset(intersect(floor.region, standing(floor.z_mm)), -0.05), 0.05);
    if (area(metal) < kLeast_mm2) continue;
    // A closed recess is cut whole; of a floor that runs on under finished faces only the part with metal.
    const bool most = area(metal) > 0.6 * area(floor.region);
    kept.push_back({floor.z_mm, most ? floor.region : intersect(floor.region, offset(metal, kBeside_mm))});
  }
  floors_ = std::move(kept);
}

void prepareCharts(const std::vector<field::SetupView>& views) {
  forEachTask(views.size(), [&](std::size_t i) {
    for (const double z : views[i].levels())
      for (const double at : {z + kAboveLevel_mm, z - kAboveLevel_mm}) views[i].shadow(at);
  });
}

Chart Chart::of(const Work& work, const std::vector<int>& drilled, std::vector<Fill> more) {
  std::vector<Fill> fills = std::move(more);
  const bool plate = work.setup == nullptr || work.setup->plateSide;
  if (plate && work.details != nullptr) {
    for (std::size_t i = 0; i < work.details->list.size(); ++i) {
      const detail::Detail& d = work.details->list[i];
      const int index = static_cast<int>(i);
      const bool drill = std::find(drilled.begin(), drilled.end(), index) != drilled.end();
      if (!drill && (isServed(work, index) || !isRecess(d.kind))) continue;
      const auto [low, high] = heightsInSetup(work, d);
      double opening = high;
      Region region = footprintInSetup(work, d);
      if (drill && d.dimensions.diameter) {
        if (d.dimensions.counterDepth) opening -= toMm(*d.dimensions.counterDepth);
        region = disc(box(region).centre(), 0.5 * toMm(*d.dimensions.diameter));
      }
      // A touch wider, so that no sliver of the hole's own border is taken for metal to cut.
      fills.push_back({offset(region, kSliver_mm), opening});
    }
  }
  const field::SetupView* view = work.view;
  return Chart([view](double z) { return view->shadow(z); }, view->levels(), std::move(fills), view->high());
}

}  // namespace chipledger::path
