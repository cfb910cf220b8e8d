#include "detail/recogniser.hpp"

namespace chipledger::detail {
namespace {

constexpr double kFootShare = 0.1;     // of the floors met: less is a neighbour that happens to touch
constexpr double kLeastHeight = 0.02;  // mm: lower is a printed-on mark or noise
constexpr double kLeastDome = 0.05;    // mm

}  // namespace

/// Flat-topped metal left standing: levels whose outer border leads down, all of it or where nothing higher stands.
void Recogniser::findIslands(int viewIndex) {
  View& view = views_[static_cast<std::size_t>(viewIndex)];
  if (sideOf(view) == Side::Other) return;
  std::vector<std::size_t> order;
  for (std::size_t l = 0; l < view.levels.list.size(); ++l) order.push_back(l);
  // Highest first: what stands on an island is found before the island, and walls stay with the part they carry.
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return view.levels.list[a].z > view.levels.list[b].z; });
  struct Pending {
    int detail;
    double top, foot;
    std::vector<Flood::Touch> touched;
  };
  std::vector<Pending> made;
  for (const std::size_t l : order) {
    const Level& level = view.levels.list[l];
    if (!level.served || level.loops.empty() || view.levelDetail[l] >= 0) continue;
    if (std::any_of(level.faces.begin(), level.faces.end(), [&](int f) { return claimed(f); })) continue;
    const LevelLoop& border = level.loops.front();
    if (!border.outer) continue;
    if (border.up() >= kTolerances.share * border.length() && !promontory(view, level)) continue;
    std::vector<LevelBorder> downs;
    std::copy_if(border.borders.begin(), border.borders.end(), std::back_inserter(downs),
                 [](const LevelBorder& b) { return b.leads == Leads::Down; });
    const Flood sides = flood(view, downs, level.z, Way::Down);
    // A top that a recess parted from one found before stands on the same walls.
    const Pending* same = nullptr;
    for (const LevelBorder& b : downs) {
      for (const Pending& p : made) {
        if (b.outside >= 0 && owner_[static_cast<std::size_t>(b.outside)] == p.detail &&
            std::abs(p.top - level.z) < kTolerances.level)
          same = &p;
      }
    }
    if (sides.touched.empty() && !sides.meetsGround && same == nullptr) continue;
    double foot = same != nullptr ? same->foot : -1;
    const double all = sides.touchedLength();
    for (const Flood::Touch& t : sides.touched) {
      if (same != nullptr || t.length < kFootShare * all || t.z > level.z - kLeastHeight) continue;
      // The body's own floor where it is met; else the highest floor below.
      if (std::abs(t.z - view.bodyZ) < kTolerances.level) {
        foot = t.z;
        break;
      }
      foot = std::max(foot, t.z);
    }
    // On a carved body heights count from its crest.
    const bool carved = foot < 0 && sides.meetsGround && level.z > view.bodyZ + kLeastHeight;
    if (carved) foot = view.bodyZ;
    if (foot < 0) continue;

    std::vector<int> own, upper = level.faces;
    for (const int f : sides.faces) {
      if (!carved && face(view, f).low < foot - kTolerances.level) continue;
      own.push_back(f);
      if (!(rootFillet(view, f) && bodyFace(f).hollow)) upper.push_back(f);
    }
    std::vector<int> whole = own;
    whole.insert(whole.end(), level.faces.begin(), level.faces.end());
    const Region footprint = filled(projection(view, whole));
    const Region nominal = filled(projection(view, upper));
    const PlanShape shape = measure(nominal);

    Detail d;
    d.kind = DetailKind::Island;
    d.side = sideOf(view);
    setHeights(d, view, foot, level.z);
    d.dimensions.height = mm(level.z - foot);
    d.dimensions.length = mm(shape.length);
    d.dimensions.width = mm(shape.width);
    if (shape.round) d.dimensions.diameter = mm(shape.length);
    if (const double corner = cornerRadius(view, own, false); corner > 0) d.dimensions.cornerRadius = mm(corner);
    for (const int f : own) {
      if (!rootFillet(view, f) || !bodyFace(f).hollow) continue;
      const double r = filletRadius(view, f);
      if (!d.dimensions.rootRadius || r < toMm(*d.dimensions.rootRadius)) d.dimensions.rootRadius = mm(r);
    }
    d.footprint = toPlate(view, footprint);
    d.dimensions.centre = toPart(view, shape.centre, foot);
    const int index = add(std::move(d), viewIndex);
    view.levelDetail[l] = index;
    for (const int f : level.faces) claim(f, index);
    for (const int f : own) {
      if (!edgeBreak(view, f)) claim(f, index);
    }
    made.push_back({index, level.z, foot, same != nullptr ? same->touched : sides.touched});
  }
  for (const Pending& p : made) {
    Detail& d = found_[static_cast<std::size_t>(p.detail)];
    d.parent = detailAt(view, p.touched, p.foot);
    if (d.parent >= 0 && found_[static_cast<std::size_t>(d.parent)].kind == DetailKind::Body) d.parent = -1;
    if (d.parent == p.detail) d.parent = -1;
  }
  // Recesses found before the islands they sit in.
  for (std::size_t k = 0; k < found_.size(); ++k) {
    Detail& d = found_[k];
    if (foundView_[k] != viewIndex || d.parent >= 0 || d.kind == DetailKind::Island) continue;
    const double rim = sideOf(view) == Side::Outer ? d.high_mm : size_.z - d.low_mm;
    if (rim < view.bodyZ + kTolerances.level || !d.dimensions.centre) continue;
    const Vec2 at = plan_.partToPlate.apply(*d.dimensions.centre).xy();
    for (const Pending& p : made) {
      const Detail& island = found_[static_cast<std::size_t>(p.detail)];
      const double top = sideOf(view) == Side::Outer ? island.high_mm : size_.z - island.low_mm;
      if (std::abs(top - rim) < 5 * kTolerances.level && contains(island.footprint, at)) d.parent = p.detail;
    }
  }
}

