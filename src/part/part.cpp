#include <chipledger/part/part.hpp>

namespace chipledger::part {

const char* word(SurfaceKind kind) {
  switch (kind) {
    case SurfaceKind::Plane:
      return "plane";
    case SurfaceKind::Cylinder:
      return "cylinder";
    case SurfaceKind::Cone:
      return "cone";
    case SurfaceKind::Sphere:
      return "sphere";
    case SurfaceKind::Torus:
      return "torus";
    case SurfaceKind::Extrusion:
      return "extrusion";
    case SurfaceKind::Revolution:
      return "revolution";
    case SurfaceKind::Spline:
      return "spline";
    case SurfaceKind::Other:
      return "other";
  }
  return "other";
}

const char* word(Sense sense) {
  switch (sense) {
    case Sense::Smooth:
      return "smooth";
    case Sense::Convex:
      return "convex";
    case Sense::Concave:
      return "concave";
  }
  return "smooth";
}

}  // namespace chipledger::part
