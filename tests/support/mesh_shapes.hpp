#pragma once
// Closed triangle meshes of stacked slabs, made by hand without a CAD kernel: plates with pockets, islands, holes,
// chamfers and domes. Volumes are exact for the polygons used. mm.
#include <chipledger/geometry/polygon.hpp>
#include <chipledger/part/part.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numbers>
#include <vector>

namespace shapes {

using chipledger::Region;
using chipledger::Ring;
using chipledger::Vec2;
using chipledger::Vec3;

/// Metal between two heights. `upper` differs from `lower` on slopes only: same rings, same number of points.
struct Slab {
  double low{}, high{};
  Region lower, upper;
  Slab(double z0, double z1, Region region) : low(z0), high(z1), lower(region), upper(std::move(region)) {}
  Slab(double z0, double z1, Region below, Region above)
      : low(z0), high(z1), lower(std::move(below)), upper(std::move(above)) {}
};

class MeshMaker {
public:
  void triangle(Vec3 a, Vec3 b, Vec3 c) {
    if (chipledger::norm(chipledger::cross(b - a, c - a)) < 1e-12) return;
    mesh_.triangles.push_back({point(a), point(b), point(c)});
    mesh_.triangleFace.push_back(face_);
  }
  void quad(Vec3 a, Vec3 b, Vec3 c, Vec3 d) {
    triangle(a, b, c);
    triangle(a, c, d);
  }
  /// Level face over a region, as trapezoids between the heights of its points.
  void level(const Region& region, double z, bool up) {
    std::vector<double> rows;
    for (const Ring& r : region.rings)
      for (Vec2 p : r) rows.push_back(p.y);
    std::sort(rows.begin(), rows.end());
    rows.erase(std::unique(rows.begin(), rows.end()), rows.end());
    for (std::size_t k = 0; k + 1 < rows.size(); ++k) {
      const double y0 = rows[k], y1 = rows[k + 1];
      std::vector<std::array<double, 2>> sides;  // x at y0 and y1
      for (const Ring& r : region.rings) {
        for (std::size_t i = 0; i < r.size(); ++i) {
          Vec2 a = r[i], b = r[(i + 1) % r.size()];
          if (a.y > b.y) std::swap(a, b);
          if (a.y > y0 || b.y < y1 || a.y == b.y) continue;
          const auto at = [&](double y) {
            return y == a.y ? a.x : y == b.y ? b.x : a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y);
          };
          sides.push_back({at(y0), at(y1)});
        }
      }
      std::sort(sides.begin(), sides.end(), [](const auto& a, const auto& b) { return a[0] + a[1] < b[0] + b[1]; });
      for (std::size_t i = 0; i + 1 < sides.size(); i += 2) {
        const Vec3 a{sides[i][0], y0, z}, b{sides[i + 1][0], y0, z}, c{sides[i + 1][1], y1, z}, d{sides[i][1], y1, z};
        if (up)
          quad(a, b, c, d);
        else
          quad(a, d, c, b);
      }
    }
    ++face_;
  }
  void walls(const Slab& s) {
    for (std::size_t r = 0; r < s.lower.rings.size(); ++r) {
      const Ring &a = s.lower.rings[r], &b = s.upper.rings.at(r);
      for (std::size_t i = 0; i < a.size(); ++i) {
        const std::size_t n = (i + 1) % a.size();
        quad({a[i].x, a[i].y, s.low}, {a[n].x, a[n].y, s.low}, {b.at(n).x, b.at(n).y, s.high},
             {b[i].x, b[i].y, s.high});
      }
      ++face_;
    }
  }
  chipledger::part::Mesh take() { return std::move(mesh_); }

private:
  std::int32_t point(Vec3 p) {
    const std::array<double, 3> key{p.x, p.y, p.z};
    const auto [at, fresh] = index_.try_emplace(key, static_cast<std::int32_t>(mesh_.points.size()));
    if (fresh) mesh_.points.push_back(p);
    return at->second;
  }
  chipledger::part::Mesh mesh_;
  std::map<std::array<double, 3>, std::int32_t> index_;
  std::int32_t face_{};
};

/// A body of slabs stacked upwards without gaps in z. Its volume by the prismoid rule, exact for straight slopes.
inline chipledger::part::Body body(const std::vector<Slab>& slabs) {
  MeshMaker maker;
  double volume = 0;
  for (std::size_t k = 0; k <= slabs.size(); ++k) {
    const double z = k < slabs.size() ? slabs[k].low : slabs.back().high;
    const Region under = k > 0 ? slabs[k - 1].upper : Region{}, over = k < slabs.size() ? slabs[k].lower : Region{};
    maker.level(chipledger::subtract(over, under), z, false);
    maker.level(chipledger::subtract(under, over), z, true);
    if (k == slabs.size()) break;
    maker.walls(slabs[k]);
    const double a = chipledger::area(slabs[k].lower), b = chipledger::area(slabs[k].upper);
    Region middle = slabs[k].lower;
    for (std::size_t r = 0; r < middle.rings.size(); ++r)
      for (std::size_t i = 0; i < middle.rings[r].size(); ++i)
        middle.rings[r][i] = (middle.rings[r][i] + slabs[k].upper.rings[r][i]) * 0.5;
    volume += (slabs[k].high - slabs[k].low) * (a + 4 * chipledger::area(middle) + b) / 6;
  }
  chipledger::part::Body out;
  out.mesh = maker.take();
  out.volume = chipledger::mm3(volume);
  for (Vec3 p : out.mesh.points) out.box.add(p);
  return out;
}

/// Polygon of n corners inscribed in a circle; `hole` turns it clockwise.
inline Ring circle(Vec2 centre, double radius, int n = 96) {
  Ring ring;
  for (int i = 0; i < n; ++i) {
    const double a = 2 * std::numbers::pi * i / n;
    ring.push_back({centre.x + radius * std::cos(a), centre.y + radius * std::sin(a)});
  }
  return ring;
}
inline Region round(Vec2 centre, double radius, int n = 96) { return {{circle(centre, radius, n)}}; }
inline Region box(double x0, double y0, double x1, double y1) { return chipledger::rectangle({x0, y0}, {x1, y1}); }

/// A plate 30 x 20, 2 thick, pocket from above to 1.2, island to 5, through hole and a pocket from below to 0.6.
struct Plate {
  Region outline = box(0, 0, 30, 20), pocket = box(16, 4, 26, 12), island = round({7, 10}, 3),
         hole = round({13, 15}, 1.5), relief = box(20, 13, 28, 18);
  double back = 0, reliefCeiling = 0.6, pocketFloor = 1.2, top = 2, islandTop = 5;
};
inline chipledger::part::Body plateWithIsland(const Plate& p = {}) {
  using chipledger::subtract;
  const Region full = subtract(p.outline, p.hole);
  return body({{p.back, p.reliefCeiling, subtract(full, p.relief)},
               {p.reliefCeiling, p.pocketFloor, full},
               {p.pocketFloor, p.top, subtract(full, p.pocket)},
               {p.top, p.islandTop, p.island}});
}

}  // namespace shapes
