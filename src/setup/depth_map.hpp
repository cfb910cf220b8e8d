#pragma once
// What a spindle sees of a body: highest triangle per cell, looking down one direction (orthographic).
#include <chipledger/part/part.hpp>

#include <vector>

namespace chipledger::setup {

class DepthMap {
public:
  /// `towards`: unit vector from the part to the spindle. Cells of `cell_mm`; triangles are sampled at cell centres.
  DepthMap(const part::Mesh& mesh, Vec3 towards, double cell_mm);
  /// True when nothing lies above p (beyond one cell of slack) in p's column.
  bool free(Vec3 p) const;
  double top() const { return top_; }  ///< highest point along the direction

private:
  Vec3 across_, along_, towards_;
  double x0_{}, y0_{}, cell_, top_{};
  int nx_{}, ny_{};
  std::vector<float> height_;
};

/// How one direction sees one face.
struct FaceView {
  bool seen{};      ///< at most a tenth of the samples look away and at least four fifths are free
  bool wall{};      ///< the face runs along the direction
  double weight{};  ///< 1 for floors and bores; walls min(1, (reach / depth)^2)
};

/// Views of all faces of `body` from `towards`. A wall deeper than `reach_mm` counts less: long cutters bend.
std::vector<FaceView> lookAt(const part::Body& body, Vec3 towards, double cell_mm, double reach_mm);

}  // namespace chipledger::setup
