#include "kernel_solid.hpp"

#include <BRepGProp.hxx>
#include <GProp_GProps.hxx>
#include <Message.hxx>
#include <Message_Messenger.hxx>
#include <Message_PrinterOStream.hxx>
#include <TopExp.hxx>
#include <TopExp_Explorer.hxx>
#include <TopTools_DataMapIteratorOfDataMapOfShapeInteger.hxx>
#include <TopTools_IndexedMapOfShape.hxx>

namespace chipledger::draw {

Owned owned(const TopoDS_Shape& shape, int owner) {
  Owned result{shape, {}};
  for (TopExp_Explorer face(shape, TopAbs_FACE); face.More(); face.Next()) result.owner.Bind(face.Current(), owner);
  return result;
}

void carry(BRepBuilderAPI_MakeShape& operation, const TopTools_DataMapOfShapeInteger& from,
           TopTools_DataMapOfShapeInteger& into) {
  for (TopTools_DataMapIteratorOfDataMapOfShapeInteger it(from); it.More(); it.Next()) {
    const TopTools_ListOfShape& changed = operation.Modified(it.Key());
    for (const TopoDS_Shape& face : changed) into.Bind(face, it.Value());
    if (changed.IsEmpty() && !operation.IsDeleted(it.Key())) into.Bind(it.Key(), it.Value());
  }
}

void keepPresent(Owned& result) {
  TopTools_DataMapOfShapeInteger kept;
  for (TopExp_Explorer face(result.shape, TopAbs_FACE); face.More(); face.Next())
    if (const int* owner = result.owner.Seek(face.Current())) kept.Bind(face.Current(), *owner);
  result.owner = kept;
}

void silenceKernel() { Message::DefaultMessenger()->ChangePrinters().Clear(); }

tl::unexpected<Fault> kernelFault(const std::string& where, const std::string& what) {
  return fault(FaultCode::Internal, where, what, "Change the dimension a little, and report the chassis file.");
}

double faceHeight(const TopoDS_Shape& face) {
  GProp_GProps props;
  BRepGProp::SurfaceProperties(face, props);
  return props.CentreOfMass().Z();
}

Measures measure(const TopoDS_Shape& shape) {
  constexpr double kRelative = 1e-4;  // of the integrator's own estimate; measured error below 1e-5 on splines
  GProp_GProps volume, area;
  BRepGProp::VolumePropertiesGK(shape, volume, kRelative);
  BRepGProp::SurfaceProperties(shape, area);
  return {volume.Mass(), area.Mass()};
}

}  // namespace chipledger::draw
