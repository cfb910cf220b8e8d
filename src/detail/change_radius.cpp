// Inside corners between straight walls, opened or tightened. With the apex V of the two walls, the centre of a corner
// of radius r lies at V + r u for one direction u, and it touches each wall at the foot of the normal from its centre.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "detail/change_kinds.hpp"

namespace chipledger::detail {
namespace {

constexpr double kSameRadius_mm = 0.003;
constexpr double kUpright = 1e-3;         // |z| of the normal of a wall
constexpr double kLeastTurn = 0.05;       // rad: walls that nearly run on have no corner
constexpr double kIntoMetal_mm = 0.05;    // a filling reaches into the walls, so that no gap stays along them
constexpr double kOffMetal_mm = 0.03;     // a removal reaches past the chords of the old corner
constexpr double kLeastRadius_mm = 0.05;  // no end mill is thinner
constexpr double kLeastStraight_mm = 0.0;
constexpr double kChord = 0.05;  // rad

struct Corner {
  Vec2 apex, towards;     // centre = apex + towards * radius
  Vec2 normalA, normalB;  // of the walls, out of the metal
  int wallA{}, wallB{};
  double tangent{};  // distance from the apex to where the corner touches its walls, per mm of radius
};

struct Corners {
  double radius{};
  std::vector<Corner> list;
  int curved{};                     // corners of that radius whose walls are not straight
  std::map<int, double> straight;   // per wall between changed corners: length from apex to apex (or to its end)
  std::map<int, double> perRadius;  // per wall: what its changed corners take of it, per mm of radius
};

Vec2 planNormal(const Standing& part, int face) {
  const part::Face& f = part.body->faces[static_cast<std::size_t>(face)];
  Vec3 sum;
  for (const part::FaceSample& s : f.samples) sum = sum + part.partToPlate.turn(s.normal);
  const Vec2 n = sum.xy();
  return n * (1.0 / std::max(1e-12, norm(n)));
}

bool upright(const Standing& part, const part::Face& f) {
  return std::all_of(f.samples.begin(), f.samples.end(),
                     [&](const part::FaceSample& s) { return std::abs(part.partToPlate.turn(s.normal).z) < kUpright; });
}

/// Faces that meet `face` along upright edges.
std::vector<int> besides(const Standing& part, int face) {
  std::vector<int> found;
  for (const part::FaceLoop& loop : part.body->faces[static_cast<std::size_t>(face)].loops)
    for (const part::FaceLoop::Use& use : loop.uses) {
      const part::Edge& e = part.body->edges[static_cast<std::size_t>(use.edge.index)];
      if (e.points.size() < 2) continue;
      const Vec3 d = part.partToPlate.turn(e.points.back() - e.points.front());
      if (norm(d.xy()) > kUpright * std::abs(d.z)) continue;
      const int other = e.left.index == face ? e.right.index : e.left.index;
      if (other >= 0 && other != face && std::find(found.begin(), found.end(), other) == found.end())
        found.push_back(other);
    }
  return found;
}

/// Extent of a wall along its own direction.
std::pair<double, double> alongWall(const Standing& part, int face, Vec2 direction) {
  double low = 1e300, high = -1e300;
  for (const part::FaceLoop& loop : part.body->faces[static_cast<std::size_t>(face)].loops)
    for (const part::FaceLoop::Use& use : loop.uses)
      for (const Vec3& p : part.body->edges[static_cast<std::size_t>(use.edge.index)].points) {
        const double s = dot(part.partToPlate.apply(p).xy(), direction);
        low = std::min(low, s);
        high = std::max(high, s);
      }
  return {low, high};
}

Corners cornersOf(const Standing& part, int index) {
  const Detail& d = part.details->list[static_cast<std::size_t>(index)];
  Corners found;
  double least = 0;
  for (const part::FaceId id : d.faces) {
    const part::Face& f = part.body->faces[static_cast<std::size_t>(id.index)];
    if (f.kind != part::SurfaceKind::Cylinder || !f.hollow || !upright(part, f)) continue;
    if (least == 0 || toMm(f.radius) < least) least = toMm(f.radius);
  }
  found.radius = least;
  for (const part::FaceId id : d.faces) {
    const part::Face& f = part.body->faces[static_cast<std::size_t>(id.index)];
    if (f.kind != part::SurfaceKind::Cylinder || !f.hollow || !upright(part, f)) continue;
    if (std::abs(toMm(f.radius) - least) > kSameRadius_mm) continue;
    std::vector<int> walls;
    for (const int other : besides(part, id.index))
      if (part.body->faces[static_cast<std::size_t>(other)].kind == part::SurfaceKind::Plane) walls.push_back(other);
    Corner c;
    if (walls.size() == 2) {
      c.wallA = walls[0];
      c.wallB = walls[1];
      c.normalA = planNormal(part, c.wallA);
      c.normalB = planNormal(part, c.wallB);
    }
    const double turn = std::abs(cross(c.normalA, c.normalB));
    if (walls.size() != 2 || turn < kLeastTurn) {
      ++found.curved;
      continue;
    }
    // The centre is one radius off both walls: u . nA = u . nB = 1.
    const double det = cross(c.normalA, c.normalB);
    c.towards = Vec2{c.normalB.y - c.normalA.y, c.normalA.x - c.normalB.x} * (1.0 / det);
    const Vec2 centre = part.partToPlate.apply(f.origin).xy();
    c.apex = centre - c.towards * least;
    c.tangent = norm(c.towards - c.normalA);
    found.list.push_back(c);
  }
  for (const Corner& c : found.list)
    for (const auto& [wall, normal] : {std::pair{c.wallA, c.normalA}, std::pair{c.wallB, c.normalB}}) {
      const Vec2 direction = perp(normal);
      const auto [low, high] = alongWall(part, wall, direction);
      // The wall as it is, and what the corner now takes of it.
      if (found.straight.count(wall) == 0) found.straight[wall] = high - low;
      found.straight[wall] += c.tangent * least;
      found.perRadius[wall] += c.tangent;
    }
  return found;
}

/// Metal between the walls and an arc of `radius` about the centre that belongs to `at`; pushed `into` the walls.
Region filling(const Corner& c, double at, double radius, double into) {
  const Vec2 centre = c.apex + c.towards * at;
  const Vec2 a = centre - c.normalA * at, b = centre - c.normalB * at;
  Ring ring;
  ring.push_back(a - c.normalA * into);
  ring.push_back(c.apex - c.towards * into);
  ring.push_back(b - c.normalB * into);
  ring.push_back(b);
  const double from = std::atan2(-c.normalB.y, -c.normalB.x);
  double turn = std::atan2(-c.normalA.y, -c.normalA.x) - from;
  while (turn > 3.14159265358979324) turn -= 2 * 3.14159265358979324;
  while (turn < -3.14159265358979324) turn += 2 * 3.14159265358979324;
  const int chords = std::max(2, static_cast<int>(std::ceil(std::abs(turn) / kChord)));
  for (int k = 0; k <= chords; ++k) {
    const double angle = from + turn * k / chords;
    ring.push_back(centre + Vec2{std::cos(angle), std::sin(angle)} * radius);
  }
  ring.push_back(a);
  if (signedArea(ring) < 0) std::reverse(ring.begin(), ring.end());
  return clean({ring});
}

double mostRadius(const Corners& corners) {
  double most = 1e9;
  for (const auto& [wall, length] : corners.straight)
    most = std::min(most, (length - kLeastStraight_mm) / corners.perRadius.at(wall));
  return most;
}

field::Change prism(field::Prism::Act act, const Region& region, double low, double high) {
  field::Change change;
  change.kind = field::Change::Kind::Prism;
  change.prism = {act, region, low, high};
  return change;
}

}  // namespace

std::optional<Changeable> radiusRange(const Standing& part, int index) {
  const Detail& d = part.details->list[static_cast<std::size_t>(index)];
  if (!d.dimensions.cornerRadius || d.side == Side::Other) return std::nullopt;
  if (d.kind != DetailKind::Pocket && d.kind != DetailKind::OpenPocket && d.kind != DetailKind::Window &&
      d.kind != DetailKind::Thinning && d.kind != DetailKind::Step && d.kind != DetailKind::Slot)
    return std::nullopt;
  const Corners corners = cornersOf(part, index);
  if (corners.list.empty() || corners.curved > 0) return std::nullopt;
  return Changeable{Dimension::Radius,
                    *d.dimensions.cornerRadius,
                    mm(std::min(kLeastRadius_mm, toMm(*d.dimensions.cornerRadius))),
                    mm(mostRadius(corners)),
                    "No cutter is that thin: a sharp inside corner cannot be milled.",
                    fmt::format("The corners of {} would meet: its walls are too short for a larger radius.", d.name)};
}

Result<Changed> withRadius(const Standing& part, int index, double value_mm) {
  const Detail& d = part.details->list[static_cast<std::size_t>(index)];
  const Corners corners = cornersOf(part, index);
  // Corners are taken from the faces as read: a second change starts from the first again.
  const double now = toMm(*d.dimensions.cornerRadius);
  if (std::abs(now - corners.radius) > kSameRadius_mm)
    return wouldBreak(fmt::format("The corners of {} have been changed before.", d.name));
  Changed out{{}, *part.details};
  Detail& changed = out.details.list[static_cast<std::size_t>(index)];
  if (value_mm == now) return out;
  const double edge = d.through ? 0.0 : wallEnds(part, index).edge_mm;
  const double low = d.low_mm + (d.side == Side::Back ? edge : 0.0);
  const double high = d.high_mm - (d.side == Side::Outer ? edge : 0.0);
  std::vector<Region> added, taken;
  for (const Corner& c : corners.list) {
    const Region after = filling(c, value_mm, value_mm, kIntoMetal_mm);
    if (value_mm > now) {
      added.push_back(after);
    } else {
      taken.push_back(subtract(filling(c, now, now - kOffMetal_mm, 0.0), after));
    }
  }
  if (!added.empty()) {
    const Region all = unite(added);
    out.changes.push_back(prism(field::Prism::Act::Add, all, low, high));
    changed.footprint = subtract(changed.footprint, all);
  }
  if (!taken.empty()) {
    const Region all = unite(taken);
    out.changes.push_back(prism(field::Prism::Act::Remove, all, d.low_mm, d.high_mm));
    changed.footprint = unite(changed.footprint, all);
  }
  changed.dimensions.cornerRadius = mm(value_mm);
  return out;
}

}  // namespace chipledger::detail
