#include "detail/level.hpp"

#include <numbers>
#include <numeric>

namespace chipledger::detail {
namespace {

constexpr double kJoin = 1e-3;         // mm: ends of consecutive edges of a loop
constexpr double kFartherRound = 0.3;  // rad: a ledge in a corner goes as far round both ways and is a bay

/// Which way the solid goes beyond a border of a floor: the edge's own turn tells; a smooth edge leads into a fillet or
/// a round, which lies on one side of the level.
Leads leadsTo(const part::Body& body, const ViewGraph& view, int edge, int outside, double z) {
  const part::Edge& e = body.edges[static_cast<std::size_t>(edge)];
  if (e.sense == part::Sense::Concave) return Leads::Up;
  if (e.sense == part::Sense::Convex || outside < 0) return Leads::Down;
  const ViewFace& f = view.faces[static_cast<std::size_t>(outside)];
  return f.high - z > z - f.low ? Leads::Up : Leads::Down;
}

struct Use {
  part::FaceLoop::Use use;
  int face{-1};
};

/// Puts uses that bound several joined faces into closed loops by their ends.
std::vector<std::vector<Use>> chain(const ViewGraph& view, std::vector<Use> uses) {
  const auto ends = [&](const Use& u) {
    const auto& p = view.edges[static_cast<std::size_t>(u.use.edge.index)].points;
    return u.use.reversed ? std::pair{p.back(), p.front()} : std::pair{p.front(), p.back()};
  };
  std::vector<std::vector<Use>> loops;
  std::vector<bool> taken(uses.size(), false);
  for (std::size_t start = 0; start < uses.size(); ++start) {
    if (taken[start]) continue;
    std::vector<Use> loop;
    std::size_t at = start;
    for (;;) {
      taken[at] = true;
      loop.push_back(uses[at]);
      const Vec3 end = ends(uses[at]).second;
      if (norm(end - ends(uses[start]).first) < kJoin) break;
      std::size_t next = uses.size();
      double nearest = std::numeric_limits<double>::infinity();
      for (std::size_t k = 0; k < uses.size(); ++k) {
        const double away = taken[k] ? nearest : norm(ends(uses[k]).first - end);
        if (away < nearest) {
          nearest = away;
          next = k;
        }
      }
      if (next == uses.size() || nearest > 10 * kJoin) break;
      at = next;
    }
    loops.push_back(std::move(loop));
  }
  return loops;
}

LevelLoop makeLoop(const part::Body& body, const ViewGraph& view, const std::vector<Use>& uses, double z) {
  LevelLoop loop;
  for (const Use& u : uses) {
    const int outside = across(body, u.use.edge.index, u.face);
    LevelBorder border;
    border.edge = u.use.edge.index;
    border.inside = u.face;
    border.outside = outside;
    border.leads = leadsTo(body, view, u.use.edge.index, outside, z);
    Ring points;
    for (const Vec3 p : view.edges[static_cast<std::size_t>(u.use.edge.index)].points) points.push_back(p.xy());
    if (u.use.reversed) std::reverse(points.begin(), points.end());
    for (std::size_t i = 1; i < points.size(); ++i) border.length += norm(points[i] - points[i - 1]);
    if (points.size() >= 2) {
      border.from = points.front();
      border.to = points.back();
      const Vec2 a = points[1] - points[0], b = points.back() - points[points.size() - 2];
      border.startDirection = a * (1.0 / std::max(norm(a), 1e-12));
      border.endDirection = b * (1.0 / std::max(norm(b), 1e-12));
      for (std::size_t i = 2; i < points.size(); ++i) {
        const Vec2 in = points[i - 1] - points[i - 2], out = points[i] - points[i - 1];
        border.turned += std::atan2(cross(in, out), dot(in, out));
      }
      loop.ring.insert(loop.ring.end(), points.begin(), points.end() - 1);
    }
    loop.borders.push_back(border);
  }
  loop.area = signedArea(loop.ring);
  loop.outer = loop.area > 0;
  return loop;
}

}  // namespace

double LevelLoop::up() const {
  double sum = 0;
  for (const LevelBorder& b : borders) sum += b.leads == Leads::Up ? b.length : 0;
  return sum;
}

double LevelLoop::length() const {
  double sum = 0;
  for (const LevelBorder& b : borders) sum += b.length;
  return sum;
}

std::vector<LevelLoop::Run> LevelLoop::runs(Leads way) const {
  const std::size_t n = borders.size();
  std::size_t start = 0;
  while (start < n && borders[start].leads == way) ++start;
  if (start == n) return {{length(), 2 * std::numbers::pi}};
  const auto turn = [](Vec2 a, Vec2 b) { return std::atan2(cross(a, b), dot(a, b)); };
  std::vector<Run> list;
  const LevelBorder* last = nullptr;
  for (std::size_t k = 1; k <= n; ++k) {
    const LevelBorder& b = borders[(start + k) % n];
    if (b.leads != way) {
      last = nullptr;
      continue;
    }
    if (last == nullptr)
      list.emplace_back();
    else
      list.back().turned += turn(last->endDirection, b.startDirection);
    list.back().length += b.length;
    list.back().turned += b.turned;
    last = &b;
  }
  return list;
}

bool LevelLoop::standsOut() const {
  double most[2]{-10, -10};
  for (const Leads way : {Leads::Up, Leads::Down})
    for (const Run& r : runs(way)) most[way == Leads::Down] = std::max(most[way == Leads::Down], r.turned);
  return most[1] > most[0] + kFartherRound;
}

Levels findLevels(const part::Body& body, const ViewGraph& view) {
  const std::size_t count = body.faces.size();
  std::vector<int> root(count);
  std::iota(root.begin(), root.end(), 0);
  const auto find = [&](int f) {
    while (root[static_cast<std::size_t>(f)] != f) f = root[static_cast<std::size_t>(f)];
    return f;
  };
  const auto floor = [&](int f) { return f >= 0 && view.faces[static_cast<std::size_t>(f)].lie == Lie::Floor; };
  for (const part::Edge& e : body.edges) {
    const int a = e.left.index, b = e.right.index;
    if (a == b || !floor(a) || !floor(b)) continue;
    if (std::abs(view.faces[static_cast<std::size_t>(a)].low - view.faces[static_cast<std::size_t>(b)].low) >
        kTolerances.level)
      continue;
    const int ra = find(a), rb = find(b);
    root[static_cast<std::size_t>(std::max(ra, rb))] = std::min(ra, rb);
  }
  Levels levels;
  levels.ofFace.assign(count, -1);
  for (std::size_t f = 0; f < count; ++f) {
    if (!floor(static_cast<int>(f))) continue;
    const std::size_t r = static_cast<std::size_t>(find(static_cast<int>(f)));
    if (levels.ofFace[r] < 0) {
      levels.ofFace[r] = static_cast<int>(levels.list.size());
      levels.list.emplace_back();
    }
    levels.ofFace[f] = levels.ofFace[r];
    levels.list[static_cast<std::size_t>(levels.ofFace[f])].faces.push_back(static_cast<int>(f));
  }
  for (Level& level : levels.list) {
    double servedArea = 0;
    std::vector<Use> open;
    for (const int f : level.faces) {
      const double size = toMm2(body.faces[static_cast<std::size_t>(f)].area);
      level.area += size;
      level.z += size * view.faces[static_cast<std::size_t>(f)].low;
      if (view.faces[static_cast<std::size_t>(f)].served) servedArea += size;
      for (const part::FaceLoop& loop : body.faces[static_cast<std::size_t>(f)].loops) {
        for (const part::FaceLoop::Use& use : loop.uses) {
          const part::Edge& e = body.edges[static_cast<std::size_t>(use.edge.index)];
          if (e.left.index == e.right.index || e.points.size() < 2) continue;
          const int other = across(body, use.edge.index, f);
          if (other >= 0 &&
              levels.ofFace[static_cast<std::size_t>(other)] == levels.ofFace[static_cast<std::size_t>(f)])
            continue;
          open.push_back({use, f});
        }
      }
    }
    level.z /= level.area;
    level.served = servedArea > 0.5 * level.area;
    for (const auto& uses : chain(view, std::move(open))) level.loops.push_back(makeLoop(body, view, uses, level.z));
    std::stable_sort(level.loops.begin(), level.loops.end(),
                     [](const LevelLoop& a, const LevelLoop& b) { return a.area > b.area; });
  }
  return levels;
}

}  // namespace chipledger::detail
