#include "detail/recogniser.hpp"

namespace chipledger::detail {
namespace {

constexpr double kTouch = 0.02;       // mm: borders closer than this are shared
constexpr double kSameHeight = 0.01;  // mm
constexpr double kWidestCut = 12.0;   // mm: what a wider opening parts was drawn as two

bool joinable(DetailKind kind) {
  return kind == DetailKind::Pocket || kind == DetailKind::OpenPocket || kind == DetailKind::Slot ||
         kind == DetailKind::Step || kind == DetailKind::Island;
}
bool cutting(const Detail& d) {
  return d.through && (d.kind == DetailKind::Window || d.kind == DetailKind::Slot || d.kind == DetailKind::LockCut ||
                       d.kind == DetailKind::Bore || d.kind == DetailKind::Thread);
}
bool near(const Region& a, const Region& b, double reach) {
  const Box2 p = chipledger::box(a), q = chipledger::box(b);
  const bool boxes =
      p.min.x - reach < q.max.x && q.min.x - reach < p.max.x && p.min.y - reach < q.max.y && q.min.y - reach < p.max.y;
  return boxes && (gapBetween(a, b) < reach || !intersect(a, b).empty());
}

}  // namespace

/// A recess or an island that an opening cuts through is one detail, as wide as it was before: its pieces on both sides
/// of the cut are joined, and the part of its plan that the opening took is given back.
void Recogniser::joinPieces() {
  for (const Detail& cut : found_) {
    if (!cutting(cut) || cut.footprint.empty() || cut.side == Side::Other) continue;
    for (std::size_t a = 0; a < found_.size(); ++a) {
      Detail& d = found_[a];
      if (&d == &cut || d.through || !joinable(d.kind) || d.faces.empty() || d.footprint.empty()) continue;
      if (d.side != Side::Outer && d.side != Side::Back) continue;
      if (!near(d.footprint, cut.footprint, kTouch)) continue;
      Region whole = d.footprint;
      bool joined = false;
      for (std::size_t b = a + 1; b < found_.size(); ++b) {
        Detail& other = found_[b];
        const bool island = d.kind == DetailKind::Island;
        if (other.faces.empty() || other.side != d.side || other.through || !joinable(other.kind) ||
            (other.kind == DetailKind::Island) != island || other.parent != d.parent)
          continue;
        if (std::abs(other.low_mm - d.low_mm) > kSameHeight || std::abs(other.high_mm - d.high_mm) > kSameHeight)
          continue;
        if (!near(other.footprint, cut.footprint, kTouch)) continue;
        // Across the cut, not along it: the gap is the cut and nothing else.
        const Region between =
            subtract(intersect(hullOf(unite(whole, other.footprint)), cut.footprint), unite(whole, other.footprint));
        if (gapBetween(whole, other.footprint) > kWidestCut ||
            pieces(unite({whole, other.footprint, offset(between, kTouch)})).size() > 1)
          continue;
        whole = unite(whole, other.footprint);
        joined = true;
        for (const part::FaceId f : other.faces) {
          owner_[static_cast<std::size_t>(f.index)] = static_cast<int>(a);
          d.faces.push_back(f);
        }
        other.faces.clear();
        other.footprint = {};
        if (other.dimensions.rootRadius && !d.dimensions.rootRadius)
          d.dimensions.rootRadius = other.dimensions.rootRadius;
        if (other.dimensions.cornerRadius &&
            (!d.dimensions.cornerRadius || *other.dimensions.cornerRadius < *d.dimensions.cornerRadius)) {
          d.dimensions.cornerRadius = other.dimensions.cornerRadius;
        }
        for (Detail& child : found_) {
          if (child.parent == static_cast<int>(b)) child.parent = static_cast<int>(a);
        }
      }
      const Region taken = intersect(cut.footprint, hullOf(whole));
      if (!joined && area(subtract(taken, whole)) < 0.01) continue;
      whole = filled(unite(whole, offset(taken, 0.1 * kTouch)));
      const std::vector<Region> parts = pieces(whole);
      if (parts.size() > 1 && !joined) continue;
      d.footprint = whole;
      if (d.kind == DetailKind::Island) continue;  // an island's size is that of its wall, not of its foot
      const PlanShape shape = measure(whole);
      d.dimensions.length = mm(shape.length);
      d.dimensions.width = mm(shape.width);
      d.dimensions.diameter.reset();
      if (shape.round) d.dimensions.diameter = mm(shape.length);
      if (d.kind == DetailKind::Slot && !shape.groove) d.kind = DetailKind::Pocket;
      const double z = d.side == Side::Outer ? d.high_mm : d.low_mm;
      d.dimensions.centre = plan_.partToPlate.applyBack({shape.centre.x, shape.centre.y, z});
    }
  }
}

}  // namespace chipledger::detail
