#pragma once
// Plane cuts through the triangles of a body.
#include <chipledger/geometry/polygon.hpp>
#include <chipledger/geometry/vec.hpp>
#include <chipledger/part/part.hpp>

#include <cstdint>
#include <vector>

namespace chipledger::part {

/// Cuts the mesh, moved by `toSetup`, with the plane z = height. Vertices at or above the height count as above, so at
/// the exact height of a floor the answer is the section just below it. All rings closed; outer rings counter-clockwise
/// seen from +z. Error: the mesh deflection. O(triangles that cross the plane + triangles).
Region section(const Mesh& mesh, const Frame& toSetup, double height_mm);

/// The mesh moved into a frame once, for many sections. Each triangle knows its three neighbours and stands in the
/// slabs of height it touches, so a section costs O(triangles of one slab) and is walked from neighbour to neighbour
/// without any tolerance. An open mesh still gives closed rings: loose ends are joined to the nearest loose start.
/// Rings turn at edges of the part, not at the diagonals that its plane faces were cut into: between two levels of
/// upright walls every section has the same points to the last bit.
class SectionCutter {
public:
  SectionCutter(const Mesh& mesh, const Frame& toSetup);
  Region at(double height_mm) const;
  double lowest() const { return lowest_; }
  double highest() const { return highest_; }

private:
  Vec2 crossing(std::int32_t triangle, int side, double height_mm) const;
  void findDiagonals();
  std::size_t slabOf(double height_mm) const;

  std::vector<Vec3> points_;
  std::vector<std::array<std::int32_t, 3>> triangles_;
  std::vector<std::array<std::int32_t, 3>> neighbours_;  ///< across side k (corner k to k + 1); -1: none
  std::vector<std::array<bool, 3>> diagonal_;            ///< side k runs inside a plane that both triangles lie in
  std::vector<std::uint32_t> slabStart_, slabTriangles_;
  double lowest_{}, highest_{};
};

}  // namespace chipledger::part
