#include "kernel_solids.hpp"

#include <chipledger/part/read.hpp>

#include "step_text.hpp"
#include "tolerances.hpp"

#include <BRep_Builder.hxx>
#include <IFSelect_ReturnStatus.hxx>
#include <Interface_Check.hxx>
#include <Interface_InterfaceModel.hxx>
#include <Message.hxx>
#include <Message_Messenger.hxx>
#include <Message_Printer.hxx>
#include <Quantity_Color.hxx>
#include <Resource_Manager.hxx>
#include <STEPCAFControl_Reader.hxx>
#include <STEPControl_Reader.hxx>
#include <ShapeProcess_Context.hxx>
#include <Standard_Version.hxx>
#include <StepRepr_RepresentationItem.hxx>
#include <StepShape_Face.hxx>
#include <StepShape_ManifoldSolidBrep.hxx>
#include <TColStd_SequenceOfAsciiString.hxx>
#include <TCollection_AsciiString.hxx>
#include <TCollection_HAsciiString.hxx>
#include <TDF_LabelSequence.hxx>
#include <TDF_Tool.hxx>
#include <TDataStd_Name.hxx>
#include <TDocStd_Document.hxx>
#include <TopExp_Explorer.hxx>
#include <TopTools_MapOfShape.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Compound.hxx>
#include <TransferBRep.hxx>
#include <Transfer_TransientProcess.hxx>
#include <XCAFDoc_ColorTool.hxx>
#include <XCAFDoc_DocumentTool.hxx>
#include <XCAFDoc_ShapeTool.hxx>
#include <XSControl_TransferReader.hxx>
#include <XSControl_WorkSession.hxx>

#include <fmt/format.h>

#include <algorithm>
#include <sstream>

namespace chipledger::part {
namespace {

/// Collects what the kernel says instead of printing it.
class Listener : public Message_Printer {
public:
  /// What is wrong, from the line number on; empty when nothing was said with one.
  std::string complaint() const {
    for (const std::string& text : heard_)
      if (const std::size_t line = text.find("Line "); line != std::string::npos)
        return text.substr(line, text.find_last_not_of(" *") + 1 - line);
    return {};
  }

protected:
  void send(const TCollection_AsciiString& text, const Message_Gravity) const override {
    if (heard_.size() < kMostMessages) heard_.push_back(utf8(text.ToCString()));
  }

private:
  static constexpr std::size_t kMostMessages = 100;
  mutable std::vector<std::string> heard_;
};

/// Mistakes of form the kernel passed over: of the text as a whole, and entities it could not fill.
std::vector<std::string> mistakesIn(const Handle(Interface_InterfaceModel) & model) {
  std::vector<std::string> list;
  if (model.IsNull()) return list;
  const Handle(Interface_Check) whole = model->GlobalCheck();
  for (Standard_Integer i = 1; i <= whole->NbFails(); ++i) {
    const std::string text = utf8(whole->CFail(i));
    list.push_back(
        text.substr(std::min(text.size(), text.find("Line ") == std::string::npos ? 0 : text.find("Line "))));
  }
  for (Standard_Integer i = 1; i <= model->NbEntities(); ++i) {
    if (!model->IsErrorEntity(i)) continue;
    const std::string_view kind = model->Value(i)->DynamicType()->Name();
    if (kind.starts_with("StepGeom_") || kind.starts_with("StepShape_"))  // of the rest the shape does not depend
      list.push_back(fmt::format("entity {} does not have the form its name asks for",
                                 model->StringLabel(model->Value(i))->ToCString()));
  }
  return list;
}

std::string textOf(const TCollection_ExtendedString& text) {
  std::string out(static_cast<std::size_t>(text.LengthOfCString()), '\0');
  Standard_PCharacter to = out.data();
  text.ToUTF8CString(to);
  return utf8(out);
}

const void* keyOf(const TopoDS_Shape& shape) { return shape.TShape().get(); }

std::string unitWord(const XSControl_Reader&, const TColStd_SequenceOfAsciiString& names) {
  if (names.IsEmpty()) return {};
  TCollection_AsciiString name = names.First();
  name.LowerCase();
  const std::string given = name.ToCString();
  if (given == "millimetre" || given == "milimetre" || given == "mm") return "mm";
  if (given == "metre" || given == "m") return "m";
  if (given == "centimetre" || given == "cm") return "cm";
  if (given == "micrometre" || given == "um") return "um";
  if (given == "inch" || given == "in") return "inch";
  if (given == "foot" || given == "ft") return "foot";
  return utf8(given);
}

/// Names of the faces by their own geometry: one pass over what was transferred, O(entities).
void nameFaces(const Handle(XSControl_WorkSession) & session, KernelPart& part) {
  const Handle(Transfer_TransientProcess) process = session->TransferReader()->TransientProcess();
  if (process.IsNull()) return;
  for (Standard_Integer i = 1; i <= process->NbMapped(); ++i) {
    const Handle(StepShape_Face) face = Handle(StepShape_Face)::DownCast(process->Mapped(i));
    if (face.IsNull() || face->Name().IsNull() || face->Name()->IsEmpty()) continue;
    const TopoDS_Shape shape = TransferBRep::ShapeResult(process, face);
    for (TopExp_Explorer it(shape, TopAbs_FACE); it.More(); it.Next())
      part.faceNames.try_emplace(keyOf(it.Current()), utf8(face->Name()->ToCString()));
  }
}

std::optional<Colour> colourOf(const Handle(XCAFDoc_ColorTool) & tool, const TDF_Label& label) {
  for (const XCAFDoc_ColorType type : {XCAFDoc_ColorSurf, XCAFDoc_ColorGen}) {
    Quantity_Color colour;
    if (!tool->GetColor(label, type, colour)) continue;
    Colour out;
    colour.Values(out.red, out.green, out.blue, Quantity_TOC_sRGB);
    return out;
  }
  return std::nullopt;
}

std::string nameOf(const TDF_Label& label) {
  Handle(TDataStd_Name) name;
  return label.FindAttribute(TDataStd_Name::GetID(), name) ? textOf(name->Get()) : std::string();
}

/// Walks assemblies down to the shapes, multiplying places.
class Walk {
public:
  Walk(const Handle(TDocStd_Document) & document, KernelPart& part)
      : shapes_(XCAFDoc_DocumentTool::ShapeTool(document->Main())),
        colours_(XCAFDoc_DocumentTool::ColorTool(document->Main())),
        part_(part) {
    builder_.MakeCompound(loose_);
  }
  void run() {
    TDF_LabelSequence roots;
    shapes_->GetFreeShapes(roots);
    for (Standard_Integer i = 1; i <= roots.Length(); ++i)
      visit(roots.Value(i), TopLoc_Location(), {}, std::nullopt, 0);
    if (hasLoose_) part_.loose = loose_;
  }

private:
  static constexpr int kDeepestAssembly = 100;  ///< a file may nest an assembly in itself

