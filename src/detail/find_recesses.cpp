#include <numbers>

#include "detail/recogniser.hpp"

namespace chipledger::detail {
namespace {

constexpr double kRimShare = 0.1;  // of the rim met by the walls: less is a neighbour that happens to touch
constexpr double kOneWall = 1.75;  // rad: walls that turn less than about 100 degrees bound a step, not a bay

struct Run {
  double length{}, turned{};
  Vec2 first, last;
};

/// Runs of borders that lead up, along a closed loop.
std::vector<Run> upRuns(const LevelLoop& loop) {
  std::vector<Run> runs;
  const std::size_t n = loop.borders.size();
  std::size_t start = 0;
  while (start < n && loop.borders[start].leads == Leads::Up) ++start;
  if (start == n) return {{loop.length(), 2 * std::numbers::pi, {}, {}}};
  const auto turn = [](Vec2 a, Vec2 b) { return std::atan2(cross(a, b), dot(a, b)); };
  bool in = false;
  for (std::size_t k = 1; k <= n; ++k) {
    const LevelBorder& b = loop.borders[(start + k) % n];
    if (b.leads == Leads::Down) {
      in = false;
      continue;
    }
    if (!in) {
      runs.push_back({0, 0, b.startDirection, b.startDirection});
    } else {
      runs.back().turned += turn(runs.back().last, b.startDirection);
    }
    in = true;
    runs.back().length += b.length;
    runs.back().turned += turn(b.startDirection, b.endDirection);
    runs.back().last = b.endDirection;
  }
  return runs;
}

}  // namespace

void Recogniser::findRecesses(int viewIndex) {
  // A recess that runs out into an open one is open itself.
  const auto opensInto = [&](int f) {
    if (f < 0 || !claimed(f)) return false;
    const DetailKind kind = found_[static_cast<std::size_t>(owner_[static_cast<std::size_t>(f)])].kind;
    return kind == DetailKind::Step || kind == DetailKind::OpenPocket;
  };
  View& view = views_[static_cast<std::size_t>(viewIndex)];
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
    if (border.up() < kTolerances.share * length) continue;

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
      const std::vector<Run> runs = upRuns(border);
      double most = 0;
      for (const Run& r : runs) most = std::max(most, r.turned);
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
