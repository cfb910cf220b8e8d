#include <chipledger/part/section.hpp>

#include "mesh_links.hpp"

#include <algorithm>
#include <cmath>

namespace chipledger::part {
namespace {

/// Slabs per triangle in the limit: enough that a section looks at few triangles that it does not cut.
constexpr std::size_t kMostSlabs = 512;
/// Rings below this area are folds of the rounding of a vertex, mm2.
constexpr double kLeastRingArea = 1e-12;
/// Sine of the angle between two triangles of one plane: what rounding makes of it, even where they are slender.
constexpr double kOnePlane = 1e-9;
/// The ends of an upright edge are no farther apart in plan.
constexpr double kUpright_mm = 1e-9;

int sideFrom(const std::array<bool, 3>& above, bool startsAbove) {
  for (int k = 0; k < 3; ++k)
    if (above[static_cast<std::size_t>(k)] == startsAbove &&
        above[static_cast<std::size_t>((k + 1) % 3)] != startsAbove)
      return k;
  return -1;
}

/// Joins open chains end to nearest start until all are rings; O(n^2) in the few chains of a damaged mesh.
void closeChains(std::vector<Ring> chains, std::vector<Ring>& rings) {
  while (!chains.empty()) {
    Ring ring = std::move(chains.front());
    chains.erase(chains.begin());
    while (true) {
      std::size_t nearest = chains.size();
      double best = norm(ring.back() - ring.front());
      for (std::size_t i = 0; i < chains.size(); ++i) {
        const double gap = norm(chains[i].front() - ring.back());
        if (gap < best) {
          best = gap;
          nearest = i;
        }
      }
      if (nearest == chains.size()) break;
      ring.insert(ring.end(), chains[nearest].begin(), chains[nearest].end());
      chains.erase(chains.begin() + static_cast<std::ptrdiff_t>(nearest));
    }
    rings.push_back(std::move(ring));
  }
}

/// Drops repeated points; a ring that has no area left is empty.
Ring tidy(const Ring& ring) {
  Ring out;
  out.reserve(ring.size());
  for (const Vec2 p : ring)
    if (out.empty() || !(out.back() == p)) out.push_back(p);
  while (out.size() > 1 && out.front() == out.back()) out.pop_back();
  if (out.size() < 3 || std::abs(signedArea(out)) < kLeastRingArea) out.clear();
  return out;
}

}  // namespace

Region section(const Mesh& mesh, const Frame& toSetup, double height_mm) {
  return SectionCutter(mesh, toSetup).at(height_mm);
}

SectionCutter::SectionCutter(const Mesh& mesh, const Frame& toSetup) : triangles_(mesh.triangles) {
  points_.reserve(mesh.points.size());
  for (const Vec3 p : mesh.points) points_.push_back(toSetup.apply(p));
  neighbours_ = linkTriangles(triangles_, points_.size()).neighbours;
  if (points_.empty()) return;
  findDiagonals();
  const auto [low, high] =
      std::minmax_element(points_.begin(), points_.end(), [](const Vec3& a, const Vec3& b) { return a.z < b.z; });
  lowest_ = low->z;
  highest_ = high->z;

  const std::size_t slabs = std::clamp<std::size_t>(triangles_.size() / 16, 1, kMostSlabs);
  slabStart_.assign(slabs + 1, 0);
  const auto range = [&](const std::array<std::int32_t, 3>& t) {
    const double a = points_[static_cast<std::size_t>(t[0])].z, b = points_[static_cast<std::size_t>(t[1])].z,
                 c = points_[static_cast<std::size_t>(t[2])].z;
    return std::pair{slabOf(std::min({a, b, c})), slabOf(std::max({a, b, c}))};
  };
  for (const auto& triangle : triangles_) {
    const auto [first, last] = range(triangle);
    for (std::size_t s = first; s <= last; ++s) ++slabStart_[s + 1];
  }
  for (std::size_t s = 1; s <= slabs; ++s) slabStart_[s] += slabStart_[s - 1];
  slabTriangles_.resize(slabStart_[slabs]);
  std::vector<std::uint32_t> fill(slabStart_.begin(), slabStart_.end() - 1);
  for (std::size_t t = 0; t < triangles_.size(); ++t) {
    const auto [first, last] = range(triangles_[t]);
    for (std::size_t s = first; s <= last; ++s) slabTriangles_[fill[s]++] = static_cast<std::uint32_t>(t);
  }
}

void SectionCutter::findDiagonals() {
  std::vector<Vec3> normals;
  normals.reserve(triangles_.size());
  const auto point = [&](std::int32_t p) { return points_[static_cast<std::size_t>(p)]; };
  for (const auto& t : triangles_) normals.push_back(cross(point(t[1]) - point(t[0]), point(t[2]) - point(t[0])));
  diagonal_.assign(triangles_.size(), {});
  for (std::size_t t = 0; t < triangles_.size(); ++t)
    for (std::size_t k = 0; k < 3; ++k) {
      if (neighbours_[t][k] < 0) continue;
      const Vec3 a = normals[t], b = normals[static_cast<std::size_t>(neighbours_[t][k])];
      diagonal_[t][k] = dot(a, b) > 0 && norm(cross(a, b)) <= kOnePlane * norm(a) * norm(b);
    }
}

std::size_t SectionCutter::slabOf(double height_mm) const {
  const std::size_t slabs = slabStart_.size() - 1;
  const double span = highest_ - lowest_;
  if (!(span > 0)) return 0;
  const double at = (height_mm - lowest_) / span * static_cast<double>(slabs);
  return std::min(slabs - 1, static_cast<std::size_t>(std::max(0.0, at)));
}

/// Always from the lower corner index, so both triangles of a side give the same point to the last bit.
Vec2 SectionCutter::crossing(std::int32_t triangle, int side, double height_mm) const {
  const auto& corners = triangles_[static_cast<std::size_t>(triangle)];
  const auto [from, to] =
      std::minmax(corners[static_cast<std::size_t>(side)], corners[static_cast<std::size_t>((side + 1) % 3)]);
  const Vec3 a = points_[static_cast<std::size_t>(from)], b = points_[static_cast<std::size_t>(to)];
  if (std::abs(b.x - a.x) <= kUpright_mm && std::abs(b.y - a.y) <= kUpright_mm) return a.xy();
  const double f = (height_mm - a.z) / (b.z - a.z);
  return {a.x + f * (b.x - a.x), a.y + f * (b.y - a.y)};
}

Region SectionCutter::at(double height_mm) const {
  Region region;
  if (!(height_mm > lowest_) || !(height_mm <= highest_)) return region;

  // Each triangle that crosses the plane carries one piece: in over the side that goes down, out over the one going up.
  struct Piece {
    std::int32_t triangle;
    int in, out;
    bool used;
  };
  std::vector<Piece> pieces;
  const std::size_t slab = slabOf(height_mm);
  for (std::uint32_t i = slabStart_[slab]; i < slabStart_[slab + 1]; ++i) {
    const auto& corners = triangles_[slabTriangles_[i]];
    std::array<bool, 3> above{};
    for (std::size_t k = 0; k < 3; ++k) above[k] = points_[static_cast<std::size_t>(corners[k])].z >= height_mm;
    if (above[0] == above[1] && above[1] == above[2]) continue;
    pieces.push_back(
        {static_cast<std::int32_t>(slabTriangles_[i]), sideFrom(above, true), sideFrom(above, false), false});
  }
  const auto pieceOf = [&](std::int32_t triangle) -> Piece* {
    if (triangle < 0) return nullptr;
    const auto found = std::lower_bound(pieces.begin(), pieces.end(), triangle,
                                        [](const Piece& p, std::int32_t t) { return p.triangle < t; });
    return found != pieces.end() && found->triangle == triangle ? &*found : nullptr;
  };

  std::vector<Ring> rings, openChains;
  const auto walk = [&](Piece* piece) {
    Ring ring;
    const auto add = [&](int side) {
      if (!diagonal_[static_cast<std::size_t>(piece->triangle)][static_cast<std::size_t>(side)])
        ring.push_back(crossing(piece->triangle, side, height_mm));
    };
    add(piece->in);
    while (piece != nullptr && !piece->used) {
      piece->used = true;
      add(piece->out);
      piece = pieceOf(neighbours_[static_cast<std::size_t>(piece->triangle)][static_cast<std::size_t>(piece->out)]);
    }
    return ring;
  };
  for (Piece& piece : pieces)  // starts of open chains first, so that they are not cut in two
    if (pieceOf(neighbours_[static_cast<std::size_t>(piece.triangle)][static_cast<std::size_t>(piece.in)]) == nullptr)
      openChains.push_back(walk(&piece));
  for (Piece& piece : pieces)
    if (!piece.used) rings.push_back(walk(&piece));
  closeChains(std::move(openChains), rings);

  for (const Ring& ring : rings)
    if (Ring out = tidy(ring); !out.empty()) region.rings.push_back(std::move(out));
  return region;
}

}  // namespace chipledger::part