  void visit(const TDF_Label& label, const TopLoc_Location& place, const std::string& nameAbove,
             const std::optional<Colour>& colourAbove, int depth) {
    if (depth > kDeepestAssembly) return;
    if (XCAFDoc_ShapeTool::IsReference(label)) {
      TDF_Label target;
      if (!XCAFDoc_ShapeTool::GetReferredShape(label, target)) return;
      const std::optional<Colour> own = colourOf(colours_, label);
      visit(target, place * XCAFDoc_ShapeTool::GetLocation(label), nameOf(label), own ? own : colourAbove, depth + 1);
      return;
    }
    if (XCAFDoc_ShapeTool::IsAssembly(label)) {
      TDF_LabelSequence components;
      XCAFDoc_ShapeTool::GetComponents(label, components);
      for (Standard_Integer i = 1; i <= components.Length(); ++i)
        visit(components.Value(i), place, {}, colourAbove, depth + 1);
      return;
    }
    leaf(label, place, nameAbove, colourAbove);
  }

  void leaf(const TDF_Label& label, const TopLoc_Location& place, const std::string& nameAbove,
            const std::optional<Colour>& colourAbove) {
    TDF_LabelSequence parts;
    XCAFDoc_ShapeTool::GetSubShapes(label, parts);
    for (Standard_Integer i = 1; i <= parts.Length(); ++i) {
      const TopoDS_Shape shape = XCAFDoc_ShapeTool::GetShape(parts.Value(i));
      if (shape.IsNull()) continue;
      if (const auto colour = colourOf(colours_, parts.Value(i))) part_.colours.try_emplace(keyOf(shape), *colour);
    }
    const TopoDS_Shape shape = XCAFDoc_ShapeTool::GetShape(label);
    if (shape.IsNull()) return;
    std::optional<Colour> colour = colourOf(colours_, label);
    if (!colour) colour = colourAbove;
    std::string name = nameOf(label);
    if (name.empty()) name = nameAbove;
    const TopoDS_Shape placed = shape.Located(place * shape.Location());
    for (TopExp_Explorer it(placed, TopAbs_SOLID); it.More(); it.Next()) {
      const auto own = part_.colours.find(keyOf(it.Current()));
      part_.solids.push_back({it.Current(), name, own == part_.colours.end() ? colour : own->second});
    }
    for (TopExp_Explorer it(placed, TopAbs_FACE, TopAbs_SOLID); it.More(); it.Next()) {
      builder_.Add(loose_, it.Current());
      hasLoose_ = true;
    }
  }

