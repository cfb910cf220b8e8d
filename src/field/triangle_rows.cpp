#include "field/triangle_rows.hpp"

#include <cmath>

namespace chipledger::field {

namespace {
constexpr double kWall = 1e-6;  // |cos| of the normal to z below which a triangle covers no cell
}

std::vector<SlicedTriangle> sliceTriangles(const part::Mesh& mesh, const GridSpec& spec) {
  std::vector<SlicedTriangle> out;
  out.reserve(mesh.triangles.size());
  const double h = spec.cell();
  for (std::size_t k = 0; k < mesh.triangles.size(); ++k) {
    const auto& t = mesh.triangles[k];
    const Vec3 p[3] = {mesh.points[static_cast<std::size_t>(t[0])], mesh.points[static_cast<std::size_t>(t[1])],
                       mesh.points[static_cast<std::size_t>(t[2])]};
    const double yLow = std::min({p[0].y, p[1].y, p[2].y}), yHigh = std::max({p[0].y, p[1].y, p[2].y});
    SlicedTriangle s;
    const double a = (yLow - spec.y0_mm) / h - 0.5, b = (yHigh - spec.y0_mm) / h - 0.5;
    if (b < 0 || a > spec.ny - 1) continue;
    s.firstRow = a <= 0 ? 0 : static_cast<int>(std::ceil(a - 1e-9));
    s.lastRow = b >= spec.ny - 1 ? spec.ny - 1 : static_cast<int>(std::floor(b + 1e-9));
    if (s.firstRow > s.lastRow) continue;
    const Vec3 n = cross(p[1] - p[0], p[2] - p[0]);
    if (std::abs(n.z) <= kWall * norm(n)) continue;
    s.up = n.z > 0;
    s.face = k < mesh.triangleFace.size() ? mesh.triangleFace[k] : -1;
    s.x = p[0].x;
    s.y = p[0].y;
    s.z = p[0].z;
    s.slopeX = -n.x / n.z;
    s.slopeY = -n.y / n.z;
    s.zLow = std::min({p[0].z, p[1].z, p[2].z});
    s.zHigh = std::max({p[0].z, p[1].z, p[2].z});
    for (int e = 0; e < 3; ++e) {
      int u = e, v = (e + 1) % 3;
      if (t[static_cast<std::size_t>(u)] > t[static_cast<std::size_t>(v)]) std::swap(u, v);
      SlicedTriangle::Edge& edge = s.edges[e];
      edge.low = std::min(p[u].y, p[v].y);
      edge.high = std::max(p[u].y, p[v].y);
      edge.x = p[u].x;
      edge.y = p[u].y;
      edge.lean = edge.high > edge.low ? (p[v].x - p[u].x) / (p[v].y - p[u].y) : 0.0;
    }
    out.push_back(s);
  }
  return out;
}

}  // namespace chipledger::field
