#include "detail/recogniser.hpp"

namespace chipledger::detail {
namespace {

constexpr double kSmallestBreak = 1e-3;  // mm: shorter borders do not decide anything
constexpr double kLeastLean = 0.1;       // sine: flatter normals have no heading
constexpr double kSameHeading = 0.02;    // rad
constexpr double kLeastTurn = 0.5;       // between two normals that tell a radius
constexpr double kMostBreak = 4.0;       // mm: a higher slope is a face of its own right, not a broken edge

bool roundKind(part::SurfaceKind kind) {
  return kind == part::SurfaceKind::Torus || kind == part::SurfaceKind::Cylinder || kind == part::SurfaceKind::Sphere;
}

}  // namespace

Flood Recogniser::flood(const View& view, const std::vector<LevelBorder>& borders, double z, Way way) const {
  Flood result;
  const double sign = way == Way::Up ? 1.0 : -1.0;
  std::vector<char> seen(body_.faces.size(), 0);
  std::vector<int> queue;
  const int start = borders.empty() ? -1 : view.levels.ofFace[static_cast<std::size_t>(borders.front().inside)];
  const bool lowerOfTwo = std::any_of(borders.begin(), borders.end(), [&](const LevelBorder& b) {
    return way == Way::Down && b.leads == Leads::Down && start >= 0 &&
           view.levels.list[static_cast<std::size_t>(start)].loops.front().up() > 0;
  });
  // Feet of joined masses run into each other: each belongs to the wall above it.
  const bool ledges = std::any_of(view.ledge.begin(), view.ledge.end(), [](int l) { return l >= 0; });
  const auto enter = [&](int f) {
    if (f < 0 || seen[static_cast<std::size_t>(f)]) return;
    if (view.levels.ofFace[static_cast<std::size_t>(f)] >= 0) return;
    if (face(view, f).lie == Lie::Ceiling) {
      result.meetsCeiling = true;
      return;
    }
    if (view.ground[static_cast<std::size_t>(f)]) {
      result.meetsGround = true;
      return;
    }
    if (claimed(f) || onRing(view, f)) return;
    if (const int ledge = view.ledge[static_cast<std::size_t>(f)]; ledge >= 0 && ledge != start) return;
    seen[static_cast<std::size_t>(f)] = 1;
    queue.push_back(f);
  };
  const auto touch = [&](int f, double length) {
    const int level = view.levels.ofFace[static_cast<std::size_t>(f)];
    for (Flood::Touch& t : result.touched) {
      if (t.level == level) {
        t.length += length;
        return;
      }
    }
    result.touched.push_back({level, view.levels.list[static_cast<std::size_t>(level)].z, length});
  };
  // A wall whose foot is a higher floor belongs to that one.
  const auto standsHigher = [&](int f) {
    const ViewFace& wall = face(view, f);
    if (wall.low <= z + kTolerances.level) return false;
    for (const int e : wall.edges) {
      const int other = across(body_, e, f);
      if (other < 0 || edge(view, e).upright || bodyEdge(e).sense == part::Sense::Convex) continue;
      const int level = view.levels.ofFace[static_cast<std::size_t>(other)];
      if (level >= 0 && std::abs(view.levels.list[static_cast<std::size_t>(level)].z - wall.low) < kTolerances.level &&
          edge(view, e).high < wall.low + kTolerances.level)
        return true;
    }
    return false;
  };
  for (const LevelBorder& b : borders) enter(b.outside);
  for (std::size_t k = 0; k < queue.size(); ++k) {
    const int f = queue[k];
    const ViewFace& from = face(view, f);
    for (const int e : from.edges) {
      const ViewEdge& line = edge(view, e);
      const part::Edge& solid = bodyEdge(e);
      const int other = across(body_, e, f);
      if (other < 0) continue;
      if (view.levels.ofFace[static_cast<std::size_t>(other)] >= 0) {
        const double height =
            view.levels.list[static_cast<std::size_t>(view.levels.ofFace[static_cast<std::size_t>(other)])].z;
        if (sign * (height - z) > kTolerances.level) touch(other, toMm(solid.length));
        continue;
      }
      const ViewFace& to = face(view, other);
      // Never to the other side of the level the walk started from.
      if (way == Way::Up ? line.high <= z + kTolerances.level : line.low >= z - kTolerances.level) continue;
      if (line.upright) {
        // Round an inner corner of a recess, or round the outer corner of what stands; the other sense leads away.
        const bool leaves = way == Way::Up ? solid.sense == part::Sense::Convex : solid.sense == part::Sense::Concave;
        if (leaves) continue;
      }
      if (way == Way::Down && lowerOfTwo && to.high > z + kTolerances.level) continue;
      if (way == Way::Down && (ledges || lowerOfTwo) && rootFillet(view, f) && rootFillet(view, other)) continue;
      if (way == Way::Up && to.high < z + kTolerances.level) continue;
      if (way == Way::Up && standsHigher(other)) continue;
      enter(other);
    }
  }
  std::sort(queue.begin(), queue.end());
  result.faces = std::move(queue);
  std::stable_sort(result.touched.begin(), result.touched.end(),
                   [](const Flood::Touch& a, const Flood::Touch& b) { return a.length > b.length; });
  return result;
}

Region Recogniser::projection(const View& view, const std::vector<int>& faces) const {
  std::vector<Region> parts;
  for (const int f : faces) {
    if (face(view, f).lie == Lie::Wall) continue;
    Region part = clean(projectedRings(body_, view.graph, f));
    if (!part.empty()) parts.push_back(std::move(part));
  }
  return unite(parts);
}

Region Recogniser::levelRegion(const View& view, const Level& level) const { return projection(view, level.faces); }

bool Recogniser::edgeBreak(const View& view, int f) const {
  const ViewFace& vf = face(view, f);
  if (vf.lie != Lie::Slope && vf.lie != Lie::Curved) return false;
  if (vf.high - vf.low > kMostBreak) return false;
  double convex = 0, concave = 0, smooth = 0;
  for (const int e : vf.edges) {
    if (edge(view, e).upright) continue;
    const double length = toMm(bodyEdge(e).length);
    if (length < kSmallestBreak) continue;
    // Mitred corners between two slopes may turn either way.
    const int other = across(body_, e, f);
    if (other >= 0 && face(view, other).lie == vf.lie &&
        edge(view, e).high - edge(view, e).low > 0.5 * (vf.high - vf.low))
      continue;
    switch (bodyEdge(e).sense) {
      case part::Sense::Convex:
        convex += length;
        break;
      case part::Sense::Concave:
        concave += length;
        break;
      case part::Sense::Smooth:
        smooth += length;
        break;
    }
  }
  if (vf.lie == Lie::Slope) return convex > 0 && concave + smooth < 0.1 * convex;
  if (smooth <= 0 || concave > 0.1 * smooth) return false;
  // A round runs from upright to level (a full one) and bulges outwards: its level end is the upper one.
  if (roundKind(bodyFace(f).kind)) return !bodyFace(f).hollow;
  double top = vf.low, levelAt = vf.low;
  for (const part::FaceSample& s : bodyFace(f).samples) {
    const double z = view.graph.frame.apply(s.point).z, up = std::abs(view.graph.frame.turn(s.normal).z);
    if (z > top) {
      top = z;
      levelAt = up;
    }
  }
  const double steep = std::max(std::abs(vf.upLeast), std::abs(vf.upMost)),
               shallow = std::min(std::abs(vf.upLeast), std::abs(vf.upMost));
  return steep > 0.9 && shallow < 0.45 && (vf.normal.z > 0 ? levelAt > 0.9 : levelAt < 0.45);
}

bool Recogniser::rootFillet(const View& view, int f) const {
  const ViewFace& vf = face(view, f);
  if (vf.lie != Lie::Curved || vf.upLeast < -0.05 || vf.upMost < 0.9) return false;
  bool onLevel = false, onWall = false;
  for (const int e : vf.edges) {
    if (bodyEdge(e).sense != part::Sense::Smooth || edge(view, e).upright) continue;
    const int other = across(body_, e, f);
    if (other < 0) continue;
    const bool low = edge(view, e).middle() < vf.low + 0.25 * (vf.high - vf.low);
    const bool high = edge(view, e).middle() > vf.high - 0.25 * (vf.high - vf.low);
    onLevel = onLevel || (low && (face(view, other).lie == Lie::Floor || view.ground[static_cast<std::size_t>(other)]));
    onWall = onWall || (high && face(view, other).lie != Lie::Floor);
  }
  return onLevel && onWall;
}

double Recogniser::filletRadius(const View& view, int f) const {
  const part::Face& bf = bodyFace(f);
  if (bf.kind == part::SurfaceKind::Torus) return toMm(bf.minorRadius);
  if (bf.kind == part::SurfaceKind::Cylinder || bf.kind == part::SurfaceKind::Sphere) return toMm(bf.radius);
  // Across a round, places and normals turn alike: R = |p - q| / |n - m| for samples above one another.
  double sum = 0, count = 0;
  for (std::size_t i = 0; i < bf.samples.size(); ++i) {
    const Vec3 n = view.graph.frame.turn(bf.samples[i].normal);
    for (std::size_t k = i + 1; k < bf.samples.size(); ++k) {
      const Vec3 m = view.graph.frame.turn(bf.samples[k].normal);
      const double a = norm(n.xy()), b = norm(m.xy());
      if (a < kLeastLean || b < kLeastLean || norm(n - m) < kLeastTurn) continue;
      if (std::abs(cross(n.xy(), m.xy())) > kSameHeading * a * b || dot(n.xy(), m.xy()) < 0) continue;
      sum += norm(bf.samples[i].point - bf.samples[k].point) / norm(n - m);
      count += 1;
    }
  }
  // A quarter round is as high as its radius.
  return count > 0 ? sum / count : face(view, f).high - face(view, f).low;
}

double Recogniser::cornerRadius(const View& view, const std::vector<int>& faces, bool hollow) const {
  double least = 0;
  for (const int f : faces) {
    const part::Face& bf = bodyFace(f);
    if (bf.kind != part::SurfaceKind::Cylinder || face(view, f).lie != Lie::Wall || bf.hollow != hollow) continue;
    if (least == 0 || toMm(bf.radius) < least) least = toMm(bf.radius);
  }
  return least;
}

int Recogniser::ringBelow(const View& view, const LevelBorder& border) const {
  // Down over edge breaks and fillets to the first face that stands on the silhouette.
  int f = border.outside, from = border.edge;
  for (int step = 0; step < 6 && f >= 0; ++step) {
    const int ring = view.silhouette.ringOfFace[static_cast<std::size_t>(f)];
    if (ring >= 0) return ring;
    if (view.levels.ofFace[static_cast<std::size_t>(f)] >= 0 || face(view, f).lie == Lie::Wall) break;
    int next = -1, over = -1;
    double lowest = edge(view, from).middle() - kTolerances.level;
    for (const int e : face(view, f).edges) {
      if (edge(view, e).upright || edge(view, e).middle() >= lowest) continue;
      lowest = edge(view, e).middle();
      next = across(body_, e, f);
      over = e;
    }
    f = next;
    from = over;
  }
  const Vec2 middle = border.from == border.to
                          ? border.from
                          : edge(view, border.edge).points[edge(view, border.edge).points.size() / 2].xy();
  for (std::size_t r = 0; r < view.silhouette.region.rings.size(); ++r) {
    if (distanceTo(view.silhouette.region.rings[r], middle) < kTolerances.ring) return static_cast<int>(r);
  }
  return -1;
}

}  // namespace chipledger::detail
