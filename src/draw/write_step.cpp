#include "kernel_solid.hpp"

#include <fmt/format.h>
#include <APIHeaderSection_MakeHeader.hxx>
#include <BRepBuilderAPI_NurbsConvert.hxx>
#include <BRepBuilderAPI_Transform.hxx>
#include <Interface_Static.hxx>
#include <Quantity_Color.hxx>
#include <STEPCAFControl_Controller.hxx>
#include <STEPCAFControl_Writer.hxx>
#include <STEPControl_StepModelType.hxx>
#include <ShapeCustom.hxx>
#include <Standard_Failure.hxx>
#include <StepData_Protocol.hxx>
#include <StepData_StepModel.hxx>
#include <StepData_StepWriter.hxx>
#include <TCollection_ExtendedString.hxx>
#include <TCollection_HAsciiString.hxx>
#include <TDF_Label.hxx>
#include <TDataStd_Name.hxx>
#include <TDocStd_Application.hxx>
#include <TDocStd_Document.hxx>
#include <TopExp_Explorer.hxx>
#include <XCAFApp_Application.hxx>
#include <XCAFDoc_ColorTool.hxx>
#include <XCAFDoc_DocumentTool.hxx>
#include <XCAFDoc_ShapeTool.hxx>
#include <fstream>
#include <gp_Trsf.hxx>
#include <sstream>

