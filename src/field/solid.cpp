#include <chipledger/field/solid.hpp>

#include <algorithm>
#include <cmath>
#include <map>

#include "field/section_cache.hpp"

namespace chipledger::field {

namespace {
constexpr double kMergeLevels_mm = 0.002;
constexpr double kSameHeight_mm = 1e-4;       // rounding of frames and files
constexpr double kLevelRise_mm = 0.0005;      // a triangle of a level face rises by rounding only
constexpr double kLeastLevelArea_mm2 = 0.01;  // slivers of curved faces are no level
constexpr double kSlopeStep_mm = 0.1;         // heights looked at along an overhanging slope with many vertices
constexpr std::size_t kFewHeights = 48;       // up to so many, every vertex height of a slope is looked at
constexpr double kLevelFace_mm = 0.01;        // a face that rises by more is none, but for what is truly flat of it
constexpr double kTrulyFlat = 1e-4;           // rise over run
constexpr double kLeastTipArea_mm2 = 0.005;   // what boolean work may leave as slivers
constexpr double kVertical = 1e-4;            // |cos| of the normal to z below which a triangle is a wall
constexpr double kNarrowest_mm = 0.02;  // a prism narrower than this is a tread of a slope: no floor, no underside

constexpr double kNanometre_mm = 1e-6;

// Kept sections are told apart by whole nanometres: each is made at exactly that height, so that it does not matter who
// asked for it first.
double wholeNanometres(double z_mm) { return static_cast<double>(std::llround(z_mm * 1e6)) / 1e6; }

bool apart(const Box2& a, const Box2& b) {
  return a.min.x > b.max.x || b.min.x > a.max.x || a.min.y > b.max.y || b.min.y > a.max.y;
}

Region joined(const Region& a, const Region& b) {
  if (a.empty()) return b;
  if (b.empty()) return a;
  if (!apart(box(a), box(b))) return unite(a, b);
  Region both = a;
  both.rings.insert(both.rings.end(), b.rings.begin(), b.rings.end());
  return both;
}
Region without(const Region& a, const Region& b) {
  if (a.empty() || b.empty() || apart(box(a), box(b))) return a;
  return subtract(a, b);
}

// One form for one section, whether it was cut from the triangles or put together after a change: points on the counts
// of the polygon library, none on a straight side, each ring from its lowest x on, rings in the order of their starts.
// What is made of equal sections is remembered (geometry/shape_memory) and not made again.
constexpr double kCountsPerMm = 1e5;

bool comesBefore(Vec2 a, Vec2 b) { return a.x != b.x ? a.x < b.x : a.y < b.y; }

Ring settled(const Ring& ring) {
  using Count = std::pair<std::int64_t, std::int64_t>;
  std::vector<Count> counts;
  for (const Vec2 p : ring) {
    const Count c{std::llround(p.x * kCountsPerMm), std::llround(p.y * kCountsPerMm)};
    if (counts.empty() || counts.back() != c) counts.push_back(c);
  }
  while (counts.size() > 1 && counts.front() == counts.back()) counts.pop_back();
  Ring out;
  const std::size_t n = counts.size();
  for (std::size_t i = 0; i < n && n > 2; ++i) {
    const Count a = counts[(i + n - 1) % n], b = counts[i], c = counts[(i + 1) % n];
    // Products of counts: exact up to sides of 900 mm (2^53), rounded beyond; 64-bit whole numbers run over from 30 m.
    const auto x1 = static_cast<double>(b.first - a.first), y1 = static_cast<double>(b.second - a.second),
               x2 = static_cast<double>(c.first - b.first), y2 = static_cast<double>(c.second - b.second);
    if (x1 * y2 != y1 * x2 || x1 * x2 + y1 * y2 < 0)
      out.push_back({static_cast<double>(b.first) / kCountsPerMm, static_cast<double>(b.second) / kCountsPerMm});
  }
  if (out.size() < 3) return {};
  std::rotate(out.begin(), std::min_element(out.begin(), out.end(), comesBefore), out.end());
  return out;
}

Region settled(const Region& region) {
  Region out;
  for (const Ring& ring : region.rings)
    if (Ring kept = settled(ring); !kept.empty()) out.rings.push_back(std::move(kept));
  std::stable_sort(out.rings.begin(), out.rings.end(),
                   [](const Ring& a, const Ring& b) { return comesBefore(a.front(), b.front()); });
  return out;
}
}  // namespace

Solid::Solid(const part::Body& body, const Frame& partToPlate) : bodyVolume_(body.volume) {
  auto moved = std::make_shared<part::Mesh>(body.mesh);
  for (Vec3& p : moved->points) p = partToPlate.apply(p);
  mesh_ = std::move(moved);
  cutter_ = std::make_shared<const part::SectionCutter>(*mesh_, Frame{});
  turns_ = turnsOfBody();
  caches_.push_back(std::make_shared<SolidCaches>());
  caches_.front()->slopes = std::make_shared<const Slopes>(*mesh_);
}

std::vector<Solid::Turn> Solid::turnsOfBody() const {
  struct Flat {
    double z, area;
    bool up;
  };
  std::vector<Flat> flats;
  std::vector<double> slopes[2];  // heights of vertices of sloped triangles looking down, up
  // Slender triangles of a crown rise by as little as those of a floor.
  std::map<std::int32_t, std::pair<double, double>> rise;
  for (std::size_t i = 0; i < mesh_->triangles.size(); ++i)
    for (const std::int32_t p : mesh_->triangles[i]) {
      const double z = mesh_->points[static_cast<std::size_t>(p)].z;
      auto& span = rise.emplace(mesh_->triangleFace[i], std::pair{z, z}).first->second;
      span = {std::min(span.first, z), std::max(span.second, z)};
    }
  for (std::size_t i = 0; i < mesh_->triangles.size(); ++i) {
    const auto& t = mesh_->triangles[i];
    const auto& span = rise.at(mesh_->triangleFace[i]);
    const Vec3 a = mesh_->points[static_cast<std::size_t>(t[0])], b = mesh_->points[static_cast<std::size_t>(t[1])],
               c = mesh_->points[static_cast<std::size_t>(t[2])];
    const Vec3 n = cross(b - a, c - a);
    const double size = norm(n), low = std::min({a.z, b.z, c.z}), high = std::max({a.z, b.z, c.z});
    if (size <= 0 || std::abs(n.z) < kVertical * size) continue;
    const bool flat = span.second - span.first <= kLevelFace_mm || norm(n.xy()) < kTrulyFlat * std::abs(n.z);
    if (flat && high - low <= kLevelRise_mm) {
      flats.push_back({(a.z + b.z + c.z) / 3, size / 2, n.z > 0});
    } else {
      slopes[n.z > 0 ? 1 : 0].insert(slopes[n.z > 0 ? 1 : 0].end(), {a.z, b.z, c.z});
    }
  }
  std::vector<Turn> turns{{cutter_->lowest(), false, false}, {cutter_->highest(), true, false}};
  for (const bool up : {false, true}) {
    std::vector<Flat> same;
    for (const Flat& f : flats)
      if (f.up == up) same.push_back(f);
    std::stable_sort(same.begin(), same.end(), [](const Flat& a, const Flat& b) { return a.z < b.z; });
    for (std::size_t i = 0; i < same.size();) {
      std::size_t end = i;
      double area = 0, moment = 0;
      for (; end < same.size() && same[end].z - same[i].z <= kMergeLevels_mm; ++end) {
        area += same[end].area;
        moment += same[end].area * same[end].z;
      }
      if (area >= kLeastLevelArea_mm2) turns.push_back({moment / area, up, true});
      i = end;
    }
    // Along a slope looking down metal begins at every height: its top end, and steps on the way, stand for it.
    std::vector<double>& z = slopes[up ? 1 : 0];
    std::sort(z.begin(), z.end());
    if (!up) std::reverse(z.begin(), z.end());
    z.erase(std::unique(z.begin(), z.end(), [](double a, double b) { return std::abs(a - b) <= kMergeLevels_mm; }),
            z.end());
    const double step = z.size() <= kFewHeights ? 0.0 : kSlopeStep_mm;
    double last = 1e300;
    for (double height : z) {
      if (std::abs(height - last) < step) continue;
      turns.push_back({height, up, false});
      last = height;
    }
  }
  std::stable_sort(turns.begin(), turns.end(), [](const Turn& a, const Turn& b) { return a.z_mm < b.z_mm; });
  return turns;
}

void Solid::push(const Change& change) {
  changes_.push_back(change);
  caches_.push_back(std::make_shared<SolidCaches>());
  if (change.kind == Change::Kind::Prism) {
    const bool adds = change.prism.act == Prism::Act::Add;
    const bool level = !offset(change.prism.region, -0.5 * kNarrowest_mm).empty();
    turns_.push_back({change.prism.low_mm, !adds, level});
    turns_.push_back({change.prism.high_mm, adds, level});
  } else {
    // Inside the region turns move, outside they stay: both are looked at.
    std::vector<Turn> moved;
    for (const Turn& t : turns_)
      if (t.z_mm > std::min(change.lift.above_mm, change.lift.above_mm + change.lift.by_mm))
        moved.push_back({t.z_mm + change.lift.by_mm, t.up, t.level});
    const double cut = std::min(change.lift.above_mm, change.lift.above_mm + change.lift.by_mm);
    moved.push_back({cut, true, true});
    moved.push_back({cut, false, true});
    turns_.insert(turns_.end(), moved.begin(), moved.end());
  }
  std::stable_sort(turns_.begin(), turns_.end(), [](const Turn& a, const Turn& b) { return a.z_mm < b.z_mm; });
}

Solid Solid::changed(std::vector<Change> more) const {
  Solid solid = *this;
  for (const Change& change : more) solid.push(change);
  return solid;
}

Region Solid::sectionAfter(std::size_t changes, double z_mm) const {
  z_mm = wholeNanometres(z_mm);
  const auto make = [&]() -> Region {
    if (changes == 0) return cutter_->at(z_mm);
    const Change& change = changes_[changes - 1];
    if (change.kind == Change::Kind::Prism) {
      const Prism& prism = change.prism;
      Region base = sectionAfter(changes - 1, z_mm);
      if (z_mm <= prism.low_mm || z_mm > prism.high_mm) return base;
      return prism.act == Prism::Act::Add ? joined(base, prism.region) : without(base, prism.region);
    }
    const Lift& lift = change.lift;
    double from = z_mm;
    if (lift.by_mm > 0 && z_mm > lift.above_mm) from = std::max(lift.above_mm, z_mm - lift.by_mm);
    if (lift.by_mm < 0 && z_mm > lift.above_mm + lift.by_mm) from = z_mm - lift.by_mm;
    const Region base = sectionAfter(changes - 1, z_mm);
    if (from == z_mm) return base;
    const Region moved = sectionAfter(changes - 1, from);
    return joined(without(base, lift.region), intersect(moved, lift.region));
  };
  return caches_[changes]->sections.get(z_mm, [&] { return settled(make()); });
}

Region Solid::section(double z_mm) const {
  // At the height of a level face rounding must not decide which side is seen: it is the one below.
  const auto near = std::lower_bound(turns_.begin(), turns_.end(), z_mm - kSameHeight_mm,
                                     [](const Turn& t, double z) { return t.z_mm < z; });
  for (auto t = near; t != turns_.end() && t->z_mm <= z_mm + kSameHeight_mm; ++t) {
    if (!t->level) continue;
    z_mm = t->z_mm - kMergeLevels_mm;
    break;
  }
  return sectionAfter(changes_.size(), z_mm);
}

namespace {

// With what slopes between two heights show beside the sections at both.
Region withSlopes(Region shadow, const Slopes& slopes, double low_mm, double high_mm, bool up,
                  const std::vector<Change>& changes) {
  Region more = slopes.beyond(shadow, low_mm, high_mm, up);
  for (const Change& change : changes) {
    if (more.empty()) break;
    const bool lift = change.kind == Change::Kind::Lift;
    if (!lift && change.prism.act == Prism::Act::Add) continue;
    // Where a change has been the body's own triangles say nothing.
    const double from = lift ? change.lift.above_mm - std::abs(change.lift.by_mm) : change.prism.low_mm;
    const double to = lift ? 1e300 : change.prism.high_mm;
    if (from < high_mm && to > low_mm) more = without(more, lift ? change.lift.region : change.prism.region);
  }
  if (more.empty()) return shadow;
  // Strips beside each other must not leave the rounding of their corners between them.
  constexpr double kSeam_mm = 0.002;
  return offset(offset(joined(shadow, more), kSeam_mm), -kSeam_mm);
}

}  // namespace

Region Solid::shadowFromAbove(double z_mm) const {
  z_mm = wholeNanometres(z_mm);
  return caches_.back()->fromAbove.get(z_mm, [&] {
    // Where nothing begins on the way up, metal above means metal below it: only heights where metal begins can add.
    const double from = z_mm + kJustAbove_mm;
    const Region here = section(from);
    for (const Turn& t : turns_) {
      if (t.up || t.z_mm <= z_mm + kNanometre_mm) continue;
      // The union from that height up is kept as well: a stack of shadows costs one union each. Slopes count just
      // below their end, level faces just above.
      const double next = t.level ? t.z_mm : t.z_mm - kJustAbove_mm;
      if (next <= z_mm + kNanometre_mm) continue;
      return withSlopes(joined(here, shadowFromAbove(next)), *caches_.front()->slopes, from, t.z_mm, false, changes_);
    }
    return here;
  });
}

Region Solid::shadowFromBelow(double z_mm) const {
  z_mm = wholeNanometres(z_mm);
  return caches_.back()->fromBelow.get(z_mm, [&] {
    const Region here = section(z_mm);
    for (auto t = turns_.rbegin(); t != turns_.rend(); ++t) {
      if (!t->up || t->z_mm >= z_mm - kNanometre_mm) continue;
      const double next = t->level ? t->z_mm : t->z_mm + kJustAbove_mm;
      if (next >= z_mm - kNanometre_mm) continue;
      return withSlopes(joined(here, shadowFromBelow(next)), *caches_.front()->slopes, t->z_mm, z_mm, true, changes_);
    }
    return here;
  });
}

std::vector<double> Solid::levels() const {
  return *caches_.back()->levels.get(0, [&] {
    std::vector<double> z;
    for (const Turn& t : turns_)
      if (t.level && (z.empty() || t.z_mm - z.back() > kMergeLevels_mm)) z.push_back(t.z_mm);
    if (changes_.empty()) return z;
    // Changes may have taken a level away, or left it where nothing of it remains.
    std::erase_if(z, [&](double height) {
      const Region below = section(height - kJustAbove_mm), above = section(height + kJustAbove_mm);
      return area(without(below, above)) + area(without(above, below)) < kLeastLevelArea_mm2;
    });
    return z;
  });
}

double Solid::low() const {
  if (changes_.empty()) return cutter_->lowest();
  for (const Turn& t : turns_)
    if (!t.up && area(section(t.z_mm + kJustAbove_mm)) > kLeastTipArea_mm2) return t.z_mm;
  return cutter_->lowest();
}

double Solid::high() const {
  if (changes_.empty()) return cutter_->highest();
  for (auto t = turns_.rbegin(); t != turns_.rend(); ++t)
    if (t->up && area(section(t->z_mm - kJustAbove_mm)) > kLeastTipArea_mm2) return t->z_mm;
  return cutter_->highest();
}

Volume Solid::volumeOf(std::size_t index) const {
  const Change& change = changes_[index];
  const bool lift = change.kind == Change::Kind::Lift;
  const Region& region = lift ? change.lift.region : change.prism.region;
  if (lift && change.lift.by_mm > 0)
    return mm3(area(intersect(sectionAfter(index, change.lift.above_mm), region)) * change.lift.by_mm);
  const bool adds = !lift && change.prism.act == Prism::Act::Add;
  const double low = lift ? change.lift.above_mm + change.lift.by_mm : change.prism.low_mm;
  const double high = lift ? change.lift.above_mm : change.prism.high_mm;
  std::vector<double> stops{low, high};
  for (const Turn& t : turns_)
    if (t.z_mm > low && t.z_mm < high) stops.push_back(t.z_mm);
  std::sort(stops.begin(), stops.end());
  // Areas are quadratic in z between the heights of vertices: two Gauss places per stretch are exact there.
  double sum = 0;
  constexpr double kGauss = 0.21132486540518713;  // (1 - 1/sqrt 3) / 2
  const double regionArea = area(region);
  for (std::size_t i = 1; i < stops.size(); ++i) {
    const double a = stops[i - 1], d = stops[i] - stops[i - 1];
    if (d <= kMergeLevels_mm) {
      if (d > 0) sum += d * area(intersect(sectionAfter(index, a + d / 2), region));
      continue;
    }
    for (const double place : {kGauss, 1 - kGauss})
      sum += 0.5 * d * area(intersect(sectionAfter(index, a + d * place), region));
  }
  return mm3(adds ? regionArea * (high - low) - sum : -sum);
}

Volume Solid::volume() const {
  Volume v = bodyVolume_;
  for (std::size_t i = 0; i < changes_.size(); ++i) v += volumeOf(i);
  return v;
}

}  // namespace chipledger::field
