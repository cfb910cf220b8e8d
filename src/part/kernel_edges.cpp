#include "kernel_edges.hpp"

#include "kernel_convert.hpp"
#include "tolerances.hpp"

#include <BRepAdaptor_Curve.hxx>
#include <BRepTools.hxx>
#include <BRep_Tool.hxx>
#include <GCPnts_AbscissaPoint.hxx>
#include <GCPnts_TangentialDeflection.hxx>
#include <Geom2d_Curve.hxx>
#include <TopExp.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Face.hxx>
#include <TopoDS_Iterator.hxx>
#include <TopoDS_Vertex.hxx>
#include <TopoDS_Wire.hxx>
#include <gp_Circ.hxx>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace chipledger::part {
namespace {

/// Where along an edge its sense is taken: away from the ends, where blends run out.
constexpr std::array<double, 3> kSenseAt{0.2, 0.5, 0.8};
constexpr double kPolylineTurn_rad = 0.3;
constexpr double kFinestStep_rad = 1e-3;   ///< of a circle's polyline, however large the circle
constexpr double kLength_mm = 1e-7;        ///< of a curve's length: a tenth of what modelling programs call one point
constexpr double kLargestRadius_mm = 1e5;  ///< beyond, a circle through points is noise

/// One use of an edge by a face; `edge` as the forward face has it, so that a seam gives its own side.
struct Use {
  int edge{};
  int face{};
  TopoDS_Edge inFace;
  bool reversed{};  ///< walked against the edge, seen from outside
};

void polyline(const BRepAdaptor_Curve& curve, Edge& edge) {
  const double from = curve.FirstParameter(), to = curve.LastParameter();
  if (curve.GetType() == GeomAbs_Line) {
    edge.shape = EdgeShape::Line;
    edge.points = {vec(curve.Value(from)), vec(curve.Value(to))};
    edge.length = mm(norm(edge.points[1] - edge.points[0]));
    return;
  }
  if (curve.GetType() == GeomAbs_Circle) {
    const gp_Circ circle = curve.Circle();
    edge.shape = EdgeShape::Circle;
    edge.centre = vec(circle.Location());
    edge.axis = signedAxis(vec(circle.Axis().Direction()));
    edge.radius = mm(circle.Radius());
    edge.length = edge.radius * (to - from);
    const double step = 2.0 * std::acos(std::max(0.0, 1.0 - kTolerances.polyline_mm / circle.Radius()));
    const int parts = std::max({2, static_cast<int>(std::ceil((to - from) / std::max(step, kFinestStep_rad))),
                                static_cast<int>(std::ceil((to - from) / kPolylineTurn_rad))});
    for (int i = 0; i <= parts; ++i) edge.points.push_back(vec(curve.Value(from + (to - from) * i / parts)));
    return;
  }
  edge.length = mm(GCPnts_AbscissaPoint::Length(curve, from, to, kLength_mm));
  const GCPnts_TangentialDeflection points(curve, from, to, kPolylineTurn_rad, 0.5 * kTolerances.polyline_mm);
  for (Standard_Integer i = 1; i <= points.NbPoints(); ++i) edge.points.push_back(vec(points.Value(i)));
}

/// A line or circle stored as a spline.
void recogniseShape(Edge& edge) {
  if (edge.shape != EdgeShape::Other || edge.points.size() < 2) return;
  const Vec3 a = edge.points.front(), b = edge.points.back();
  const double chord = norm(b - a);
  const auto offLine = [&](Vec3 p) { return norm(cross(p - a, b - a)) / chord; };
  if (chord > kTolerances.form_mm &&
      std::all_of(edge.points.begin(), edge.points.end(), [&](Vec3 p) { return offLine(p) < kTolerances.form_mm; })) {
    edge.shape = EdgeShape::Line;
    return;
  }
  if (edge.points.size() < 5) return;
  // Circle through start, a third and two thirds of the way (a closed edge ends where it starts).
  const Vec3 m = edge.points[edge.points.size() / 3], c = edge.points[2 * edge.points.size() / 3];
  const Vec3 u = m - a, v = c - a, w = cross(u, v);
  const double w2 = dot(w, w);
  if (!(w2 > 0)) return;
  const Vec3 centre = a + (cross(w, u) * dot(v, v) + cross(v, w) * dot(u, u)) * (0.5 / w2);
  const double radius = norm(a - centre);
  const Vec3 axis = unit(w);
  for (const Vec3 p : edge.points)
    if (std::abs(norm(p - centre) - radius) > kTolerances.form_mm ||
        std::abs(dot(axis, p - centre)) > kTolerances.form_mm)
      return;
  if (radius > kLargestRadius_mm) return;
  edge.shape = EdgeShape::Circle;
  edge.centre = centre;
  edge.axis = signedAxis(axis);
  edge.radius = mm(radius);
}

Vec3 normalAt(const KernelFaces& faces, const Use& use, double t) {
  const TopoDS_Face face = TopoDS::Face(faces.map(use.face + 1));
  Standard_Real from = 0, to = 0;
  const Handle(Geom2d_Curve) border =
      BRep_Tool::CurveOnSurface(use.inFace, TopoDS::Face(face.Oriented(TopAbs_FORWARD)), from, to);
  if (border.IsNull()) return {};
  const gp_Pnt2d at = border->Value(t);
  return outwardNormal(*faces.surfaces[static_cast<std::size_t>(use.face)], face.Orientation() == TopAbs_REVERSED,
                       at.X(), at.Y());
}

/// Signed turn of the surface across the edge, of the largest size of three places.
Angle dihedral(const KernelFaces& faces, const BRepAdaptor_Curve& curve, const Use& left, const Use& right) {
  double turn = 0.0;
  for (const double f : kSenseAt) {
    const double t = curve.FirstParameter() + f * (curve.LastParameter() - curve.FirstParameter());
    gp_Pnt p;
    gp_Vec d;
    curve.D1(t, p, d);
    const Vec3 along = unit(vec(d)), a = normalAt(faces, left, t), b = normalAt(faces, right, t);
    if (norm(a) == 0.0 || norm(b) == 0.0) continue;
    const double here = std::atan2(dot(cross(a, b), along), dot(a, b));
    if (std::abs(here) > std::abs(turn)) turn = here;
  }
  return radians(turn);
}

/// Uses of a wire in walking order. The reader leaves them in order; a wire that is not is put right by its corners.
std::vector<Use> walk(std::vector<Use> uses) {
  const auto start = [](const Use& u) { return TopExp::FirstVertex(u.inFace, Standard_True); };
  const auto end = [](const Use& u) { return TopExp::LastVertex(u.inFace, Standard_True); };
  for (std::size_t i = 0; i + 1 < uses.size(); ++i) {
    if (end(uses[i]).IsSame(start(uses[i + 1]))) continue;
    for (std::size_t j = i + 2; j < uses.size(); ++j)
      if (end(uses[i]).IsSame(start(uses[j]))) {
        std::swap(uses[i + 1], uses[j]);
        break;
      }
  }
  return uses;
}

/// The loops of one face as uses.
std::vector<std::vector<Use>> usesOf(const TopoDS_Face& face, int faceIndex, TopTools_IndexedMapOfShape& edges) {
  std::vector<std::vector<Use>> loops;
  const TopoDS_Face forward = TopoDS::Face(face.Oriented(TopAbs_FORWARD));
  const bool turned = face.Orientation() == TopAbs_REVERSED;
  const TopoDS_Wire outer = BRepTools::OuterWire(forward);
  for (TopoDS_Iterator wires(forward); wires.More(); wires.Next()) {
    if (wires.Value().ShapeType() != TopAbs_WIRE) continue;
    std::vector<Use> uses;
    for (TopoDS_Iterator it(wires.Value()); it.More(); it.Next()) {
      const TopoDS_Edge edge = TopoDS::Edge(it.Value());
      if (edge.Orientation() != TopAbs_FORWARD && edge.Orientation() != TopAbs_REVERSED) continue;
      if (BRep_Tool::Degenerated(edge)) continue;
      const bool against = edge.Orientation() == TopAbs_REVERSED;
      uses.push_back({edges.Add(edge) - 1, faceIndex, edge, against != turned});
    }
    uses = walk(std::move(uses));
    if (turned) std::reverse(uses.begin(), uses.end());
    if (uses.empty()) continue;
    if (wires.Value().IsSame(outer)) {
      loops.insert(loops.begin(), std::move(uses));  // outer first
    } else {
      loops.push_back(std::move(uses));
    }
  }
  return loops;
}

}  // namespace