namespace chipledger::draw {
namespace {

Handle(TCollection_HAsciiString) text(const char* words) { return new TCollection_HAsciiString(words); }

// Header without clock, user or kernel version: the same part gives the same bytes.
void fixHeader(const Handle(StepData_StepModel) & model, const std::string& name) {
  APIHeaderSection_MakeHeader header(model);
  header.SetDescriptionValue(1, text("plate drawn from dimensions"));
  header.SetName(text((name + ".step").c_str()));
  header.SetTimeStamp(text("2000-01-01T00:00:00"));
  header.SetAuthorValue(1, text("chipledger"));
  header.SetOrganizationValue(1, text("chipledger"));
  header.SetPreprocessorVersion(text("chipledger draw"));
  header.SetOriginatingSystem(text("chipledger"));
  header.SetAuthorisation(text(""));
}

const char* schemaWord(StepSchema schema) {
  switch (schema) {
    case StepSchema::Ap242:
      return "AP242DIS";
    case StepSchema::Ap214:
      return "AP214IS";
    case StepSchema::Ap203:
      return "AP203";
  }
  return "AP242DIS";
}

Owned inFrame(Owned now, const Frame& f) {
  if (f.x == Vec3{1, 0, 0} && f.y == Vec3{0, 1, 0} && f.shift == Vec3{}) return now;
  gp_Trsf motion;
  motion.SetValues(f.x.x, f.x.y, f.x.z, f.shift.x, f.y.x, f.y.y, f.y.z, f.shift.y, f.z.x, f.z.y, f.z.z, f.shift.z);
  BRepBuilderAPI_Transform transform(now.shape, motion, true);  // copies: the file holds moved geometry, no placement
  Owned next{transform.Shape(), {}};
  carry(transform, now.owner, next.owner);
  return next;
}

Owned asSplines(Owned now) {
  BRepBuilderAPI_NurbsConvert convert(now.shape);
  Owned next{convert.Shape(), {}};
  carry(convert, now.owner, next.owner);
  return next;
}

/// STEP has right-handed surfaces only, and the writer turns others over by itself, after which it no longer knows
/// their names. Turned over here, faces keep their order and their owners.
Owned rightHanded(Owned now) {
  Owned next{ShapeCustom::DirectFaces(now.shape), {}};
  TopExp_Explorer before(now.shape, TopAbs_FACE), after(next.shape, TopAbs_FACE);
  for (; before.More() && after.More(); before.Next(), after.Next())
    if (const int* owner = now.owner.Seek(before.Current())) next.owner.Bind(after.Current(), *owner);
  return before.More() || after.More() ? now : next;
}

Quantity_Color colourOf(part::Hint hint) {
  const part::Colour c = part::row(hint).colour;
  return {c.red, c.green, c.blue, Quantity_TOC_RGB};
}

Result<std::string> write(const Drawn& drawn, const StepOptions& options) {
  STEPCAFControl_Controller::Init();  // before any setting, and settings before the writer
  Interface_Static::SetCVal("write.step.schema", schemaWord(options.schema));
  Interface_Static::SetCVal("write.step.unit", options.unit.value_or(drawn.unit) == FileUnit::Inch ? "INCH" : "MM");
  Interface_Static::SetIVal("write.stepcaf.subshapes.name", 1);
  Interface_Static::SetIVal("write.surfacecurve.mode", 0);  // parameter curves double the file; readers make their own
  Interface_Static::SetCVal("write.step.product.name", drawn.name.c_str());
  Owned shape = inFrame({drawn.solid->solid, drawn.solid->owner}, options.frame);
  if (options.asSplines) shape = asSplines(std::move(shape));
  shape = rightHanded(std::move(shape));

  Handle(TDocStd_Application) application = XCAFApp_Application::GetApplication();
  Handle(TDocStd_Document) document;
  application->NewDocument("MDTV-XCAF", document);
  const Handle(XCAFDoc_ShapeTool) shapes = XCAFDoc_DocumentTool::ShapeTool(document->Main());
  const Handle(XCAFDoc_ColorTool) colours = XCAFDoc_DocumentTool::ColorTool(document->Main());
  const TDF_Label body = shapes->AddShape(shape.shape, false);
  TDataStd_Name::Set(body, TCollection_ExtendedString(drawn.name.c_str(), true));
  for (TopExp_Explorer face(shape.shape, TopAbs_FACE); face.More(); face.Next()) {
    const int* owner = shape.owner.Seek(face.Current());
    if (!owner) continue;
    const FaceMark& mark = drawn.solid->marks[static_cast<std::size_t>(*owner)];
    const TDF_Label label = shapes->AddSubShape(body, face.Current());
    if (label.IsNull()) continue;
    TDataStd_Name::Set(label, TCollection_ExtendedString(mark.name.c_str(), true));
    if (mark.hint) colours->SetColor(label, colourOf(*mark.hint), XCAFDoc_ColorSurf);
  }
  STEPCAFControl_Writer writer;
  writer.SetNameMode(true);
  writer.SetColorMode(true);
  writer.SetLayerMode(false);
  writer.SetPropsMode(false);
  const bool transferred = writer.Transfer(document, STEPControl_AsIs);
  std::ostringstream out;
  bool written = false;
  if (transferred) {
    const Handle(StepData_StepModel) model = Handle(StepData_StepModel)::DownCast(writer.ChangeWriter().Model());
    fixHeader(model, drawn.name);
    StepData_StepWriter printer(model);
    printer.SendModel(Handle(StepData_Protocol)::DownCast(model->Protocol()));
    written = printer.Print(out);
  }
  application->Close(document);
  if (!transferred || !written) return kernelFault(drawn.name, "The STEP text could not be made.");
  return out.str();
}

}  // namespace

Result<Drawn> moved(const Drawn& drawn, const Frame& frame) {
  if (!drawn.solid) return fault(FaultCode::Internal, drawn.name, "There is no solid to move.", "Draw it first.");
  try {
    OCC_CATCH_SIGNALS
    auto solid = std::make_shared<KernelSolid>(*drawn.solid);
    Owned now = inFrame({solid->solid, solid->owner}, frame);
    solid->solid = now.shape;
    solid->owner = now.owner;
    Drawn result = drawn;
    result.solid = std::move(solid);
    return result;
  } catch (const Standard_Failure& failure) {
    return kernelFault(drawn.name, fmt::format("The geometry kernel gave up ({}).", failure.GetMessageString()));
  }
}

Result<std::string> stepText(const Drawn& drawn, const StepOptions& options) {
  if (!drawn.solid) return fault(FaultCode::Internal, drawn.name, "There is no solid to write.", "Draw it first.");
  silenceKernel();
  try {
    OCC_CATCH_SIGNALS
    return write(drawn, options);
  } catch (const Standard_Failure& failure) {
    return kernelFault(drawn.name, fmt::format("The geometry kernel gave up ({}).", failure.GetMessageString()));
  }
}

Result<std::string> writeStep(const Drawn& drawn, const std::string& path, const StepOptions& options) {
  auto words = stepText(drawn, options);
  if (!words) return words;
  std::ofstream file(path, std::ios::binary);
  file << *words;
  file.close();
  if (!file) return fault(FaultCode::BadFile, path, "The file cannot be written.", "Check the folder and its rights.");
  return words;
}

}  // namespace chipledger::draw
