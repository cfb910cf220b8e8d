#pragma once
// A part as read from a STEP file, without any kernel type: exact measures, face table, edges, triangles.
// Units: mm, part coordinates as in the file (converted to mm). Faces, edges and triangles are indexed from 0 in the
// order of the solid's faces in the file; that order is the identity used by JSON, labels and details.
#include <chipledger/geometry/vec.hpp>
#include <chipledger/result/result.hpp>
#include <chipledger/units/quantity.hpp>

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace chipledger::part {

struct FaceId {
  int index{-1};
  auto operator<=>(const FaceId&) const = default;
};
struct EdgeId {
  int index{-1};
  auto operator<=>(const EdgeId&) const = default;
};

/// The true form of a face: planes and cylinders stored as B-splines are reported as what they are.
enum class SurfaceKind { Plane, Cylinder, Cone, Sphere, Torus, Extrusion, Revolution, Spline, Other };
const char* word(SurfaceKind kind);

struct Colour {
  double red{}, green{}, blue{};  ///< 0..1, sRGB
  bool operator==(const Colour&) const = default;
};

struct FaceSample {
  Vec3 point;   ///< on the trimmed face
  Vec3 normal;  ///< outward (away from material), unit length
};

/// A closed border of a face: edges in walking order, material of the face to the left seen from outside.
struct FaceLoop {
  struct Use {
    EdgeId edge;
    bool reversed{};  ///< walked against the edge's own point order
  };
  std::vector<Use> uses;
  bool outer{};
};

struct Face {
  FaceId id;
  std::string name;              ///< from the file; may be empty
  std::optional<Colour> colour;  ///< from the file
  SurfaceKind kind{SurfaceKind::Other};
  bool disguised{};       ///< stored as a B-spline (or swept surface) but truly a plane, cylinder, cone or sphere
  Vec3 origin;            ///< a point of the plane; a point on the axis; centre of a sphere or torus; apex of a cone
  Vec3 axis;              ///< outward normal of a plane; direction of the axis (sign by largest component > 0)
  Length radius{};        ///< cylinder, sphere; major radius of a torus; 0 for a cone
  Length minorRadius{};   ///< torus; freeform face whose strongest curvature is the same all over (a fillet): its radius
  Angle halfAngle{};      ///< cone
  bool hollow{};          ///< curved face with the material outside (bore, root fillet): true; boss, round: false
  Area area{};
  Box3 box;
  std::vector<FaceLoop> loops;
  std::vector<FaceSample> samples;  ///< at least one; 5 x 5 in the parameter box where inside
};

enum class Sense { Smooth, Convex, Concave };  ///< of the solid along the edge
const char* word(Sense sense);

enum class EdgeShape { Line, Circle, Other };

struct Edge {
  EdgeId id;
  FaceId left, right;        ///< the two faces; equal on a seam; right.index == -1 on an open border
  Sense sense{Sense::Smooth};
  Angle angle{};             ///< signed dihedral turn: > 0 convex, < 0 concave, |.| < 0.02 rad smooth
  EdgeShape shape{EdgeShape::Other};
  Vec3 centre, axis;         ///< circles
  Length radius{};           ///< circles
  Length length{};
  std::vector<Vec3> points;  ///< from start to end, chords within 0.002 mm of the curve
};

/// Triangles with outward orientation; within `deflection_mm` of the true surface.
struct Mesh {
  std::vector<Vec3> points;  ///< welded: neighbours share indices
  std::vector<std::array<std::int32_t, 3>> triangles;
  std::vector<std::int32_t> triangleFace;  ///< face index per triangle; non-decreasing
  double deflection_mm{};
};

/// One distinct solid with its quantity.
struct Body {
  std::string name;
  std::optional<Colour> colour;
  int quantity{1};          ///< identical solids (same fingerprint) in the file
  Volume volume{};          ///< Gauss-Kronrod integration over the true surfaces, checked against the mesh
  bool volumeCertain{true}; ///< false when the two routes differ by more than 1e-3: a note says so
  Area area{};
  Box3 box;                 ///< tight
  std::vector<Face> faces;
  std::vector<Edge> edges;
  Mesh mesh;
  std::string fingerprint;  ///< same geometry in another file, unit, place or orientation: same string; not its mirror image
};

struct Part {
  std::string file;    ///< as given
  std::string schema;  ///< AP203, AP214, AP242 as the file says
  std::string unit;    ///< length unit the file states: "mm", "inch", "m", ...; empty when it states none
  std::vector<Body> bodies;  ///< largest volume first
  int declaredBodies{};      ///< solids named in the text of the file
  double readSeconds{};      ///< for the progress line only; never in results
  Notes notes;
};

}  // namespace chipledger::part
