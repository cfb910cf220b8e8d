#include "kernel_sew.hpp"

#include "tolerances.hpp"

#include <BRepBuilderAPI_MakeSolid.hxx>
#include <BRepBuilderAPI_Sewing.hxx>
#include <BRepGProp.hxx>
#include <BRepLib.hxx>
#include <BRep_Tool.hxx>
#include <GProp_GProps.hxx>
#include <TopExp.hxx>
#include <TopExp_Explorer.hxx>
#include <TopTools_IndexedDataMapOfShapeListOfShape.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <TopoDS_Shell.hxx>
#include <TopoDS_Solid.hxx>

#include <cmath>

namespace chipledger::part {
namespace {

int count(const TopoDS_Shape& shape, TopAbs_ShapeEnum kind, TopAbs_ShapeEnum outside = TopAbs_SHAPE) {
  int n = 0;
  for (TopExp_Explorer it(shape, kind, outside); it.More(); it.Next()) ++n;
  return n;
}

int openEdges(const TopoDS_Shape& shape) {
  TopTools_IndexedDataMapOfShapeListOfShape faces;
  TopExp::MapShapesAndAncestors(shape, TopAbs_EDGE, TopAbs_FACE, faces);
  int open = 0;
  for (Standard_Integer i = 1; i <= faces.Extent(); ++i)
    if (faces(i).Extent() < 2 && !BRep_Tool::Degenerated(TopoDS::Edge(faces.FindKey(i)))) ++open;
  return open;
}

/// Two skins back to back close, too.
bool enclosesNothing(const TopoDS_Shape& solid) {
  GProp_GProps volume, area;
  BRepGProp::VolumeProperties(solid, volume);  // rough is enough here
  BRepGProp::SurfaceProperties(solid, area);
  constexpr double kLeastShare = 1e-6;
  return !(std::abs(volume.Mass()) > kLeastShare * std::pow(area.Mass(), 1.5));
}

}  // namespace

Sewn sewFaces(const TopoDS_Shape& faces) {
  Sewn out;
  out.faces = count(faces, TopAbs_FACE);
  BRepBuilderAPI_Sewing sewing(kTolerances.sew_mm);
  sewing.Add(faces);
  sewing.Perform();
  const TopoDS_Shape sewn = sewing.SewedShape();
  if (sewn.IsNull()) {
    out.openFaces = out.faces;
    out.openEdges = openEdges(faces);
    return out;
  }
  for (TopExp_Explorer it(sewn, TopAbs_SHELL); it.More(); it.Next()) {
    const TopoDS_Shell shell = TopoDS::Shell(it.Current());
    if (const int open = openEdges(shell); open > 0) {
      out.openFaces += count(shell, TopAbs_FACE);
      out.openEdges += open;
      continue;
    }
    TopoDS_Solid solid = BRepBuilderAPI_MakeSolid(shell).Solid();
    BRepLib::OrientClosedSolid(solid);
    if (enclosesNothing(solid)) {
      out.openFaces += count(shell, TopAbs_FACE);
    } else {
      out.solids.push_back(solid);
    }
  }
  for (TopExp_Explorer it(sewn, TopAbs_FACE, TopAbs_SHELL); it.More(); it.Next()) {
    ++out.openFaces;
    out.openEdges += openEdges(it.Current());
  }
  return out;
}

}  // namespace chipledger::part
