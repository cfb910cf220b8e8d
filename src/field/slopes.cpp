#include "field/slopes.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

namespace chipledger::field {
namespace {

constexpr double kVertical = 1e-4;        // |cos| of the normal to z below which a triangle is a wall
constexpr double kLevelRise_mm = 0.0005;  // a triangle of a level face rises by rounding only
constexpr double kBeyond_mm = 0.004;      // of the region's border: what stands out less is the mesh's own error
constexpr double kLeast_mm2 = 1e-6;

/// The part of a polygon on one side of a height.
std::vector<Vec3> cutOff(const std::vector<Vec3>& polygon, double z_mm, bool above) {
  std::vector<Vec3> kept;
  const auto in = [&](const Vec3& p) { return above ? p.z >= z_mm : p.z <= z_mm; };
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const Vec3 a = polygon[i], b = polygon[(i + 1) % polygon.size()];
    if (in(a)) kept.push_back(a);
    if (in(a) != in(b)) kept.push_back(a + (b - a) * ((z_mm - a.z) / (b.z - a.z)));
  }
  return kept;
}

/// A region's sides by bands of y, to ask for many places.
class Sides {
public:
  explicit Sides(const Region& region) : box_(box(region)), bands_(kBands) {
    for (const Ring& ring : region.rings)
      for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
        const std::size_t last = band(std::max(ring[i].y, ring[j].y));
        for (std::size_t b = band(std::min(ring[i].y, ring[j].y)); b <= last; ++b)
          bands_[b].push_back({ring[i], ring[j]});
      }
  }
  bool hold(Vec2 p) const {
    if (p.x < box_.min.x || p.x > box_.max.x || p.y < box_.min.y || p.y > box_.max.y) return false;
    bool inside = false;
    for (const auto& [a, b] : bands_[band(p.y)])
      if ((a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x) inside = !inside;
    return inside;
  }

private:
  static constexpr std::size_t kBands = 128;
  std::size_t band(double y) const {
    const double high = box_.max.y - box_.min.y;
    const double at = high > 0 ? (y - box_.min.y) / high * static_cast<double>(kBands) : 0.0;
    return std::min(kBands - 1, static_cast<std::size_t>(std::max(0.0, at)));
  }
  Box2 box_;
  std::vector<std::vector<std::pair<Vec2, Vec2>>> bands_;
};

bool standsOut(const Ring& ring, const Sides& region) {
  Vec2 middle{};
  for (std::size_t i = 0; i < ring.size(); ++i) {
    if (!region.hold(ring[i]) || !region.hold((ring[i] + ring[(i + 1) % ring.size()]) * 0.5)) return true;
    middle = middle + ring[i] * (1.0 / static_cast<double>(ring.size()));
  }
  return !region.hold(middle);
}

}  // namespace

Slopes::Slopes(const part::Mesh& mesh) {
  for (const auto& t : mesh.triangles) {
    Slope s;
    for (std::size_t k = 0; k < 3; ++k) s.corner[k] = mesh.points[static_cast<std::size_t>(t[k])];
    const Vec3 n = cross(s.corner[1] - s.corner[0], s.corner[2] - s.corner[0]);
    s.low = std::min({s.corner[0].z, s.corner[1].z, s.corner[2].z});
    s.high = std::max({s.corner[0].z, s.corner[1].z, s.corner[2].z});
    if (norm(n) <= 0 || std::abs(n.z) < kVertical * norm(n) || s.high - s.low <= kLevelRise_mm) continue;
    looking_[n.z > 0 ? 1 : 0].push_back(s);
  }
  for (auto& slopes : looking_)
    std::stable_sort(slopes.begin(), slopes.end(), [](const Slope& a, const Slope& b) { return a.low < b.low; });
}

Region Slopes::beyond(const Region& region, double low_mm, double high_mm, bool up) const {
  std::optional<Sides> grown;
  std::vector<Ring> out;
  for (const Slope& s : looking_[up ? 1 : 0]) {
    if (s.low >= high_mm) break;
    if (s.high <= low_mm) continue;
    std::vector<Vec3> polygon(s.corner, s.corner + 3);
    if (s.low < low_mm) polygon = cutOff(polygon, low_mm, true);
    if (s.high > high_mm) polygon = cutOff(polygon, high_mm, false);
    Ring ring;
    for (const Vec3& p : polygon) ring.push_back(p.xy());
    const double size = signedArea(ring);
    if (ring.size() < 3 || std::abs(size) < kLeast_mm2) continue;
    if (size < 0) std::reverse(ring.begin(), ring.end());
    if (!grown && !region.empty()) grown.emplace(offset(region, kBeyond_mm));
    if (!grown || standsOut(ring, *grown)) out.push_back(std::move(ring));
  }
  return out.empty() ? Region{} : clean(out);
}

}  // namespace chipledger::field