  Handle(XCAFDoc_ShapeTool) shapes_;
  Handle(XCAFDoc_ColorTool) colours_;
  KernelPart& part_;
  BRep_Builder builder_;
  TopoDS_Compound loose_;
  bool hasLoose_{};
};

void collectPlain(const TopoDS_Shape& shape, KernelPart& part) {
  if (shape.IsNull()) return;
  for (TopExp_Explorer it(shape, TopAbs_SOLID); it.More(); it.Next()) part.solids.push_back({it.Current(), {}, {}});
  BRep_Builder builder;
  TopoDS_Compound loose;
  builder.MakeCompound(loose);
  bool any = false;
  for (TopExp_Explorer it(shape, TopAbs_FACE, TopAbs_SOLID); it.More(); it.Next()) {
    builder.Add(loose, it.Current());
    any = true;
  }
  if (any) part.loose = loose;
}

std::string statedUnit(STEPControl_Reader& reader) {
  TColStd_SequenceOfAsciiString lengths, angles, solidAngles;
  reader.FileUnits(lengths, angles, solidAngles);
  return unitWord(reader, lengths);
}

/// The kernel keeps one table of mending steps per process and asks it for every shape; from 7.9 on it keeps it
/// elsewhere, and reads such files slowly.
void skipCrossingWires() {
#if OCC_VERSION_HEX < 0x070900
  const ShapeProcess_Context context("STEP", "FromSTEP");
  const Handle(Resource_Manager) steps = context.ResourceManager();
  if (steps.IsNull()) return;
  steps->SetResource("FromSTEP.exec.op", "FixShape");
  steps->SetResource("FromSTEP.FixShape.Tolerance3d", "&Runtime.Tolerance");
  steps->SetResource("FromSTEP.FixShape.MaxTolerance3d", "&Runtime.MaxTolerance");
  for (const char* step : {"FixSelfIntersectionMode", "FixIntersectingWiresMode"})
    steps->SetResource(fmt::format("FromSTEP.FixShape.{}", step).c_str(), 0);
#endif
}

}  // namespace

const char* kernelVersion() { return OCC_VERSION_COMPLETE; }

Result<KernelPart> readSolids(std::string_view text, const ReadJob& job, int edges) {
  const Handle(Listener) listener = new Listener();
  Message::DefaultMessenger()->ChangePrinters().Clear();
  Message::DefaultMessenger()->AddPrinter(listener);

  KernelPart part;
  std::istringstream stream{std::string(text)};
  const auto refused = [&] {
    const std::string complaint = listener->complaint();
    return fault(FaultCode::BadFile, job.path,
                 complaint.empty() ? "The text of this file cannot be read as STEP."
                                   : fmt::format("The text of this file cannot be read as STEP ({}).", complaint),
                 "Export the part again as STEP AP214 or AP242.");
  };
  if (job.kind == ReaderKind::WithNames) {
    STEPCAFControl_Reader reader;  // making a reader sets up the kernel's tables
    if (edges > kTolerances.manyEdges) skipCrossingWires();
    reader.SetNameMode(true);
    reader.SetColorMode(true);
    reader.SetLayerMode(false);
    reader.SetPropsMode(false);
    reader.SetGDTMode(false);
    reader.SetMatMode(false);
    reader.SetViewMode(false);
    if (reader.ChangeReader().ReadStream("part.step", stream) != IFSelect_RetDone) return refused();
    Handle(TDocStd_Document) document = new TDocStd_Document("BinXCAF");
    reader.Transfer(document);
    part.unit = statedUnit(reader.ChangeReader());
    part.mistakes = mistakesIn(reader.ChangeReader().Model());
    nameFaces(reader.ChangeReader().WS(), part);
    Walk(document, part).run();
  } else {
    STEPControl_Reader reader;
    if (edges > kTolerances.manyEdges) skipCrossingWires();
    if (reader.ReadStream("part.step", stream) != IFSelect_RetDone) return refused();
    reader.TransferRoots();
    part.unit = statedUnit(reader);
    part.mistakes = mistakesIn(reader.Model());
    nameFaces(reader.WS(), part);
    collectPlain(reader.OneShape(), part);
  }
  return part;
}

}  // namespace chipledger::part