/// Metal left standing without a flat top: an inner border of a floor that leads up into faces nobody has claimed.
void Recogniser::findDomes(int viewIndex) {
  View& view = views_[static_cast<std::size_t>(viewIndex)];
  if (sideOf(view) == Side::Other) return;
  for (std::size_t l = 0; l < view.levels.list.size(); ++l) {
    const Level& level = view.levels.list[l];
    if (!level.served) continue;
    for (const LevelLoop& loop : level.loops) {
      if (loop.outer || loop.up() < 0.9 * loop.length()) continue;
      std::vector<LevelBorder> free;
      for (const LevelBorder& b : loop.borders) {
        if (b.outside >= 0 && !claimed(b.outside)) free.push_back(b);
      }
      if (free.size() < loop.borders.size()) continue;
      // Everything inside the border: standing metal has outer walls, so the walk goes round convex corners.
      std::vector<int> own;
      std::vector<char> seen(body_.faces.size(), 0);
      for (const LevelBorder& b : free) {
        if (!seen[static_cast<std::size_t>(b.outside)]) own.push_back(b.outside);
        seen[static_cast<std::size_t>(b.outside)] = 1;
      }
      for (std::size_t k = 0; k < own.size(); ++k) {
        for (const int e : face(view, own[k]).edges) {
          const int other = across(body_, e, own[k]);
          if (other < 0 || seen[static_cast<std::size_t>(other)] || claimed(other) ||
              face(view, other).low < level.z - kTolerances.level)
            continue;
          seen[static_cast<std::size_t>(other)] = 1;
          own.push_back(other);
        }
      }
      std::sort(own.begin(), own.end());
      double high = level.z;
      for (const int f : own) {
        high = std::max(high, face(view, f).high);
        const part::Face& bf = bodyFace(f);
        if (bf.kind == part::SurfaceKind::Sphere && !bf.hollow) {
          // The pole of a dome may lie between the samples.
          const Vec3 centre = view.graph.frame.apply(bf.origin);
          Ring inside = loop.ring;
          if (contains(Region{{inside}}, centre.xy())) high = std::max(high, centre.z + toMm(bf.radius));
        }
      }
      if (high - level.z < kLeastDome) continue;
      std::vector<int> upper;
      for (const int f : own) {
        if (!(rootFillet(view, f) && bodyFace(f).hollow)) upper.push_back(f);
      }
      Ring outward = loop.ring;
      std::reverse(outward.begin(), outward.end());
      PlanShape shape = measure(filled(projection(view, upper)));
      if (shape.length <= 0) shape = measure(Region{{outward}});  // upright walls alone
      Detail d;
      d.kind = DetailKind::Island;
      d.side = sideOf(view);
      setHeights(d, view, level.z, high);
      d.dimensions.height = mm(high - level.z);
      d.dimensions.length = mm(shape.length);
      d.dimensions.width = mm(shape.width);
      if (shape.round) d.dimensions.diameter = mm(shape.length);
      if (const double corner = cornerRadius(view, own, false); corner > 0) d.dimensions.cornerRadius = mm(corner);
      for (const int f : own) {
        if (!rootFillet(view, f) || !bodyFace(f).hollow) continue;
        const double r = filletRadius(view, f);
        if (!d.dimensions.rootRadius || r < toMm(*d.dimensions.rootRadius)) d.dimensions.rootRadius = mm(r);
      }
      d.footprint = toPlate(view, Region{{outward}});
      d.dimensions.centre = toPart(view, shape.centre, level.z);
      d.parent = view.levelDetail[l];
      if (d.parent >= 0 && found_[static_cast<std::size_t>(d.parent)].kind == DetailKind::Body) d.parent = -1;
      const int index = add(std::move(d), viewIndex);
      for (const int f : own) claim(f, index);
    }
  }
}

}  // namespace chipledger::detail
