#pragma once
// Sloped triangles of a body in plan: what a shadow holds beside the sections it is made of.
//   metal over z at p  <=>  p lies in the section at z, or metal begins over z along p: in a triangle that looks down
// Sections at the ends of a slope alone leave out the triangle between two of them where its side runs aslant.
#include <chipledger/geometry/polygon.hpp>
#include <chipledger/part/part.hpp>

#include <vector>

namespace chipledger::field {

class Slopes {
public:
  explicit Slopes(const part::Mesh& mesh);
  /// What the triangles that look up (or down) show in plan between two heights and `region` does not hold; empty for
  /// most. O(triangles between the heights * corners of the region).
  Region beyond(const Region& region, double low_mm, double high_mm, bool up) const;

private:
  struct Slope {
    Vec3 corner[3];
    double low{}, high{};
  };
  std::vector<Slope> looking_[2];  ///< down, up; by rising low end
};

}  // namespace chipledger::field
