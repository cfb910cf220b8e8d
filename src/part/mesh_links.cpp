#include "mesh_links.hpp"

#include <algorithm>

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

namespace {

struct LooseSide {
  std::int32_t from{}, to{}, face{};
  bool used{};
};

/// Rings of loose sides, walked so that triangles over them face outward.
std::vector<std::vector<LooseSide>> looseRings(const Mesh& mesh, const MeshLinks& links) {
  std::vector<LooseSide> sides;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    for (std::size_t k = 0; k < 3; ++k)
      if (links.neighbours[t][k] < 0)
        sides.push_back({mesh.triangles[t][(k + 1) % 3], mesh.triangles[t][k], mesh.triangleFace[t], false});
  std::vector<std::vector<LooseSide>> rings;
  for (LooseSide& first : sides) {
    std::vector<LooseSide> ring;
    for (LooseSide* at = &first; at != nullptr && !at->used;) {
      at->used = true;
      ring.push_back(*at);
      const auto next =
          std::find_if(sides.begin(), sides.end(), [&](const LooseSide& s) { return !s.used && s.from == at->to; });
      at = next == sides.end() ? nullptr : &*next;
    }
    if (ring.size() >= 3 && ring.back().to == ring.front().from) rings.push_back(std::move(ring));
  }
  return rings;
}

}  // namespace

void closeCracks(Mesh& mesh, double mostArea_mm2) {
  const MeshLinks links = linkTriangles(mesh.triangles, mesh.points.size());
  constexpr std::size_t kMostLooseSides = 10'000;  // beyond that the solid is open, not cracked
  if (links.looseSides == 0 || links.looseSides > kMostLooseSides) return;
  const auto at = [&](std::int32_t i) { return mesh.points[static_cast<std::size_t>(i)]; };
  std::vector<std::int32_t> size;
  for (const std::int32_t face : mesh.triangleFace) {
    size.resize(std::max(size.size(), static_cast<std::size_t>(face) + 1));
    ++size[static_cast<std::size_t>(face)];
  }
  std::vector<std::pair<std::int32_t, std::array<std::int32_t, 3>>> all;
  for (const auto& ring : looseRings(mesh, links)) {
    double area = 0.0;
    std::int32_t face = ring.front().face;
    for (const LooseSide& side : ring) {
      area += 0.5 * norm(cross(at(side.from) - at(ring.front().from), at(side.to) - at(ring.front().from)));
      if (size[static_cast<std::size_t>(side.face)] < size[static_cast<std::size_t>(face)]) face = side.face;
    }
    if (area > mostArea_mm2) continue;
    for (std::size_t i = 1; i + 1 < ring.size(); ++i)
      all.push_back({face, {ring.front().from, ring[i].from, ring[i].to}});
  }
  if (all.empty()) return;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) all.emplace_back(mesh.triangleFace[t], mesh.triangles[t]);
  std::stable_sort(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  mesh.triangles.clear();
  mesh.triangleFace.clear();
  for (const auto& [face, triangle] : all) {
    mesh.triangles.push_back(triangle);
    mesh.triangleFace.push_back(face);
  }
}

}  // namespace chipledger::part
