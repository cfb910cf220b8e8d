#include "drawn.hpp"

#include "temporary.hpp"

#include <BRepAdaptor_Curve.hxx>
#include <BRepAlgoAPI_Cut.hxx>
#include <BRepAlgoAPI_Fuse.hxx>
#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepBuilderAPI_NurbsConvert.hxx>
#include <BRepBuilderAPI_Transform.hxx>
#include <BRepFilletAPI_MakeFillet.hxx>
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <BRepPrimAPI_MakeCone.hxx>
#include <BRepPrimAPI_MakeCylinder.hxx>
#include <BRepPrimAPI_MakePrism.hxx>
#include <BRepPrimAPI_MakeSphere.hxx>
#include <BRepPrimAPI_MakeTorus.hxx>
#include <BRep_Builder.hxx>
#include <BRep_Tool.hxx>
#include <GeomAPI_Interpolate.hxx>
#include <Geom_BSplineCurve.hxx>
#include <Interface_Static.hxx>
#include <Message.hxx>
#include <Message_Messenger.hxx>
#include <Poly_Triangulation.hxx>
#include <STEPControl_Controller.hxx>
#include <STEPControl_Writer.hxx>
#include <TColgp_HArray1OfPnt.hxx>
#include <TopExp.hxx>
#include <TopExp_Explorer.hxx>
#include <TopTools_IndexedMapOfShape.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Compound.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Face.hxx>
#include <TopoDS_Wire.hxx>
#include <gp_Ax1.hxx>
#include <gp_Ax2.hxx>
#include <gp_Circ.hxx>
#include <gp_Trsf.hxx>

namespace chipledger::drawn {

struct Shape {
  TopoDS_Shape shape;
};

namespace {

Solid wrap(const TopoDS_Shape& shape) { return std::make_shared<Shape>(Shape{shape}); }

/// Booleans give a compound; a single solid in it is what is meant.
Solid onlySolid(const TopoDS_Shape& shape) {
  TopExp_Explorer it(shape, TopAbs_SOLID);
  return wrap(it.More() ? it.Current() : shape);
}

Solid transformed(const Solid& solid, const gp_Trsf& by) {
  return wrap(BRepBuilderAPI_Transform(solid->shape, by, Standard_True).Shape());
}

}  // namespace

Solid block(Vec3 size) { return wrap(BRepPrimAPI_MakeBox(size.x, size.y, size.z).Shape()); }
Solid cylinder(double radius, double height) { return wrap(BRepPrimAPI_MakeCylinder(radius, height).Shape()); }
Solid cone(double low, double high, double height) { return wrap(BRepPrimAPI_MakeCone(low, high, height).Shape()); }
Solid sphere(double radius) { return wrap(BRepPrimAPI_MakeSphere(radius).Shape()); }
Solid torus(double major, double minor) { return wrap(BRepPrimAPI_MakeTorus(major, minor).Shape()); }

Solid splinePlate(const std::vector<Vec2>& through, double thickness) {
  const Handle(TColgp_HArray1OfPnt) points = new TColgp_HArray1OfPnt(1, static_cast<Standard_Integer>(through.size()));
  for (std::size_t i = 0; i < through.size(); ++i)
    points->SetValue(static_cast<Standard_Integer>(i + 1), gp_Pnt(through[i].x, through[i].y, 0.0));
  GeomAPI_Interpolate spline(points, Standard_True, 1e-9);
  spline.Perform();
  const TopoDS_Edge edge = BRepBuilderAPI_MakeEdge(spline.Curve());
  const TopoDS_Wire wire = BRepBuilderAPI_MakeWire(edge);
  return wrap(
      BRepPrimAPI_MakePrism(BRepBuilderAPI_MakeFace(wire, Standard_True).Face(), gp_Vec(0, 0, thickness)).Shape());
}

Solid cut(const Solid& from, const Solid& away) { return onlySolid(BRepAlgoAPI_Cut(from->shape, away->shape).Shape()); }
Solid join(const Solid& a, const Solid& b) { return onlySolid(BRepAlgoAPI_Fuse(a->shape, b->shape).Shape()); }

Solid moved(const Solid& solid, Vec3 shift) {
  gp_Trsf by;
  by.SetTranslation(gp_Vec(shift.x, shift.y, shift.z));
  return transformed(solid, by);
}

Solid turned(const Solid& solid, Vec3 axis, double angle) {
  gp_Trsf by;
  by.SetRotation(gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(axis.x, axis.y, axis.z)), angle);
  return transformed(solid, by);
}

