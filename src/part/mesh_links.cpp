#include "mesh_links.hpp"

namespace chipledger::part {

MeshLinks linkTriangles(const std::vector<std::array<std::int32_t, 3>>& triangles, std::size_t pointCount) {
  // Sides bucketed by their first corner: a mesh corner has about six sides, so the partner is found in a short scan.
  std::vector<std::uint32_t> start(pointCount + 1, 0);
  for (const auto& triangle : triangles)
    for (const std::int32_t corner : triangle) ++start[static_cast<std::size_t>(corner) + 1];
  for (std::size_t i = 1; i <= pointCount; ++i) start[i] += start[i - 1];
  struct Side {
    std::int32_t to, triangle;
    std::int8_t side;
  };
  std::vector<Side> sides(3 * triangles.size());
  std::vector<std::uint32_t> fill(start.begin(), start.end() - 1);
  for (std::size_t t = 0; t < triangles.size(); ++t)
    for (std::size_t k = 0; k < 3; ++k) {
      const auto from = static_cast<std::size_t>(triangles[t][k]);
      sides[fill[from]++] = {triangles[t][(k + 1) % 3], static_cast<std::int32_t>(t), static_cast<std::int8_t>(k)};
    }

  MeshLinks links;
  links.neighbours.assign(triangles.size(), {-1, -1, -1});
  for (std::size_t t = 0; t < triangles.size(); ++t)
    for (std::size_t k = 0; k < 3; ++k) {
      if (links.neighbours[t][k] >= 0) continue;
      const std::int32_t from = triangles[t][k];
      const auto to = static_cast<std::size_t>(triangles[t][(k + 1) % 3]);
      for (std::uint32_t i = start[to]; i < start[to + 1]; ++i) {
        const Side& other = sides[i];
        auto& back = links.neighbours[static_cast<std::size_t>(other.triangle)][static_cast<std::size_t>(other.side)];
        if (other.to != from || back >= 0) continue;
        back = static_cast<std::int32_t>(t);
        links.neighbours[t][k] = other.triangle;
        break;
      }
      if (links.neighbours[t][k] < 0) ++links.looseSides;
    }
  return links;
}

}  // namespace chipledger::part
