#include "kernel_faces.hpp"

#include "canonical.hpp"
#include "kernel_convert.hpp"
#include "tolerances.hpp"

#include <BRepLProp_SLProps.hxx>
#include <BRepTools.hxx>
#include <BRepTopAdaptor_FClass2d.hxx>
#include <BRep_Tool.hxx>
#include <Poly_Triangulation.hxx>
#include <Precision.hxx>
#include <TopExp.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <gp_Cone.hxx>
#include <gp_Cylinder.hxx>
#include <gp_Pln.hxx>
#include <gp_Sphere.hxx>
#include <gp_Torus.hxx>

#include <algorithm>
#include <cmath>
#include <limits>

namespace chipledger::part {
namespace {

/// Share by which the curvature of a fillet stored as a spline may vary.
constexpr double kSameCurvature = 0.01;
constexpr int kSamples = 5, kFineSamples = 25, kFormSamples = 7;

struct ParameterBox {
  double u0{}, u1{}, v0{}, v1{};
};

struct Sampled {
  std::vector<FaceSample> samples;
  std::vector<gp_Pnt2d> at;
};

Sampled sampleGrid(const BRepAdaptor_Surface& surface, bool reversed, const ParameterBox& box, int n,
                   BRepTopAdaptor_FClass2d* inside, std::size_t most) {
  Sampled out;
  for (int i = 0; i < n; ++i)
    for (int j = 0; j < n && out.samples.size() < most; ++j) {
      const double u = box.u0 + (i + 0.5) / n * (box.u1 - box.u0), v = box.v0 + (j + 0.5) / n * (box.v1 - box.v0);
      if (inside != nullptr && inside->Perform(gp_Pnt2d(u, v), Standard_False) != TopAbs_IN) continue;
      Vec3 point;
      const Vec3 normal = outwardNormal(surface, reversed, u, v, &point);
      if (norm(normal) == 0.0) continue;
      out.samples.push_back({point, normal});
      out.at.emplace_back(u, v);
    }
  return out;
}

/// The middle of the face's largest triangle: inside even where no grid point is.
Sampled sampleTriangle(const TopoDS_Face& face, const BRepAdaptor_Surface& surface, bool reversed) {
  Sampled out;
  TopLoc_Location place;
  const Handle(Poly_Triangulation) mesh = BRep_Tool::Triangulation(face, place);
  if (mesh.IsNull() || !mesh->HasUVNodes()) return out;
  double best = 0.0;
  gp_Pnt2d middle;
  for (Standard_Integer t = 1; t <= mesh->NbTriangles(); ++t) {
    Standard_Integer a = 0, b = 0, c = 0;
    mesh->Triangle(t).Get(a, b, c);
    const double area = norm(cross(vec(mesh->Node(b)) - vec(mesh->Node(a)), vec(mesh->Node(c)) - vec(mesh->Node(a))));
    if (area <= best) continue;
    best = area;
    middle.SetXY((mesh->UVNode(a).XY() + mesh->UVNode(b).XY() + mesh->UVNode(c).XY()) / 3.0);
  }
  Vec3 point;
  const Vec3 normal = outwardNormal(surface, reversed, middle.X(), middle.Y(), &point);
  if (best > 0.0 && norm(normal) > 0.0) {
    out.samples.push_back({point, normal});
    out.at.push_back(middle);
  }
  return out;
}

Vec3 fromAxis(const Face& face, Vec3 point) {
  const Vec3 d = point - face.origin;
  return d - face.axis * dot(face.axis, d);
}

/// Strongest curvature of a freeform face: which way it bends, and its radius where that is the same all over (a
/// rolling-ball fillet along any edge has it, however it is stored).
void takeCurvature(Face& face, const BRepAdaptor_Surface& surface, bool reversed, const std::vector<gp_Pnt2d>& at) {
  double sum = 0.0, least = std::numeric_limits<double>::infinity(), most = -least;
  for (const gp_Pnt2d& p : at) {
    BRepLProp_SLProps props(surface, p.X(), p.Y(), 2, Precision::Confusion());
    if (!props.IsCurvatureDefined()) continue;
    const double low = props.MinCurvature(), high = props.MaxCurvature();
    const double strongest = std::abs(low) > std::abs(high) ? low : high;
    sum += strongest;
    least = std::min(least, strongest);
    most = std::max(most, strongest);
  }
  face.hollow = reversed ? sum < 0 : sum > 0;
  constexpr double kFlat = 1e-4;  // per mm: beyond a radius of 10 m nothing is a fillet
  const double middle = 0.5 * (least + most);
  if (std::abs(middle) > kFlat && most - least < kSameCurvature * std::abs(middle))
    face.minorRadius = mm(1.0 / std::abs(middle));
}

void takeForm(Face& face, const Form& form) {
  face.kind = form.kind;
  face.disguised = true;
  face.origin = form.origin;
  face.axis = form.kind == SurfaceKind::Plane ? form.axis : signedAxis(form.axis);
  face.radius = mm(form.radius);
  face.halfAngle = radians(form.halfAngle);
  face.hollow = form.hollow;
}

/// Fills what the stored surface says. False: it may be hiding another form.
bool takeStored(Face& face, const BRepAdaptor_Surface& surface, const FaceSample& sample) {
  switch (surface.GetType()) {
    case GeomAbs_Plane:
      face.kind = SurfaceKind::Plane;
      face.origin = vec(surface.Plane().Location());
      face.axis = sample.normal;
      return true;
    case GeomAbs_Cylinder:
      face.kind = SurfaceKind::Cylinder;
      face.origin = vec(surface.Cylinder().Location());
      face.axis = signedAxis(vec(surface.Cylinder().Axis().Direction()));
      face.radius = mm(surface.Cylinder().Radius());
      face.hollow = dot(fromAxis(face, sample.point), sample.normal) < 0;
      return true;
    case GeomAbs_Cone:
      face.kind = SurfaceKind::Cone;
      face.origin = vec(surface.Cone().Apex());
      face.axis = signedAxis(vec(surface.Cone().Axis().Direction()));
      face.halfAngle = radians(std::abs(surface.Cone().SemiAngle()));
      face.hollow = dot(fromAxis(face, sample.point), sample.normal) < 0;
      return true;
    case GeomAbs_Sphere:
      face.kind = SurfaceKind::Sphere;
      face.origin = vec(surface.Sphere().Location());
      face.axis = {0, 0, 1};
      face.radius = mm(surface.Sphere().Radius());
      face.hollow = dot(sample.point - face.origin, sample.normal) < 0;
      return true;
    case GeomAbs_Torus: {
      face.kind = SurfaceKind::Torus;
      face.origin = vec(surface.Torus().Location());
      face.axis = signedAxis(vec(surface.Torus().Axis().Direction()));
      face.radius = mm(surface.Torus().MajorRadius());
      face.minorRadius = mm(surface.Torus().MinorRadius());
      const Vec3 tube = face.origin + unit(fromAxis(face, sample.point)) * toMm(face.radius);
      face.hollow = dot(sample.point - tube, sample.normal) < 0;
      return true;
    }
    case GeomAbs_SurfaceOfExtrusion:
      face.kind = SurfaceKind::Extrusion;
      face.axis = signedAxis(vec(surface.Direction()));
      face.origin = sample.point;
      return false;
    case GeomAbs_SurfaceOfRevolution:
      face.kind = SurfaceKind::Revolution;
      face.axis = signedAxis(vec(surface.AxeOfRevolution().Direction()));
      face.origin = vec(surface.AxeOfRevolution().Location());
      return false;
    case GeomAbs_BezierSurface:
    case GeomAbs_BSplineSurface:
      face.kind = SurfaceKind::Spline;
      face.origin = sample.point;
      return false;
    default:
      face.kind = SurfaceKind::Other;
      face.origin = sample.point;
      return false;
  }
}

Face describe(const TopoDS_Face& shape, const BRepAdaptor_Surface& surface) {
  Face face;
  const bool reversed = shape.Orientation() == TopAbs_REVERSED;
  ParameterBox box;
  BRepTools::UVBounds(shape, box.u0, box.u1, box.v0, box.v1);
  BRepTopAdaptor_FClass2d inside(shape, Precision::PConfusion());
  constexpr std::size_t kAll = kSamples * kSamples;
  Sampled sampled = sampleGrid(surface, reversed, box, kSamples, &inside, kAll);
  if (sampled.samples.empty()) sampled = sampleGrid(surface, reversed, box, kFineSamples, &inside, kAll);
  if (sampled.samples.empty()) sampled = sampleTriangle(shape, surface, reversed);
  if (sampled.samples.empty()) sampled = sampleGrid(surface, reversed, box, 1, nullptr, 1);
  if (sampled.samples.empty()) return face;
  if (!takeStored(face, surface, sampled.samples.front())) {
    const auto form =
        recogniseForm(sampleGrid(surface, reversed, box, kFormSamples, nullptr, kFormSamples * kFormSamples).samples);
    if (form) {
      takeForm(face, *form);
    } else {
      takeCurvature(face, surface, reversed, sampled.at);
    }
  }
  face.samples = std::move(sampled.samples);
  return face;
}

}  // namespace

KernelFaces kernelFaces(const TopoDS_Shape& solid) {
  KernelFaces faces;
  TopExp::MapShapes(solid, TopAbs_FACE, faces.map);
  for (Standard_Integer f = 1; f <= faces.map.Extent(); ++f)
    faces.surfaces.push_back(std::make_unique<BRepAdaptor_Surface>(TopoDS::Face(faces.map(f)), Standard_False));
  return faces;
}

Vec3 outwardNormal(const BRepAdaptor_Surface& surface, bool reversed, double u, double v, Vec3* point) {
  gp_Pnt p;
  gp_Vec du, dv;
  surface.D1(u, v, p, du, dv);
  if (point != nullptr) *point = vec(p);
  const Vec3 n = cross(vec(du), vec(dv));
  const double length = norm(n);
  if (!(length > Precision::Confusion() * Precision::Confusion())) return {};
  return n * ((reversed ? -1.0 : 1.0) / length);
}

std::vector<Face> faceTable(const KernelFaces& faces, const std::vector<FaceIntegral>& integrals, const Mesh& mesh) {
  std::vector<Face> table;
  for (Standard_Integer f = 1; f <= faces.map.Extent(); ++f) {
    const auto index = static_cast<std::size_t>(f - 1);
    Face face = describe(TopoDS::Face(faces.map(f)), *faces.surfaces[index]);
    face.id = {f - 1};
    face.area = mm2(integrals[index].area);
    table.push_back(std::move(face));
  }
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    for (const std::int32_t corner : mesh.triangles[t])
      table[static_cast<std::size_t>(mesh.triangleFace[t])].box.add(mesh.points[static_cast<std::size_t>(corner)]);
  return table;
}

}  // namespace chipledger::part