Solid mirrored(const Solid& solid) {
  gp_Trsf by;
  by.SetMirror(gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(1, 0, 0)));
  return transformed(solid, by);
}

Solid asSplines(const Solid& solid) { return wrap(BRepBuilderAPI_NurbsConvert(solid->shape, Standard_True).Shape()); }

Solid rounded(const Solid& solid, double radius) {
  BRepFilletAPI_MakeFillet fillet(solid->shape);
  for (TopExp_Explorer it(solid->shape, TopAbs_EDGE); it.More(); it.Next())
    fillet.Add(radius, TopoDS::Edge(it.Current()));
  return onlySolid(fillet.Shape());
}

Solid filleted(const Solid& solid, double radius, double edgeRadius) {
  BRepFilletAPI_MakeFillet fillet(solid->shape);
  TopTools_IndexedMapOfShape edges;
  TopExp::MapShapes(solid->shape, TopAbs_EDGE, edges);
  for (Standard_Integer e = 1; e <= edges.Extent(); ++e) {
    const BRepAdaptor_Curve curve(TopoDS::Edge(edges(e)));
    if (curve.GetType() == GeomAbs_Circle && std::abs(curve.Circle().Radius() - edgeRadius) < 1e-9)
      fillet.Add(radius, TopoDS::Edge(edges(e)));
  }
  return onlySolid(fillet.Shape());
}

Solid together(const std::vector<Solid>& solids) {
  TopoDS_Compound all;
  BRep_Builder builder;
  builder.MakeCompound(all);
  for (const Solid& solid : solids) builder.Add(all, solid->shape);
  return wrap(all);
}

Solid pierced(int side) {
  const double size = 60.0, pitch = size / side;
  BRepBuilderAPI_MakeWire border;
  const gp_Pnt corners[] = {{0, 0, 0}, {size, 0, 0}, {size, size, 0}, {0, size, 0}};
  for (int i = 0; i < 4; ++i) border.Add(BRepBuilderAPI_MakeEdge(corners[i], corners[(i + 1) % 4]).Edge());
  BRepBuilderAPI_MakeFace face(border.Wire(), Standard_True);
  for (int i = 0; i < side; ++i)
    for (int j = 0; j < side; ++j) {
      const gp_Circ circle(gp_Ax2(gp_Pnt((i + 0.5) * pitch, (j + 0.5) * pitch, 0), gp_Dir(0, 0, 1)), 0.3 * pitch);
      const TopoDS_Wire hole = BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(circle).Edge());
      face.Add(TopoDS::Wire(hole.Reversed()));
    }
  return wrap(BRepPrimAPI_MakePrism(face.Face(), gp_Vec(0, 0, 2)).Shape());
}

double fineVolume(const Solid& solid) {
  BRepMesh_IncrementalMesh(solid->shape, 2e-4, Standard_False, 0.02);
  double six = 0.0;
  for (TopExp_Explorer it(solid->shape, TopAbs_FACE); it.More(); it.Next()) {
    TopLoc_Location place;
    const Handle(Poly_Triangulation) mesh = BRep_Tool::Triangulation(TopoDS::Face(it.Current()), place);
    const double sense = it.Current().Orientation() == TopAbs_REVERSED ? -1.0 : 1.0;
    for (Standard_Integer t = 1; t <= mesh->NbTriangles(); ++t) {
      Standard_Integer a = 0, b = 0, c = 0;
      mesh->Triangle(t).Get(a, b, c);
      const auto at = [&](Standard_Integer i) { return mesh->Node(i).Transformed(place.Transformation()).XYZ(); };
      six += sense * at(a).Dot(at(b).Crossed(at(c)));
    }
  }
  return six / 6.0;
}

std::string write(const Solid& solid, const std::string& name, Unit unit) {
  Message::DefaultMessenger()->ChangePrinters().Clear();
  STEPControl_Controller::Init();
  Interface_Static::SetCVal("write.step.unit", unit == Unit::Inch ? "INCH" : unit == Unit::Metre ? "M" : "MM");
  STEPControl_Writer writer;
  writer.Transfer(solid->shape, STEPControl_AsIs);
  const std::string path = temporaryFile(name + ".step");
  writer.Write(path.c_str());
  return path;
}

}  // namespace chipledger::drawn
