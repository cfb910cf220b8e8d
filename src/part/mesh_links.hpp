#pragma once
// Which triangle lies across each side of a triangle.
#include <chipledger/part/part.hpp>

#include <array>
#include <cstdint>
#include <vector>

namespace chipledger::part {

struct MeshLinks {
  /// Per triangle and side k (corner k to corner k + 1): the neighbour that walks the side the other way; -1: none.
  std::vector<std::array<std::int32_t, 3>> neighbours;
  std::size_t looseSides{};  ///< sides without a neighbour: 0 for a closed, oriented mesh
};

/// O(n log n). Where more than two triangles share a side, they are paired in index order.
MeshLinks linkTriangles(const std::vector<std::array<std::int32_t, 3>>& triangles, std::size_t pointCount);

/// Fills rings of loose sides that enclose no more than `mostArea_mm2` with fans of triangles, each given to the
/// smallest of the faces around the ring: slivers the kernel's triangulation left out. Keeps the triangles sorted by
/// face.
void closeCracks(Mesh& mesh, double mostArea_mm2);

}  // namespace chipledger::part
