#include "stack_solid.hpp"

#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakeSolid.hxx>
#include <BRepBuilderAPI_MakeVertex.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepBuilderAPI_Sewing.hxx>
#include <BRepLib.hxx>
#include <BRepPrimAPI_MakePrism.hxx>
#include <BRepPrimAPI_MakeRevol.hxx>
#include <Geom_BSplineCurve.hxx>
#include <Geom_Circle.hxx>
#include <TColStd_Array1OfInteger.hxx>
#include <TColStd_Array1OfReal.hxx>
#include <TColgp_Array1OfPnt.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Shell.hxx>
#include <TopoDS_Solid.hxx>
#include <TopoDS_Vertex.hxx>
#include <TopoDS_Wire.hxx>
#include <gp_Ax1.hxx>
#include <gp_Ax2.hxx>
#include <gp_Circ.hxx>
#include <numbers>

namespace chipledger::draw {
namespace {

using std::numbers::pi;
constexpr double kSew_mm = 1e-6;  // corners of neighbouring patches agree to about 1e-13
constexpr double kSame_mm = 1e-9;

gp_Pnt pnt(Vec2 p, double z) { return {p.x, p.y, z}; }

// The point of span `b` over [t0, t1] at three parameters (polar form), from which B-spline poles follow.
Vec2 polar(const std::array<Vec2, 4>& b, double t0, double t1, std::array<double, 3> at) {
  std::array<Vec2, 4> p = b;
  for (int level = 0; level < 3; ++level) {
    const double s = (at[level] - t0) / (t1 - t0);
    for (int i = 0; i + level < 3; ++i) p[i] = p[i] * (1 - s) + p[i + 1] * s;
  }
  return p[0];
}

Handle(Geom_BSplineCurve) curveOf(const Piece& piece, double z) {
  const int spans = static_cast<int>(piece.spans.size());
  const auto& t = piece.knots;
  const auto knot = [&](int i) { return t[static_cast<std::size_t>(std::clamp(i, 0, spans))]; };
  TColgp_Array1OfPnt poles(1, spans + 3);
  for (int i = 0; i < spans + 3; ++i) {  // pole i belongs to knots i-2, i-1, i of the clamped knot row
    const int span = std::clamp(i - 1, 0, spans - 1);
    poles.SetValue(i + 1, pnt(polar(piece.spans[static_cast<std::size_t>(span)], knot(span), knot(span + 1),
                                    {knot(i - 2), knot(i - 1), knot(i)}),
                              z));
  }
  TColStd_Array1OfReal knots(1, spans + 1);
  TColStd_Array1OfInteger times(1, spans + 1);
  for (int i = 0; i <= spans; ++i) {
    knots.SetValue(i + 1, knot(i));
    times.SetValue(i + 1, i == 0 || i == spans ? 4 : 1);
  }
  return new Geom_BSplineCurve(poles, knots, times, 3);
}

TopoDS_Edge edgeOf(const Piece& piece, double z, const TopoDS_Vertex& from, const TopoDS_Vertex& to) {
  if (piece.kind == Piece::Kind::Line) return BRepBuilderAPI_MakeEdge(from, to);
  if (piece.kind == Piece::Kind::Spline) return BRepBuilderAPI_MakeEdge(curveOf(piece, z), from, to);
  // The circle's own x axis points at the start, so the arc runs from 0; clockwise arcs turn about -z.
  const Vec2 x = piece.start - piece.centre;
  const gp_Circ circle(gp_Ax2(pnt(piece.centre, z), gp_Dir(0, 0, piece.sweep > 0 ? 1 : -1), gp_Dir(x.x, x.y, 0)),
                       radius(piece));
  return BRepBuilderAPI_MakeEdge(new Geom_Circle(circle), from, to, 0.0, std::abs(piece.sweep));
}

// Straight or quarter-round generator between two steps at one contour point.
struct Rail {
  Vec2 low, high;
  double zLow, zHigh;
  bool round;
  bool lowIsInner;  ///< the lower end is the more inset one
  TopoDS_Edge edge() const {
    const gp_Pnt a = pnt(low, zLow), b = pnt(high, zHigh);
    if (!round) return BRepBuilderAPI_MakeEdge(a, b);
    // Convex: the centre has the plan of the inner end and the height of the outer end.
    const gp_Pnt centre = lowIsInner ? pnt(low, zHigh) : pnt(high, zLow);
    const gp_Dir toLow(gp_Vec(centre, a)), toHigh(gp_Vec(centre, b));
    const gp_Circ circle(gp_Ax2(centre, toLow.Crossed(toHigh), toLow), centre.Distance(a));
    return BRepBuilderAPI_MakeEdge(circle, 0.0, pi / 2);
  }
};

Result<TopoDS_Shape> faceOf(const Contour& contour, double z, const std::string& where) {
  auto wire = wireOf(contour, z, where);
  if (!wire) return wire;
  BRepBuilderAPI_MakeFace face(TopoDS::Wire(*wire), true);
  if (!face.IsDone()) return kernelFault(where, "A plane face could not be made.");
  return TopoDS_Shape(face.Face());
}

Result<TopoDS_Shape> prism(const Contour& contour, double low, double high, const std::string& where) {
  auto face = faceOf(contour, low, where);
  if (!face) return face;
  BRepPrimAPI_MakePrism worker(*face, gp_Vec(0, 0, high - low));
  if (!worker.IsDone()) return kernelFault(where, "A prism could not be made.");
  return worker.Shape();
}

// Full circle: the profile turned round its axis.
Result<TopoDS_Shape> turned(const Piece& circle, const std::vector<Step>& steps, const std::string& where) {
  const Vec2 c = circle.centre;
  const double r = radius(circle);
  const auto onRim = [&](const Step& s) { return c + Vec2{r - s.inset_mm, 0}; };
  BRepBuilderAPI_MakeWire wire;
  const auto add = [&](const TopoDS_Edge& edge) {
    wire.Add(edge);
    return wire.Error() == BRepBuilderAPI_WireDone;
  };
  bool fine = true;
  const double bottom = steps.front().z_mm, top = steps.back().z_mm;
  const bool pointBelow = r - steps.front().inset_mm < kSame_mm, pointAbove = r - steps.back().inset_mm < kSame_mm;
  if (!pointBelow) fine = add(BRepBuilderAPI_MakeEdge(pnt(c, bottom), pnt(onRim(steps.front()), bottom)));
  for (std::size_t i = 0; fine && i + 1 < steps.size(); ++i) {
    const Step &a = steps[i], &b = steps[i + 1];
    if (b.z_mm == a.z_mm)
      fine = add(BRepBuilderAPI_MakeEdge(pnt(onRim(a), a.z_mm), pnt(onRim(b), b.z_mm)));
    else
      fine = add(Rail{onRim(a), onRim(b), a.z_mm, b.z_mm, a.roundNext, a.inset_mm > b.inset_mm}.edge());
  }
  if (fine && !pointAbove) fine = add(BRepBuilderAPI_MakeEdge(pnt(onRim(steps.back()), top), pnt(c, top)));
  if (fine) fine = add(BRepBuilderAPI_MakeEdge(pnt(c, top), pnt(c, bottom)));
  if (!fine) return kernelFault(where, "The profile of a round shape could not be closed.");
  BRepBuilderAPI_MakeFace face(wire.Wire(), true);
  if (!face.IsDone()) return kernelFault(where, "The profile of a round shape is not plane.");
  BRepPrimAPI_MakeRevol worker(face.Face(), gp_Ax1(pnt(c, 0), gp_Dir(0, 0, 1)));
  if (!worker.IsDone()) return kernelFault(where, "A round shape could not be turned.");
  return worker.Shape();
}

// One patch between two insets of the same piece.
Result<TopoDS_Shape> patch(const Piece& low, const Piece& high, const Step& a, const Step& b,
                           const std::string& where) {
  const Rail rail{low.start, high.start, a.z_mm, b.z_mm, a.roundNext, a.inset_mm > b.inset_mm};
  if (low.kind == Piece::Kind::Line) {
    if (a.roundNext) return BRepPrimAPI_MakePrism(rail.edge(), gp_Vec(pnt(low.start, 0), pnt(low.end, 0))).Shape();
    BRepBuilderAPI_MakeWire wire(BRepBuilderAPI_MakeEdge(pnt(low.start, a.z_mm), pnt(low.end, a.z_mm)),
                                 BRepBuilderAPI_MakeEdge(pnt(low.end, a.z_mm), pnt(high.end, b.z_mm)),
                                 BRepBuilderAPI_MakeEdge(pnt(high.end, b.z_mm), pnt(high.start, b.z_mm)),
                                 BRepBuilderAPI_MakeEdge(pnt(high.start, b.z_mm), pnt(low.start, a.z_mm)));
    if (!wire.IsDone()) return kernelFault(where, "A sloping side could not be closed.");
    BRepBuilderAPI_MakeFace face(wire.Wire(), true);
    if (!face.IsDone()) return kernelFault(where, "A sloping side is not plane.");
    return TopoDS_Shape(face.Face());
  }
  const gp_Ax1 axis(pnt(low.centre, 0), gp_Dir(0, 0, low.sweep > 0 ? 1 : -1));
  return BRepPrimAPI_MakeRevol(rail.edge(), axis, std::abs(low.sweep)).Shape();
}

Result<TopoDS_Shape> sewn(const Contour& contour, const std::vector<Step>& steps, const std::string& where) {
  BRepBuilderAPI_Sewing sewing(kSew_mm);
  std::vector<Contour> level;
  for (const Step& s : steps) {
    auto in = inset(contour, s.inset_mm);
    if (!in)
      return fault(FaultCode::BadFile, where, "the edge is larger than the shape allows, or lies on a spline.",
                   "Make the chamfer or radius smaller than the smallest corner radius.");
    level.push_back(std::move(*in));
  }
  for (std::size_t i = 0; i + 1 < steps.size(); ++i) {
    if (steps[i].z_mm == steps[i + 1].z_mm) {  // a ledge between two insets
      const bool firstIsInner = steps[i].inset_mm > steps[i + 1].inset_mm;
      auto outer = wireOf(level[firstIsInner ? i + 1 : i], steps[i].z_mm, where);
      auto inner = wireOf(level[firstIsInner ? i : i + 1], steps[i].z_mm, where);
      if (!outer) return outer;
      if (!inner) return inner;
      BRepBuilderAPI_MakeFace ledge(TopoDS::Wire(*outer), true);
      ledge.Add(TopoDS::Wire(inner->Reversed()));
      if (!ledge.IsDone()) return kernelFault(where, "A ledge could not be made.");
      sewing.Add(ledge.Face());
      continue;
    }
    for (std::size_t k = 0; k < contour.pieces.size(); ++k) {
      const Piece &low = level[i].pieces[k], &high = level[i + 1].pieces[k];
      const bool slopes = steps[i].inset_mm != steps[i + 1].inset_mm;
      if (slopes && low.kind == Piece::Kind::Arc && std::abs(low.sweep - high.sweep) > kSmoothTurn)
        return fault(FaultCode::BadFile, where,
                     "a chamfer or round runs over a corner between an arc and its neighbour.",
                     "Give that corner a radius, or end the arc tangent to the next side.");
      if (steps[i].roundNext && !smooth(contour))
        return fault(FaultCode::BadFile, where, "a round edge runs over a sharp corner.",
                     "Give the corners a radius above that of the round.");
      auto face = patch(low, high, steps[i], steps[i + 1], where);
      if (!face) return face;
      sewing.Add(*face);
    }
  }
  for (std::size_t end : {std::size_t{0}, steps.size() - 1}) {
    auto face = faceOf(level[end], steps[end].z_mm, where);
    if (!face) return face;
    sewing.Add(*face);
  }
  sewing.Perform();
  if (sewing.NbFreeEdges() != 0) return kernelFault(where, "The sides of a shape do not close.");
  TopExp_Explorer shell(sewing.SewedShape(), TopAbs_SHELL);
  if (!shell.More()) return kernelFault(where, "The sides of a shape do not form a shell.");
  TopoDS_Solid solid = BRepBuilderAPI_MakeSolid(TopoDS::Shell(shell.Current()));
  if (!BRepLib::OrientClosedSolid(solid)) return kernelFault(where, "A shape is not closed.");
  return TopoDS_Shape(solid);
}

}  // namespace

Result<TopoDS_Shape> wireOf(const Contour& contour, double z, const std::string& where) {
  BRepBuilderAPI_MakeWire wire;
  if (contour.fullCircle()) {
    const Piece& p = contour.pieces[0];
    const Vec2 x = p.start - p.centre;
    wire.Add(
        BRepBuilderAPI_MakeEdge(gp_Circ(gp_Ax2(pnt(p.centre, z), gp_Dir(0, 0, 1), gp_Dir(x.x, x.y, 0)), radius(p))));
  } else {
    std::vector<TopoDS_Vertex> corners;
    for (const Piece& p : contour.pieces) corners.push_back(BRepBuilderAPI_MakeVertex(pnt(p.start, z)));
    for (std::size_t i = 0; i < contour.pieces.size(); ++i) {
      const TopoDS_Edge edge = edgeOf(contour.pieces[i], z, corners[i], corners[(i + 1) % corners.size()]);
      if (edge.IsNull()) return kernelFault(where, "An edge of a contour could not be made.");
      wire.Add(edge);
      // The kernel leaves out an edge that misses its neighbour and says so only here.
      if (wire.Error() != BRepBuilderAPI_WireDone) return kernelFault(where, "A contour does not close.");
    }
  }
  if (!wire.IsDone()) return kernelFault(where, "A contour does not close.");
  return TopoDS_Shape(wire.Wire());
}

Result<TopoDS_Shape> stackSolid(const Contour& contour, const std::vector<Step>& steps, const std::string& where) {
  if (contour.fullCircle()) return turned(contour.pieces[0], steps, where);
  if (steps.size() == 2 && steps[0].inset_mm == steps[1].inset_mm) {
    if (steps[0].inset_mm == 0) return prism(contour, steps[0].z_mm, steps[1].z_mm, where);
    auto in = inset(contour, steps[0].inset_mm);
    if (in) return prism(*in, steps[0].z_mm, steps[1].z_mm, where);
  }
  return sewn(contour, steps, where);
}

}  // namespace chipledger::draw
