#include "detail/recogniser.hpp"

namespace chipledger::detail {
namespace {

constexpr double kTouch = 0.02;       // mm: borders closer than this are shared
constexpr double kSameHeight = 0.01;  // mm
constexpr double kWidestCut = 12.0;   // mm: what a wider opening parts was drawn as two
constexpr double kLeastTaken = 0.01;  // mm2

bool recess(const Detail& d) {
  return !d.through && (d.kind == DetailKind::Pocket || d.kind == DetailKind::OpenPocket ||
                        d.kind == DetailKind::Slot || d.kind == DetailKind::Step);
}
bool blindBore(const Detail& d) { return !d.through && (d.kind == DetailKind::Bore || d.kind == DetailKind::Seat); }
bool opening(const Detail& d) {
  return d.through && (d.kind == DetailKind::Window || d.kind == DetailKind::Slot || d.kind == DetailKind::LockCut ||
                       d.kind == DetailKind::Bore || d.kind == DetailKind::Thread);
}
bool near(const Region& a, const Region& b, double reach) {
  const Box2 p = chipledger::box(a), q = chipledger::box(b);
  const bool boxes =
      p.min.x - reach < q.max.x && q.min.x - reach < p.max.x && p.min.y - reach < q.max.y && q.min.y - reach < p.max.y;
  return boxes && (gapBetween(a, b) < reach || !intersect(a, b).empty());
}
double floorDepth(const Detail& d) { return d.side == Side::Outer ? -d.low_mm : d.high_mm; }
double topHeight(const Detail& d) { return d.side == Side::Outer ? d.high_mm : -d.low_mm; }

/// Does `cut` take away of `d` what was there before: an opening, a deeper recess, for an island any recess through it?
bool cuts(const Detail& cut, const Detail& d) {
  if (opening(cut) && cut.side != Side::Other) return true;
  if (d.kind == DetailKind::Island && cut.kind == DetailKind::Island)  // the higher of two joined masses
    return cut.side == d.side && cut.parent == d.parent && topHeight(cut) > topHeight(d) + kSameHeight;
  if (!(recess(cut) || blindBore(cut)) || cut.side != d.side) return false;
  if (d.kind == DetailKind::Island) return -floorDepth(cut) < topHeight(d) - kSameHeight;
  return floorDepth(cut) > floorDepth(d) + kSameHeight;
}

/// Two lengths of one band in a line.
bool oneBand(const Region& a, const Region& b) {
  const PlanShape both = measure(hullOf(unite(a, b))), one = measure(a), other = measure(b);
  return both.groove && both.straight && std::abs(both.width - one.width) < kTouch &&
         std::abs(both.width - other.width) < kTouch;
}

/// The rectangle, with one of these corner radii, that is the region but for what the cut took; empty when none is.
Region completed(const Region& region, const Region& cut, std::initializer_list<double> radii) {
  const PlanShape shape = measure(hullOf(region));
  const Region reach = offset(cut, kTouch);
  for (const double radius : radii) {
    Region whole = roundedRectangle(shape, radius);
    if (area(subtract(region, offset(whole, 0.5 * kTouch))) < kLeastTaken &&
        area(subtract(subtract(whole, offset(region, 0.5 * kTouch)), reach)) < kLeastTaken)
      return whole;
  }
  return {};
}

void takeLesser(std::optional<Length>& mine, const std::optional<Length>& other) {
  if (other && (!mine || *other < *mine)) mine = other;
}

}  // namespace

/// A recess or an island that something else cuts through is one detail, as wide as it was before: its pieces on both
/// sides of the cut are joined, and the part of its plan that the cut took is given back.
void Recogniser::joinPieces() {
  for (std::size_t c = 0; c < found_.size(); ++c) {
    for (std::size_t a = 0; a < found_.size(); ++a) {
      const Detail& cut = found_[c];
      const Detail& d = found_[a];
      if (a == c || cut.faces.empty() || cut.footprint.empty() || d.faces.empty() || d.footprint.empty()) continue;
      if (!(recess(d) || d.kind == DetailKind::Island) || (d.side != Side::Outer && d.side != Side::Back)) continue;
      if (cuts(cut, d) && near(d.footprint, cut.footprint, kTouch)) joinAcross(a, c);
    }
  }
  giveLedgesBack();
  hostsOfRecesses();
}

void Recogniser::joinAcross(std::size_t a, std::size_t c) {
  Detail& d = found_[a];
  const Region cut = found_[c].footprint;
  Region whole = d.footprint;
  bool joined = false;
  for (std::size_t b = 0; b < found_.size(); ++b) {
    Detail& other = found_[b];
    if (b == a || b == c || other.faces.empty() || other.side != d.side ||
        !(recess(other) || other.kind == DetailKind::Island) ||
        (other.kind == DetailKind::Island) != (d.kind == DetailKind::Island) || other.parent != d.parent)
      continue;
    if (std::abs(other.low_mm - d.low_mm) > kSameHeight || std::abs(other.high_mm - d.high_mm) > kSameHeight) continue;
    if (!near(other.footprint, cut, kTouch)) continue;
    // Across the cut, not along it: the gap is the cut and nothing else.
    const Region both = unite(whole, other.footprint);
    const Region between = subtract(intersect(hullOf(both), cut), both);
    if ((gapBetween(whole, other.footprint) > kWidestCut && !oneBand(whole, other.footprint)) ||
        pieces(unite({whole, other.footprint, offset(between, kTouch)})).size() > 1)
      continue;
    whole = both;
    joined = true;
    for (const part::FaceId f : other.faces) {
      owner_[static_cast<std::size_t>(f.index)] = static_cast<int>(a);
      d.faces.push_back(f);
    }
    other.faces.clear();
    other.footprint = {};
    takeLesser(d.dimensions.rootRadius, other.dimensions.rootRadius);
    takeLesser(d.dimensions.cornerRadius, other.dimensions.cornerRadius);
    for (Detail& child : found_) {
      if (child.parent == static_cast<int>(b)) child.parent = static_cast<int>(a);
    }
  }
  // An island's size is that of its wall, not of its foot.
  const double foot = d.kind == DetailKind::Island && d.dimensions.rootRadius ? toMm(*d.dimensions.rootRadius) : 0.0;
  const double corner = d.dimensions.cornerRadius ? toMm(*d.dimensions.cornerRadius) + foot : foot;
  const Region simple = completed(whole, cut, {corner, 1e9, 0.0});
  const Region taken = intersect(cut, simple.empty() ? hullOf(whole) : simple);
  if (!joined && area(subtract(taken, whole)) < kLeastTaken) return;
  // Joined with a little overlap, but no wall moves by it: a jog of a micrometre would ask for the smallest cutter.
  const Region bound = simple.empty() ? hullOf(whole) : unite(whole, simple);
  whole = filled(intersect(unite(whole, offset(taken, 0.1 * kTouch)), bound));
  const std::vector<Region> parts = pieces(whole);
  if (parts.size() > 1 && !joined) return;
  d.footprint = whole;
  if (d.kind == DetailKind::Island && !joined) return;
  const PlanShape shape = measure(foot > 0 ? offset(whole, -foot) : whole);
  d.dimensions.length = mm(shape.length);
  d.dimensions.width = mm(shape.width);
  d.dimensions.diameter.reset();
  if (shape.round) d.dimensions.diameter = mm(shape.length);
  if (recess(d) && d.kind == DetailKind::Slot && !shape.groove) d.kind = DetailKind::Pocket;
  if (d.kind == DetailKind::Pocket && shape.groove) d.kind = DetailKind::Slot;
  const double z = (d.side == Side::Outer) == (d.kind == DetailKind::Island) ? d.low_mm : d.high_mm;
  d.dimensions.centre = plan_.partToPlate.applyBack({shape.centre.x, shape.centre.y, z});
}

/// What stands against a recess's wall takes a bite out of its floor; the recess was as large without it.
void Recogniser::giveLedgesBack() {
  for (const Detail& d : found_) {
    if (d.kind != DetailKind::Island || d.parent < 0 || d.faces.empty()) continue;
    Detail& host = found_[static_cast<std::size_t>(d.parent)];
    if (!recess(host) || !near(d.footprint, host.footprint, kTouch)) continue;
    if (area(subtract(d.footprint, host.footprint)) < kLeastTaken) continue;
    host.footprint = filled(unite(host.footprint, d.footprint));
  }
}

/// Recesses in an island are found before the island is whole.
void Recogniser::hostsOfRecesses() {
  for (Detail& d : found_) {
    if (d.parent >= 0 || !(recess(d) || blindBore(d)) || d.faces.empty() || !d.dimensions.centre) continue;
    const Vec2 at = plan_.partToPlate.apply(*d.dimensions.centre).xy();
    for (std::size_t k = 0; k < found_.size(); ++k) {
      const Detail& island = found_[k];
      if (island.kind != DetailKind::Island || island.side != d.side || island.faces.empty()) continue;
      if (std::abs(topHeight(island) - topHeight(d)) < kSameHeight && contains(island.footprint, at))
        d.parent = static_cast<int>(k);
    }
  }
}

}  // namespace chipledger::detail
