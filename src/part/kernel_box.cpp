#include "kernel_box.hpp"

#include "kernel_convert.hpp"

#include <BRepAdaptor_Curve.hxx>
#include <BRepTools.hxx>
#include <BRepTopAdaptor_FClass2d.hxx>
#include <BRep_Tool.hxx>
#include <Poly_Triangulation.hxx>
#include <Precision.hxx>
#include <TopExp.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Face.hxx>

#include <algorithm>
#include <cmath>
#include <functional>

namespace chipledger::part {
namespace {

/// Largest value of a function with one hump between two places, by golden section.
double climb(const std::function<double(double)>& f, double from, double to, double& at) {
  constexpr double kGolden = 0.6180339887498949;
  constexpr int kSteps = 45;  // shrinks the span by 4e-10, where a hump is flat to rounding
  double a = to - kGolden * (to - from), b = from + kGolden * (to - from);
  double fa = f(a), fb = f(b);
  for (int i = 0; i < kSteps; ++i) {
    if (fa < fb) {
      from = a;
      a = b;
      fa = fb;
      b = from + kGolden * (to - from);
      fb = f(b);
    } else {
      to = b;
      b = a;
      fb = fa;
      a = to - kGolden * (to - from);
      fa = f(a);
    }
  }
  at = 0.5 * (from + to);
  return f(at);
}

constexpr int kCurveSteps = 32;

/// Extreme of an edge along `d`; coarse walk first, so that the hump found is the highest.
double extreme(const BRepAdaptor_Curve& curve, Vec3 d) {
  const double from = curve.FirstParameter(), to = curve.LastParameter();
  const auto f = [&](double t) { return dot(vec(curve.Value(t)), d); };
  int best = 0;
  double most = f(from);
  for (int i = 1; i <= kCurveSteps; ++i)
    if (const double here = f(from + (to - from) * i / kCurveSteps); here > most) {
      most = here;
      best = i;
    }
  if (curve.GetType() == GeomAbs_Line) return most;
  const double step = (to - from) / kCurveSteps;
  double at = 0.0;
  return std::max(most, climb(f, std::max(from, from + (best - 1) * step), std::min(to, from + (best + 1) * step), at));
}

/// Extreme of a face along `d` around its highest triangle corner, climbing along u and v in turn; nothing higher
/// outside the face counts (its border is the edges' business).
double extreme(const TopoDS_Face& face, const BRepAdaptor_Surface& surface, Vec3 d) {
  constexpr double kNone = -std::numeric_limits<double>::infinity();
  TopLoc_Location place;
  const Handle(Poly_Triangulation) mesh = BRep_Tool::Triangulation(face, place);
  if (mesh.IsNull() || !mesh->HasUVNodes()) return kNone;
  double most = kNone;
  gp_Pnt2d at;
  for (Standard_Integer i = 1; i <= mesh->NbNodes(); ++i)
    if (const double here = dot(vec(mesh->Node(i).Transformed(place.Transformation())), d); here > most) {
      most = here;
      at = mesh->UVNode(i);
    }
  Standard_Real u0 = 0, u1 = 0, v0 = 0, v1 = 0;
  BRepTools::UVBounds(face, u0, u1, v0, v1);
  constexpr double kWindow = 1.0 / 16.0;  // of the face: several triangles each way
  constexpr int kRounds = 4;
  double u = at.X(), v = at.Y(), value = most;
  for (int round = 0; round < kRounds; ++round) {
    const auto alongU = [&](double x) { return dot(vec(surface.Value(x, v)), d); };
    value = climb(alongU, std::max(u0, u - kWindow * (u1 - u0)), std::min(u1, u + kWindow * (u1 - u0)), u);
    const auto alongV = [&](double x) { return dot(vec(surface.Value(u, x)), d); };
    value = climb(alongV, std::max(v0, v - kWindow * (v1 - v0)), std::min(v1, v + kWindow * (v1 - v0)), v);
  }
  if (value <= most) return most;
  BRepTopAdaptor_FClass2d inside(face, Precision::PConfusion());
  return inside.Perform(gp_Pnt2d(u, v)) == TopAbs_OUT ? most : value;
}

}  // namespace

Box3 tightBox(const KernelFaces& faces, const Mesh& mesh) {
  Box3 box;
  for (const Vec3 p : mesh.points) box.add(p);
  if (box.empty()) return box;

  std::vector<Box3> faceBoxes(faces.surfaces.size());
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    for (const std::int32_t corner : mesh.triangles[t])
      faceBoxes[static_cast<std::size_t>(mesh.triangleFace[t])].add(mesh.points[static_cast<std::size_t>(corner)]);
  const double margin = 2.0 * mesh.deflection_mm;
  constexpr Vec3 kSides[]{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {-1, 0, 0}, {0, -1, 0}, {0, 0, -1}};
  std::array<double, 6> reach{box.max.x, box.max.y, box.max.z, -box.min.x, -box.min.y, -box.min.z};
  for (std::size_t f = 0; f < faceBoxes.size(); ++f) {
    if (faceBoxes[f].empty()) continue;
    const TopoDS_Face face = TopoDS::Face(faces.map(static_cast<Standard_Integer>(f + 1)));
    const Box3& b = faceBoxes[f];
    const std::array<double, 6> own{b.max.x, b.max.y, b.max.z, -b.min.x, -b.min.y, -b.min.z};
    for (std::size_t side = 0; side < 6; ++side) {
      const bool flatAcross = own[side] + own[(side + 3) % 6] < mesh.deflection_mm;  // a flat side of the box itself
      if (own[side] < reach[side] - margin || flatAcross) continue;
      if (faces.surfaces[f]->GetType() != GeomAbs_Plane)
        reach[side] = std::max(reach[side], extreme(face, *faces.surfaces[f], kSides[side]));
      TopTools_IndexedMapOfShape edges;
      TopExp::MapShapes(face, TopAbs_EDGE, edges);
      for (Standard_Integer e = 1; e <= edges.Extent(); ++e)
        if (!BRep_Tool::Degenerated(TopoDS::Edge(edges(e))))
          reach[side] = std::max(reach[side], extreme(BRepAdaptor_Curve(TopoDS::Edge(edges(e))), kSides[side]));
    }
  }
  box.max = {reach[0], reach[1], reach[2]};
  box.min = {-reach[3], -reach[4], -reach[5]};
  return box;
}

}  // namespace chipledger::part
