#pragma once
// Plane cuts through the triangles of a body.
#include <chipledger/geometry/polygon.hpp>
#include <chipledger/geometry/vec.hpp>
#include <chipledger/part/part.hpp>

namespace chipledger::part {

/// Cuts the mesh, moved by `toSetup`, with the plane z = height. Vertices at or above the height count as above, so at
/// the exact height of a floor the answer is the section just below it. All rings closed; outer rings counter-clockwise
/// seen from +z. Error: the mesh deflection. O(triangles that cross the plane + triangles).
Region section(const Mesh& mesh, const Frame& toSetup, double height_mm);

/// The mesh moved into a frame once, for many sections; triangles sorted by lowest z.
class SectionCutter {
 public:
  SectionCutter(const Mesh& mesh, const Frame& toSetup);
  Region at(double height_mm) const;
  double lowest() const;
  double highest() const;

 private:
  std::vector<Vec3> points_;
  std::vector<std::array<std::int32_t, 3>> triangles_;
  std::vector<double> low_, high_;
};

}  // namespace chipledger::part
