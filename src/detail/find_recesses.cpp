#include "detail/recogniser.hpp"

namespace chipledger::detail {
namespace {

constexpr double kRimShare = 0.1;  // of the rim met by the walls: less is a neighbour that happens to touch
constexpr double kOneWall = 1.75;  // rad: walls that turn less than about 100 degrees bound a step, not a bay

}  // namespace

/// A floor part of whose border carries something higher, and that stands itself: all its other borders lead down to
/// floors, and go farther round than the wall above it.
bool Recogniser::promontory(const View& view, const Level& level) const {
  if (sideOf(view) == Side::Other || level.loops.empty()) return false;
  const LevelLoop& border = level.loops.front();
  const double up = border.up(), length = border.length();
  if (!border.outer || up < kTolerances.share * length || up > (1 - kTolerances.share) * length || !border.standsOut())
    return false;
  double toRings = 0;
  for (const LevelBorder& b : border.borders) {
    if (b.leads == Leads::Up) continue;
    const int ring = ringBelow(view, b);
    if (ring >= 0 && ring == view.silhouette.outer) return false;
    if (ring >= 0) toRings += b.length;
  }
  return toRings < 0.5 * (length - up);
}

/// The sides of promontories are theirs, though they bound the floor below as well.
void Recogniser::markLedges(View& view) const {
  for (std::size_t l = 0; l < view.levels.list.size(); ++l) {
    const Level& level = view.levels.list[l];
    if (!level.served || view.levelDetail[l] >= 0 || !promontory(view, level)) continue;
    std::vector<LevelBorder> downs;
    for (const LevelBorder& b : level.loops.front().borders) {
      if (b.leads == Leads::Down) downs.push_back(b);
    }
    for (const int f : flood(view, downs, level.z, Way::Down).faces)
      view.ledge[static_cast<std::size_t>(f)] = static_cast<int>(l);
  }
}

void Recogniser::findRecesses(int viewIndex) {
  // A recess that runs out into an open one is open itself.
  const auto opensInto = [&](int f) {
    if (f < 0 || !claimed(f)) return false;
    const DetailKind kind = found_[static_cast<std::size_t>(owner_[static_cast<std::size_t>(f)])].kind;
    return kind == DetailKind::Step || kind == DetailKind::OpenPocket;
  };
  View& view = views_[static_cast<std::size_t>(viewIndex)];
  markLedges(view);
  std::vector<std::size_t> order;
  for (std::size_t l = 0; l < view.levels.list.size(); ++l) order.push_back(l);
  // Deepest first: a wall that a deeper and a shallower recess share belongs to the deeper one.
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return view.levels.list[a].z < view.levels.list[b].z; });
  struct Pending {
    std::size_t level;
    int detail;
    std::vector<Flood::Touch> touched;
    double opening;
  };
  std::vector<Pending> made;
  for (const std::size_t l : order) {
    const Level& level = view.levels.list[l];
    if (!level.served || level.loops.empty() || view.levelDetail[l] >= 0) continue;
    if (std::any_of(level.faces.begin(), level.faces.end(), [&](int f) { return claimed(f); })) continue;
    const LevelLoop& border = level.loops.front();
    if (!border.outer) continue;
    const double length = border.length();
    if (border.up() < kTolerances.share * length || promontory(view, level)) continue;

    std::vector<LevelBorder> ups;
    double open = 0;
    for (const LevelBorder& b : border.borders) {
      if (b.leads == Leads::Up) {
        ups.push_back(b);
        continue;
      }
      if (ringBelow(view, b) == view.silhouette.outer || opensInto(b.outside)) open += b.length;
    }
    const Flood walls = flood(view, ups, level.z, Way::Up);
    if (walls.meetsCeiling && walls.touched.empty()) continue;  // under a ceiling: another direction's work

    // The rim: the highest floor met that is not above the body, unless all of them are (a recess in an island).
    double opening = -1;
    const double all = walls.touchedLength();
    for (const bool overBody : {false, true}) {
      for (const Flood::Touch& t : walls.touched) {
        const bool above = t.z > view.bodyZ + kTolerances.level;
        if (above != overBody || t.length < kRimShare * all) continue;
        opening = overBody ? (opening < 0 ? t.z : std::min(opening, t.z)) : std::max(opening, t.z);
      }
      if (opening >= 0) break;
    }
    if (opening < 0) {
      // Walls that end in carved or rounded surfaces: as high as they reach.
      for (const int f : walls.faces) opening = std::max(opening, face(view, f).high);
      for (const LevelBorder& b : ups) {
        if (b.outside >= 0)
          opening = std::max(opening, std::min(face(view, b.outside).high, std::max(view.bodyZ, level.z)));
      }
      if (view.bodyZ > level.z && (opening > view.bodyZ || walls.meetsGround)) opening = view.bodyZ;
    }
    if (opening <= level.z + kTolerances.level) continue;

    std::vector<int> rimmed;
    for (const int f : walls.faces) {
      if (!edgeBreak(view, f)) rimmed.push_back(f);
    }
    std::vector<int> whole = rimmed;
    whole.insert(whole.end(), level.faces.begin(), level.faces.end());
    const Region plan = filled(projection(view, whole));
    const PlanShape shape = measure(plan);

    Detail d;
    d.side = sideOf(view);
    d.kind = DetailKind::Pocket;
    if (open > kTolerances.share * length) {
      const std::vector<LevelLoop::Run> runs = border.runs(Leads::Up);
      double most = 0;
      for (const LevelLoop::Run& r : runs) most = std::max(most, r.turned);
      if (runs.size() >= 2)
        d.kind = DetailKind::Slot;
      else
        d.kind = most < kOneWall ? DetailKind::Step : DetailKind::OpenPocket;
      if (d.kind == DetailKind::OpenPocket && shape.groove) d.kind = DetailKind::Slot;
    } else if (shape.groove) {
      d.kind = DetailKind::Slot;
    }
    setHeights(d, view, level.z, opening);
    d.dimensions.depth = mm(opening - level.z);
    d.dimensions.length = mm(shape.length);
    d.dimensions.width = mm(shape.width);
    if (shape.round) d.dimensions.diameter = mm(shape.length);
    if (const double corner = cornerRadius(view, walls.faces, true); corner > 0) d.dimensions.cornerRadius = mm(corner);
    for (const int f : walls.faces) {
      if (!rootFillet(view, f) || !bodyFace(f).hollow) continue;
      const double r = filletRadius(view, f);
      if (!d.dimensions.rootRadius || r < toMm(*d.dimensions.rootRadius)) d.dimensions.rootRadius = mm(r);
    }
    d.footprint = toPlate(view, plan);
    d.dimensions.centre = toPart(view, shape.centre, opening);
    const int index = add(std::move(d), viewIndex);
    view.levelDetail[l] = index;
    for (const int f : level.faces) claim(f, index);
    for (const int f : rimmed) claim(f, index);
    made.push_back({l, index, walls.touched, opening});
  }
  for (const Pending& p : made) {
    Detail& d = found_[static_cast<std::size_t>(p.detail)];
    d.parent = detailAt(view, p.touched, p.opening);
    if (d.parent >= 0 && found_[static_cast<std::size_t>(d.parent)].kind == DetailKind::Body) d.parent = -1;
    if (d.parent == p.detail) d.parent = -1;
  }
}

}  // namespace chipledger::detail
