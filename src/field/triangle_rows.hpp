#pragma once
// Cell centres under the triangles of a closed mesh, row by row. Each centre is covered exactly once by the upward and
// once by the downward triangles of one sheet, also on shared edges: an edge crosses a row at one place, whichever
// triangle asks, and the right end of a run is open.
#include <chipledger/field/grid.hpp>
#include <chipledger/part/part.hpp>

#include <algorithm>
#include <vector>

namespace chipledger::field {

/// One triangle that is no wall, ready for rows.
struct SlicedTriangle {
  struct Edge {
    double low{}, high{};     ///< y range, half open
    double x{}, y{}, lean{};  ///< a point and dx/dy
  };
  Edge edges[3];
  double x{}, y{}, z{}, slopeX{}, slopeY{};  ///< its plane
  double zLow{}, zHigh{};
  int firstRow{}, lastRow{};
  std::int32_t face{};
  bool up{};
};

inline int ceilInt(double v) {
  const int k = static_cast<int>(v);
  return k + (static_cast<double>(k) < v ? 1 : 0);
}

/// Triangles that reach the rows of the grid, in the order of the mesh.
std::vector<SlicedTriangle> sliceTriangles(const part::Mesh& mesh, const GridSpec& spec);

/// Columns [first, end) of row centre y under the triangle; false when none.
inline bool runOf(const SlicedTriangle& t, const GridSpec& spec, double y, int& first, int& end) {
  double left = 1e300, right = -1e300;
  for (const SlicedTriangle::Edge& e : t.edges) {
    if (y < e.low || y >= e.high) continue;
    const double x = e.x + (y - e.y) * e.lean;
    left = std::min(left, x);
    right = std::max(right, x);
  }
  if (left >= right) return false;
  const double h = spec.cell();
  const double a = (left - spec.x0_mm) / h - 0.5, b = (right - spec.x0_mm) / h - 0.5;
  if (b <= 0 || a > spec.nx - 1) return false;
  first = a <= 0 ? 0 : ceilInt(a);
  end = b > spec.nx - 1 ? spec.nx : ceilInt(b);
  return first < end;
}

/// Height of the triangle's plane over a cell, kept within the triangle's own range, um.
inline std::int32_t heightUm(const SlicedTriangle& t, double x, double y) {
  const double z = t.z + (x - t.x) * t.slopeX + (y - t.y) * t.slopeY;
  const double kept = std::min(std::max(z, t.zLow), t.zHigh);
  constexpr double kBias = 1048576.0;  // heights lie within +-1 m
  return static_cast<std::int32_t>(kept * 1000.0 + (kBias + 0.5)) - static_cast<std::int32_t>(kBias);
}

}  // namespace chipledger::field
