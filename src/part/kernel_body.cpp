#include "kernel_body.hpp"

#include "face_integral.hpp"
#include "fingerprint.hpp"
#include "inside_check.hpp"
#include "kernel_box.hpp"
#include "kernel_edges.hpp"
#include "kernel_faces.hpp"
#include "kernel_mesh.hpp"
#include "mesh_links.hpp"
#include "tolerances.hpp"

#include <fmt/format.h>
#include <BRepBndLib.hxx>
#include <BRepGProp.hxx>
#include <Bnd_Box.hxx>
#include <GProp_GProps.hxx>
#include <TopExp.hxx>
#include <TopTools_IndexedMapOfShape.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>

#include <algorithm>
#include <cmath>

namespace chipledger::part {
namespace {

Box3 roughBox(const TopoDS_Shape& solid) {
  Bnd_Box box;
  BRepBndLib::Add(solid, box, Standard_False);
  Box3 out;
  if (box.IsVoid()) return out;
  Standard_Real x0 = 0, y0 = 0, z0 = 0, x1 = 0, y1 = 0, z1 = 0;
  box.Get(x0, y0, z0, x1, y1, z1);
  out.add({x0, y0, z0});
  out.add({x1, y1, z1});
  return out;
}

bool agree(double a, double b, double turn_rad) {
  // The chords of a circle lose a share of its area that grows with the square of the turn.
  const double coarse = std::max(1.0, turn_rad / kTolerances.turn_rad);
  return std::abs(a - b) <= kTolerances.volumesAgree * coarse * coarse * std::max(std::abs(a), std::abs(b));
}

/// The kernel's own Gauss-Kronrod rule: slower than ours and a third opinion.
double kernelVolume(const TopoDS_Shape& solid) {
  constexpr double kBound = 1e-5;
  GProp_GProps props;
  BRepGProp::VolumePropertiesGK(solid, props, kBound, Standard_True);
  return props.Mass();
}

struct Measured {
  Mesh mesh;
  double volume{};
  bool certain{true};
};

/// Volume by integration, held against the mesh; where they differ, a finer mesh and then the kernel's rule decide.
Measured measure(const TopoDS_Shape& solid, const KernelFaces& faces, double integral, double diagonal) {
  TopTools_IndexedMapOfShape edges;
  TopExp::MapShapes(solid, TopAbs_EDGE, edges);
  MeshFineness fineness = finenessFor(diagonal, edges.Extent());
  Measured out{meshSolid(solid, faces.map, fineness), integral, true};
  if (agree(integral, toMm3(meshVolume(out.mesh)), fineness.turn_rad)) return out;
  constexpr double kFiner = 0.25;
  fineness.deflection_mm *= kFiner;
  fineness.turn_rad *= 0.5;
  Mesh finer = meshSolid(solid, faces.map, fineness);
  const double byMesh = toMm3(meshVolume(finer));
  if (agree(integral, byMesh, fineness.turn_rad))
    return out;  // the first mesh was only coarse for this shape; it stays, being small
  out.mesh = std::move(finer);
  const double byKernel = kernelVolume(solid);
  out.certain = agree(byKernel, byMesh, fineness.turn_rad);
  out.volume = out.certain ? byKernel : byMesh;
  return out;
}

}  // namespace

Result<Body> describeSolid(const KernelSolid& solid, const KernelPart& part, const std::string& file, Notes& notes) {
  TopoDS_Shape shape = solid.shape;
  const auto bad = [&](std::string what, std::string next) {
    return fault(FaultCode::BadFile, file, std::move(what), std::move(next));
  };
  const Box3 rough = roughBox(shape);
  if (rough.empty() || !std::isfinite(norm(rough.size())))
    return bad("A solid in the file has no size.", "Export the part again and check it in the drawing program.");
  const Vec3 about = rough.centre();

  const auto integrate = [&](const KernelFaces& faces, double& volume, double& area) {
    std::vector<FaceIntegral> integrals;
    volume = area = 0.0;
    for (Standard_Integer f = 1; f <= faces.map.Extent(); ++f) {
      integrals.push_back(integrateFace(TopoDS::Face(faces.map(f)), about));
      volume += integrals.back().flux / 3.0;
      area += integrals.back().area;
    }
    return integrals;
  };
  KernelFaces faces = kernelFaces(shape);
  double volume = 0.0, area = 0.0;
  std::vector<FaceIntegral> integrals = integrate(faces, volume, area);
  if (volume < 0.0) {  // inside out: all faces look inward
    shape.Reverse();
    faces = kernelFaces(shape);
    integrals = integrate(faces, volume, area);
    notes.push_back(
        {NoteSeverity::Doubt, "inside-out", "The solid's faces look inward; it was turned the right way.", solid.name});
  }
  Measured measured = measure(shape, faces, volume, norm(rough.size()));
  const std::size_t loose = linkTriangles(measured.mesh.triangles, measured.mesh.points.size()).looseSides;

  Body body;
  body.name = solid.name;
  body.colour = solid.colour;
  body.volume = mm3(measured.volume);
  body.volumeCertain = measured.certain;
  body.area = mm2(area);
  body.faces = faceTable(faces, integrals, measured.mesh);
  body.edges = edgeTable(faces, body.faces);
  body.mesh = std::move(measured.mesh);
  body.box = tightBox(faces, body.mesh);
  for (Face& face : body.faces) {
    const void* key = faces.map(face.id.index + 1).TShape().get();
    if (const auto name = part.faceNames.find(key); name != part.faceNames.end()) face.name = name->second;
    if (const auto colour = part.colours.find(key); colour != part.colours.end()) face.colour = colour->second;
  }

  const auto alike = [&](const Face& f) { return f.colour && f.colour == body.faces.front().colour; };
  if (!body.colour && std::all_of(body.faces.begin(), body.faces.end(), alike)) body.colour = body.faces.front().colour;

  const auto open =
      std::count_if(body.edges.begin(), body.edges.end(), [](const Edge& e) { return e.right.index < 0; });
  if (open > 0)
    return bad(fmt::format("A solid is not closed: {} of its edges border on nothing, so a face has been lost.", open),
               "Close the body in the drawing program (repair or stitch), then export it again.");
  if (!(measured.volume > 0.0))
    return bad("A solid in the file encloses no volume.", "Export the part again and check it in the drawing program.");
  Vec3 lean{};
  for (const FaceIntegral& face : integrals) lean = lean + face.lean;
  if (norm(lean) > kTolerances.lean_share * area)
    notes.push_back(
        {NoteSeverity::Doubt, "not-tight",
         fmt::format("The faces do not close up by {:.3f} mm2: one of them is wrong in form or trimmed wrongly.",
                     norm(lean)),
         solid.name});
  if (loose > 0)
    notes.push_back(
        {NoteSeverity::Doubt, "mesh-open",
         fmt::format("The triangles of the body leave {} sides open; figures taken from them may be off.", loose),
         solid.name});
  if (!measured.certain)
    notes.push_back({NoteSeverity::Doubt, "volume-uncertain",
                     fmt::format("The volume is uncertain: {:.2f} mm3 by integration, {:.2f} mm3 by triangles.", volume,
                                 measured.volume),
                     solid.name});
  if (const auto misplaced = misplacedFaces(body); !misplaced.empty())
    notes.push_back({NoteSeverity::Doubt, "faces-cross",
                     fmt::format("{} faces (first: {}) do not have metal behind and air before them: the solid crosses "
                                 "itself or a face is wrong.",
                                 misplaced.size(), misplaced.front().index),
                     solid.name});
  body.fingerprint = fingerprint(body, integrals, about);
  return body;
}

}  // namespace chipledger::part
