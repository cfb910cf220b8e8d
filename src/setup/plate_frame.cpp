#include "setup/plate_frame.hpp"

#include <map>
#include <optional>
#include <tuple>

namespace chipledger::setup {
namespace {

constexpr double kSameDirection = 1e-3;   // rad: plane normals closer than this are one direction
constexpr double kSameLevel = 0.005;      // mm: floors closer than this are one level
constexpr double kRaised = 0.05;          // mm: what stands higher than this above the main level stands proud
constexpr double kShareOfLargest = 0.10;  // directions with less plane area than this are edge breaks and the like
constexpr double kExtentTie = 0.01;       // relative: extents closer than this are equal, the larger area wins
constexpr double kPlainBoxSlack = 1.02;   // the file's own axes are kept when their rectangle is at most 2 % larger
constexpr double kStraightEdgeSlack = 1.005;
constexpr std::size_t kEdgeDirections = 64;

/// The same line whatever its sense: largest component positive, first one on ties.
Vec3 positiveSense(Vec3 d) {
  const double largest = std::max({std::abs(d.x), std::abs(d.y), std::abs(d.z)});
  for (const double c : {d.x, d.y, d.z}) {
    if (std::abs(c) > largest - 1e-6) return c < 0 ? -d : d;
  }
  return d;
}

/// Takes off what the file's rounding left, so that an upright plate has an upright frame.
Vec3 snapToAxis(Vec3 d) {
  for (const Vec3 axis : {Vec3{1, 0, 0}, Vec3{0, 1, 0}, Vec3{0, 0, 1}}) {
    if (norm(cross(d, axis)) < 1e-9) return axis * (dot(d, axis) > 0 ? 1.0 : -1.0);
  }
  return unit(d);
}

std::pair<double, double> extent(const part::Mesh& mesh, Vec3 d) {
  double low = std::numeric_limits<double>::infinity(), high = -low;
  for (const Vec3 p : mesh.points) {
    low = std::min(low, dot(d, p));
    high = std::max(high, dot(d, p));
  }
  return {low, high};
}

Vec3 plateNormal(const part::Body& body) {
  struct Candidate {
    Vec3 direction;
    double area{};
  };
  std::vector<Candidate> list;
  for (const part::Face& face : body.faces) {
    if (face.kind != part::SurfaceKind::Plane) continue;
    const Vec3 d = positiveSense(unit(face.axis));
    auto same = std::find_if(list.begin(), list.end(),
                             [&](const Candidate& c) { return norm(cross(c.direction, d)) < kSameDirection; });
    if (same == list.end()) same = list.insert(list.end(), {snapToAxis(d), 0.0});
    same->area += toMm2(face.area);
  }
  if (list.empty()) {
    for (const part::Face& face : body.faces) {
      if (face.kind == part::SurfaceKind::Cylinder || face.kind == part::SurfaceKind::Cone)
        return snapToAxis(positiveSense(unit(face.axis)));
    }
    return {0, 0, 1};
  }
  double largest = 0;
  for (const Candidate& c : list) largest = std::max(largest, c.area);
  std::optional<std::tuple<double, double, Vec3>> best;  // extent, area, direction
  // The file's own axes come first, z before y before x, so that a cube keeps its pose.
  std::stable_sort(list.begin(), list.end(), [](const Candidate& a, const Candidate& b) {
    return std::tuple{a.direction.z, a.direction.y, a.direction.x} >
           std::tuple{b.direction.z, b.direction.y, b.direction.x};
  });
  for (const Candidate& c : list) {
    if (c.area < kShareOfLargest * largest) continue;
    const auto [low, high] = extent(body.mesh, c.direction);
    const double size = high - low;
    if (!best) {
      best = {size, c.area, c.direction};
      continue;
    }
    const auto [bestSize, bestArea, ignored] = *best;
    const bool equal = std::abs(size - bestSize) <= kExtentTie * std::max(size, bestSize);
    if (equal ? c.area > bestArea * (1 + kExtentTie) : size < bestSize) best = {size, c.area, c.direction};
  }
  return std::get<2>(*best);
}

/// Metal that stands above or was cut below, seen from one side.
struct SideTally {
  double standingInside{};  ///< mm3 over the main level, not reaching the rim of the plan box
  double standing{};        ///< mm3 over the main level
  double removed{};         ///< mm3 under the highest level
};

SideTally tally(const part::Body& body, Vec3 up) {
  std::map<long long, double> areaAt;
  for (const part::Face& face : body.faces) {
    if (face.kind == part::SurfaceKind::Plane && dot(unit(face.axis), up) > 0.9999) {
      areaAt[std::llround(dot(face.origin, up) / kSameLevel)] += toMm2(face.area);
    }
  }
  SideTally result;
  if (areaAt.empty()) return result;
  const auto main =
      std::max_element(areaAt.begin(), areaAt.end(), [](const auto& a, const auto& b) { return a.second < b.second; });
  const double mainLevel = static_cast<double>(main->first) * kSameLevel;
  const double top = extent(body.mesh, up).second;
  const Vec3 across = std::abs(up.z) > 0.9 ? Vec3{1, 0, 0} : unit(cross(up, Vec3{0, 0, 1}));
  const Vec3 u = unit(across - up * dot(across, up)), v = cross(up, u);
  const auto [u0, u1] = extent(body.mesh, u);
  const auto [v0, v1] = extent(body.mesh, v);
  const double rim = 0.005 * std::max(u1 - u0, v1 - v0);
  for (const part::Face& face : body.faces) {
    if (face.kind != part::SurfaceKind::Plane || dot(unit(face.axis), up) <= 0.9999) continue;
    const double height = dot(face.origin, up), size = toMm2(face.area);
    result.removed += size * (top - height);
    if (height < mainLevel + kRaised) continue;
    result.standing += size * (height - mainLevel);
    bool inside = true;
    for (const part::FaceLoop& loop : face.loops) {
      for (const part::FaceLoop::Use& use : loop.uses) {
        for (const Vec3 p : body.edges[static_cast<std::size_t>(use.edge.index)].points) {
          inside =
              inside && dot(u, p) > u0 + rim && dot(u, p) < u1 - rim && dot(v, p) > v0 + rim && dot(v, p) < v1 - rim;
        }
      }
    }
    if (inside) result.standingInside += size * (height - mainLevel);
  }
  return result;
}

/// > 0 when `up` is the outer side, < 0 when its opposite is.
int outerSense(const part::Body& body, Vec3 up) {
  const SideTally a = tally(body, up), b = tally(body, -up);
  const auto compare = [](double x, double y) {
    const double slack = 1e-6 * std::max({std::abs(x), std::abs(y), 1.0});
    return x > y + slack ? 1 : (x < y - slack ? -1 : 0);
  };
  for (const int sense :
       {compare(a.standingInside, b.standingInside), compare(a.standing, b.standing), compare(a.removed, b.removed)}) {
    if (sense != 0) return sense;
  }
  return 1;
}

/// Convex hull, counter-clockwise (monotone chain).
std::vector<Vec2> hull(std::vector<Vec2> points) {
  const auto before = [](Vec2 a, Vec2 b) { return std::pair{a.x, a.y} < std::pair{b.x, b.y}; };
  std::sort(points.begin(), points.end(), before);
  points.erase(std::unique(points.begin(), points.end()), points.end());
  if (points.size() < 3) return points;
  std::vector<Vec2> chain;
  for (int pass = 0; pass < 2; ++pass) {
    const std::size_t start = chain.size();
    for (const Vec2 p : points) {
      while (chain.size() >= start + 2 && cross(chain.back() - chain[chain.size() - 2], p - chain.back()) <= 0)
        chain.pop_back();
      chain.push_back(p);
    }
    chain.pop_back();
    std::reverse(points.begin(), points.end());
  }
  return chain;
}

struct Rectangle {
  Vec2 direction;
  double width{}, height{};
  double area() const { return width * height; }
};

Rectangle around(const std::vector<Vec2>& points, Vec2 direction) {
  Box2 box;
  for (const Vec2 p : points) box.add({dot(direction, p), dot(perp(direction), p)});
  return {direction, box.size().x, box.size().y};
}

/// Direction of x in the plane square to `up`.
Vec3 longDirection(const part::Body& body, Vec3 up) {
  const Vec3 helper = std::abs(up.x) < 0.9 ? Vec3{1, 0, 0} : Vec3{0, 1, 0};
  const Vec3 u = unit(helper - up * dot(helper, up)), v = cross(up, u);
  std::vector<Vec2> points;
  points.reserve(body.mesh.points.size());
  for (const Vec3 p : body.mesh.points) points.push_back({dot(u, p), dot(v, p)});
  points = hull(std::move(points));
  if (points.size() < 3) return u;

  std::optional<Rectangle> smallest;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Vec2 edge = points[(i + 1) % points.size()] - points[i];
    const Rectangle r = around(points, edge * (1.0 / norm(edge)));
    if (!smallest || r.area() < smallest->area()) smallest = r;
  }
  const double least = smallest->area();
  // Straight edges give the direction without the chords of a curved outline.
  std::vector<std::pair<double, Vec2>> straight;
  for (const part::Edge& edge : body.edges) {
    if (edge.shape != part::EdgeShape::Line || edge.points.size() < 2) continue;
    const Vec3 d = edge.points.back() - edge.points.front();
    const Vec2 flat{dot(u, d), dot(v, d)};
    if (norm(flat) > 0.999 * norm(d) && norm(flat) > 0)
      straight.push_back({toMm(edge.length), flat * (1.0 / norm(flat))});
  }
  std::stable_sort(straight.begin(), straight.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
  straight.resize(std::min(straight.size(), kEdgeDirections));
  std::optional<Rectangle> chosen;
  for (const auto& [ignored, d] : straight) {
    const Rectangle r = around(points, d);
    if (r.area() <= kStraightEdgeSlack * least && (!chosen || r.area() < chosen->area())) chosen = r;
  }
  for (const Vec3 axis : {Vec3{1, 0, 0}, Vec3{0, 1, 0}, Vec3{0, 0, 1}}) {
    const Vec2 flat{dot(u, axis), dot(v, axis)};
    if (norm(flat) < 1 - 1e-9) continue;
    const Rectangle r = around(points, flat * (1.0 / norm(flat)));
    if (r.area() <= kPlainBoxSlack * least) {
      chosen = r;
      break;
    }
  }
  const Rectangle r = chosen.value_or(*smallest);
  const bool longer = r.width >= r.height * (1 - 1e-6);
  const Vec2 d = longer ? r.direction : perp(r.direction);
  return u * d.x + v * d.y;
}

}  // namespace

Frame plateFrame(const part::Body& body) {
  Vec3 up = plateNormal(body);
  if (outerSense(body, up) < 0) up = -up;
  Frame frame;
  frame.z = snapToAxis(up);
  frame.x = snapToAxis(positiveSense(longDirection(body, frame.z)));
  frame.y = cross(frame.z, frame.x);
  Box3 box;
  for (const Vec3 p : body.mesh.points) box.add(frame.turn(p));
  if (!box.empty()) frame.shift = {-box.centre().x, -box.centre().y, -box.min.z};
  return frame;
}

}  // namespace chipledger::setup
