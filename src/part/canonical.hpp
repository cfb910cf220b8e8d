#pragma once
// The true form behind points and normals: plane, sphere, cylinder or cone, however the face was stored. Each form is a
// linear least-squares fit (p = c + r n for round forms; n . (p - apex) = 0 and n . axis constant for a cone), taken
// only when every point and every normal obeys it.
#include <chipledger/part/part.hpp>

#include <optional>
#include <vector>

namespace chipledger::part {

struct Form {
  SurfaceKind kind{SurfaceKind::Plane};
  Vec3 origin, axis;  ///< as in Face
  double radius{}, halfAngle{};
  bool hollow{};
};

/// Samples from all over the face, outward normals; at least nine. Bounds: Tolerances::form_mm and formNormal.
std::optional<Form> recogniseForm(const std::vector<FaceSample>& samples);

}  // namespace chipledger::part
