#include <numbers>

#include "detail/recogniser.hpp"

namespace chipledger::detail {
namespace {

constexpr double kLeastInlet = 0.5;  // mm: shallower bays are part of the outline
constexpr double kLockCutSlenderness = 10.0;
constexpr double kHalfRound = 2.6;  // rad: a single face that turns this far is a bay of its own

}  // namespace

bool Recogniser::narrowGroove(const PlanShape& shape) const {
  return shape.width <= toMm(options_.lockCutWidth) + kTolerances.radius &&
         shape.length >= kLockCutSlenderness * shape.width;
}

/// Windows and through slots: the inner borders of the silhouette that no bore has taken.
void Recogniser::findOpenings() {
  for (std::size_t v = 0; v < views_.size(); ++v) {
    if (static_cast<int>(v) == back_) continue;  // the back sees the same openings
    View& view = views_[v];
    for (std::size_t r = 0; r < view.silhouette.region.rings.size(); ++r) {
      const Ring& ring = view.silhouette.region.rings[r];
      if (static_cast<int>(r) == view.silhouette.outer || signedArea(ring) > 0) continue;
      std::vector<int> walls;
      bool bore = false;
      for (std::size_t f = 0; f < body_.faces.size(); ++f) {
        if (view.silhouette.ringOfFace[f] != static_cast<int>(r)) continue;
        const int owner = owner_[f];
        bore = bore || (owner >= 0 && found_[static_cast<std::size_t>(owner)].kind == DetailKind::Bore &&
                        found_[static_cast<std::size_t>(owner)].through &&
                        std::abs(signedArea(ring)) <
                            1.05 * std::numbers::pi / 4 *
                                std::pow(toMm(*found_[static_cast<std::size_t>(owner)].dimensions.diameter), 2));
        if (owner < 0) walls.push_back(static_cast<int>(f));
      }
      if (bore && walls.empty()) continue;
      if (walls.empty()) {
        // Leaning walls: those with an edge that lies on the border.
        for (std::size_t e = 0; e < body_.edges.size(); ++e) {
          bool on = true;
          for (const Vec3 p : view.graph.edges[e].points) on = on && distanceTo(ring, p.xy()) < kTolerances.ring;
          if (!on || view.graph.edges[e].upright) continue;
          for (const int f : {body_.edges[e].left.index, body_.edges[e].right.index}) {
            if (f >= 0 && !claimed(f) && face(view, f).lie == Lie::Slope) walls.push_back(f);
          }
        }
        std::sort(walls.begin(), walls.end());
        walls.erase(std::unique(walls.begin(), walls.end()), walls.end());
      }
      if (walls.empty()) continue;
      Detail d;
      d.kind = DetailKind::Window;
      d.through = true;
      d.side = sideOf(view) == Side::Other ? Side::Other : Side::Both;
      Ring outward = ring;
      std::reverse(outward.begin(), outward.end());
      const Region hole{{outward}};
      const PlanShape shape = measure(hole);
      double low = view.graph.top, high = 0;
      for (const int f : walls) {
        low = std::min(low, face(view, f).low);
        high = std::max(high, face(view, f).high);
      }
      setHeights(d, view, low, high);
      if (d.side == Side::Both) {
        d.low_mm = low;
        d.high_mm = high;
      }
      d.footprint = toPlate(view, hole);
      d.dimensions.depth = mm(high - low);
      d.dimensions.length = mm(shape.length);
      d.dimensions.width = mm(shape.width);
      if (shape.round) d.dimensions.diameter = mm(shape.length);
      if (const double corner = cornerRadius(view, walls, true); corner > 0) d.dimensions.cornerRadius = mm(corner);
      if (shape.groove) {
        d.kind = narrowGroove(shape) && d.side == Side::Both ? DetailKind::LockCut : DetailKind::Slot;
      }
      d.dimensions.centre = toPart(view, shape.centre, high);
      const int index = add(std::move(d), static_cast<int>(v));
      for (const int f : walls) claim(f, index);
    }
  }
}

/// The outline's own walls, and the bays in it that are details: in a rectangle whatever is missing from it, elsewhere
/// what a closing by a disc of half the inlet width fills.
void Recogniser::findInlets() {
  View& view = views_[static_cast<std::size_t>(outer_)];
  const Silhouette& s = view.silhouette;
  if (s.outer < 0) return;
  const int outline = outlineDetail_;
  const Region solid = filled(Region{{s.region.rings[static_cast<std::size_t>(s.outer)]}});
  const double radius = 0.5 * toMm(options_.inletWidth);
  const Region closed = s.rectangular ? rectangle(s.box.min, s.box.max) : offset(offset(solid, radius), -radius);
  std::vector<Region> bays = pieces(subtract(closed, solid));
  for (const Region& bay : bays) {
    const Box2 box = chipledger::box(bay);
    if (area(bay) < kLeastInlet * kLeastInlet || bay.rings.empty()) continue;
    std::vector<int> walls;
    double turned = 0;
    for (std::size_t f = 0; f < body_.faces.size(); ++f) {
      if (s.ringOfFace[f] != s.outer || claimed(static_cast<int>(f))) continue;
      bool all = true, onBox = true;
      for (const part::FaceSample& sample : body_.faces[f].samples) {
        const Vec2 p = view.graph.frame.apply(sample.point).xy();
        all = all && distanceTo(bay.rings.front(), p) < 2 * kTolerances.ring;
        onBox = onBox && s.rectangular &&
                (std::min(p.x - s.box.min.x, s.box.max.x - p.x) < kTolerances.ring ||
                 std::min(p.y - s.box.min.y, s.box.max.y - p.y) < kTolerances.ring);
      }
      if (!all || onBox) continue;
      walls.push_back(static_cast<int>(f));
      const part::Face& bf = body_.faces[f];
      const double high = std::max(1e-6, face(view, static_cast<int>(f)).high - face(view, static_cast<int>(f)).low);
      const double length = toMm2(bf.area) / high;
      if (bf.kind == part::SurfaceKind::Cylinder) turned += (bf.hollow ? 1 : -1) * length / toMm(bf.radius);
    }
    if (walls.empty()) continue;
    // A bay has an inner corner or a hollow wall; what is convex all along is the outline's own shape.
    bool hollow = false;
    for (const int f : walls) {
      hollow = hollow || (bodyFace(f).kind != part::SurfaceKind::Plane && bodyFace(f).hollow);
      for (const int e : face(view, f).edges) {
        const int other = across(body_, e, f);
        hollow = hollow || (edge(view, e).upright && bodyEdge(e).sense == part::Sense::Concave &&
                            std::find(walls.begin(), walls.end(), other) != walls.end());
      }
    }
    const bool left = box.min.x<s.box.min.x + 1e-3, right = box.max.x> s.box.max.x - 1e-3,
               low = box.min.y<s.box.min.y + 1e-3, high = box.max.y> s.box.max.y - 1e-3;
    const int sides = int{left} + int{right} + int{low} + int{high};
    DetailKind kind = DetailKind::OpenPocket;
    const PlanShape shape = measure(bay);
    if (s.rectangular) {
      const bool corner = sides == 2 && !(left && right) && !(low && high);
      const bool cutOff =
          corner && walls.size() == 1 && bodyFace(walls.front()).kind == part::SurfaceKind::Plane && block_;
      if (!hollow && !cutOff) continue;
      if (cutOff) {
        kind = DetailKind::Chamfer;
      } else if (corner) {
        kind = DetailKind::Step;
      } else if (sides == 3 || (left && right) || (low && high)) {
        kind = DetailKind::Step;
      } else if (sides == 1 && walls.size() >= 3 && shape.groove) {
        kind = narrowGroove(shape) ? DetailKind::LockCut : DetailKind::Slot;
      }
    } else {
      if (!hollow || (walls.size() < 2 && turned < kHalfRound)) continue;
      if (std::max(shape.length, shape.width) < kLeastInlet) continue;
      if (shape.groove) {
        kind = narrowGroove(shape) ? DetailKind::LockCut : DetailKind::Slot;
      }
    }
    Detail d;
    d.kind = kind;
    d.side = Side::Both;
    d.through = true;
    d.footprint = bay;
    d.low_mm = view.graph.top;
    d.high_mm = 0;
    for (const int f : walls) {
      d.low_mm = std::min(d.low_mm, face(view, f).low);
      d.high_mm = std::max(d.high_mm, face(view, f).high);
    }
    d.dimensions.depth = mm(d.high_mm - d.low_mm);
    d.dimensions.length = mm(shape.length);
    d.dimensions.width = mm(shape.width);
    if (const double corner = cornerRadius(view, walls, true); corner > 0) d.dimensions.cornerRadius = mm(corner);
    d.dimensions.centre = toPart(view, shape.centre, d.high_mm);
    const int index = add(std::move(d), outer_);
    for (const int f : walls) claim(f, index);
  }
  for (std::size_t f = 0; f < body_.faces.size(); ++f) {
    if (s.ringOfFace[f] == s.outer) claim(static_cast<int>(f), outline);
  }
  // A block's side may carry recesses of its own and so may not be upright everywhere along the border: what lies on
  // the box is the blank.
  if (!s.rectangular) return;
  for (std::size_t f = 0; f < body_.faces.size(); ++f) {
    const part::Face& bf = body_.faces[f];
    if (bf.kind != part::SurfaceKind::Plane || claimed(static_cast<int>(f)) ||
        face(view, static_cast<int>(f)).lie != Lie::Wall)
      continue;
    bool onBox = false;
    for (const auto& [axis, at, away] :
         {std::tuple{&Vec2::x, s.box.min.x, -1.0}, std::tuple{&Vec2::x, s.box.max.x, 1.0},
          std::tuple{&Vec2::y, s.box.min.y, -1.0}, std::tuple{&Vec2::y, s.box.max.y, 1.0}}) {
      const Vec2 p = view.graph.frame.apply(bf.origin).xy(), n = view.graph.frame.turn(bf.axis).xy();
      onBox = onBox || (std::abs(p.*axis - at) < kTolerances.ring && n.*axis * away > 0.999);
    }
    if (onBox) claim(static_cast<int>(f), outline);
  }
}

}  // namespace chipledger::detail
