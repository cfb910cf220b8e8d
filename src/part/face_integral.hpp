#pragma once
// Area, flux and first moments of a trimmed face by Green's theorem: an inner Gauss rule along v, exact between knots,
// inside an outer adaptive Gauss-Kronrod rule along the face's border in (u, v).
//   integral over D of f du dv = - closed integral of F du,  F(u, v) = integral of f from v0 to v
// so a round hole costs one curve, not a grid. Exact to rounding on planes, cylinders and cones with straight or round
// borders. Contributions of faces add up: the volume is a third of the sum of the fluxes.
#include <chipledger/geometry/vec.hpp>

#include <TopoDS_Face.hxx>

namespace chipledger::part {

struct FaceIntegral {
  double area{};       ///< mm2
  double flux{};       ///< of (p - about) along the outward normal, mm3
  Vec3 first{};        ///< integral of (p - about) over the area
  Vec3 lean{};         ///< integral of the outward normal, mm2: sums to zero over a closed surface
  bool settled{true};  ///< the outer rule reached its bound
};

FaceIntegral integrateFace(const TopoDS_Face& face, Vec3 about);

}  // namespace chipledger::part