std::vector<Edge> edgeTable(const KernelFaces& faces, std::vector<Face>& table) {
  TopTools_IndexedMapOfShape map;
  std::vector<Use> all;
  for (std::size_t f = 0; f < table.size(); ++f) {
    bool first = true;
    for (auto& uses : usesOf(TopoDS::Face(faces.map(static_cast<Standard_Integer>(f + 1))), static_cast<int>(f), map)) {
      FaceLoop loop;
      loop.outer = first;
      first = false;
      for (const Use& use : uses) loop.uses.push_back({{use.edge}, use.reversed});
      table[f].loops.push_back(std::move(loop));
      all.insert(all.end(), uses.begin(), uses.end());
    }
  }
  std::stable_sort(all.begin(), all.end(), [](const Use& a, const Use& b) { return a.edge < b.edge; });

  std::vector<Edge> edges;
  for (auto from = all.begin(); from != all.end();) {
    const auto to = std::find_if(from, all.end(), [&](const Use& u) { return u.edge != from->edge; });
    Edge edge;
    edge.id = {from->edge};
    const BRepAdaptor_Curve curve(TopoDS::Edge(map(from->edge + 1)));
    polyline(curve, edge);
    recogniseShape(edge);
    auto left = std::find_if(from, to, [](const Use& u) { return !u.reversed; });
    auto right = std::find_if(from, to, [](const Use& u) { return u.reversed; });
    if (left == to) std::swap(left, right);
    edge.left = {left->face};
    if (right != to) {
      edge.right = {right->face};
      edge.angle = dihedral(faces, curve, *left, *right);
      if (std::abs(edge.angle.rad) >= kTolerances.smoothEdge_rad)
        edge.sense = edge.angle.rad > 0 ? Sense::Convex : Sense::Concave;
    }
    edges.push_back(std::move(edge));
    from = to;
  }
  return edges;
}

}  // namespace chipledger::part
