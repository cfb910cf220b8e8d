#include "reader_job.hpp"

#include "kernel_body.hpp"
#include "kernel_sew.hpp"
#include "kernel_solids.hpp"
#include "memory_peak.hpp"
#include "step_text.hpp"
#include "tolerances.hpp"

#include <fmt/format.h>
#include <Standard_Failure.hxx>
#include <Standard_OutOfMemory.hxx>
#include <TopExp_Explorer.hxx>
#include <TopTools_IndexedMapOfShape.hxx>
#include <TopTools_MapOfShape.hxx>
#include <TopoDS.hxx>

#include <algorithm>
#include <fstream>
#include <new>

namespace chipledger::part {
namespace {

Result<std::string> load(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  std::string text{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
  if (!in.good() && !in.eof())
    return fault(FaultCode::BadFile, path, "The file cannot be opened for reading.", "Check its permissions.");
  return text;
}

Fault nothingIn(const StepText& text, const std::string& file) {
  if (!text.otherFiles.empty()) {
    std::string names;
    for (std::size_t i = 0; i < std::min<std::size_t>(text.otherFiles.size(), 3); ++i)
      names += (i > 0 ? ", " : "") + text.otherFiles[i];
    if (text.otherFiles.size() > 3) names += ", ...";
    return {FaultCode::BadFile, file,
            fmt::format("The file only refers to parts in other files ({}) and holds no shape itself.", names),
            "Give the file of the part, or export the assembly as one file."};
  }
  if (text.solids > 0 || text.faces > 0)
    return {FaultCode::BadFile, file,
            fmt::format("The file declares {} solids and {} faces, but no solid could be made from them.", text.solids,
                        text.faces),
            "A face was lost or is damaged: check the body in the drawing program and export it again."};
  if (text.trianglesOnly)
    return {FaultCode::BadFile, file, "The file holds only triangles (a tessellated shape), not a solid.",
            "Export the part as a solid body, STEP AP214 or AP242 without tessellation."};
  return {FaultCode::BadFile, file, "The file holds no solid, only other data.",
          "Export the part as a solid body, STEP AP214 or AP242."};
}

/// Faces outside any solid: sewn into solids where they close.
Result<void> sewLoose(KernelPart& found, const StepText& text, const std::string& file, Notes& notes) {
  if (found.loose.IsNull()) return {};
  const Sewn sewn = sewFaces(found.loose);
  for (const TopoDS_Shape& solid : sewn.solids) {
    found.solids.push_back({solid, {}, {}});
    notes.push_back({NoteSeverity::Doubt, "sewn",
                     fmt::format("The file gives {} as loose surfaces; they close and were sewn into a solid.",
                                 text.solids > 0 ? "a solid" : "the body"),
                     ""});
  }
  if (sewn.openFaces == 0) return {};
  if (found.solids.empty()) {
    if (text.solids > 0)
      return fault(FaultCode::BadFile, file,
                   fmt::format("The solid is not closed: {} faces could be read, and {} edges border on nothing.",
                               sewn.faces, sewn.openEdges),
                   "A face was lost: repair the body in the drawing program and export it again.");
    return fault(FaultCode::BadFile, file,
                 fmt::format("The file holds {} surfaces that do not close into a solid ({} edges border on nothing).",
                             sewn.faces, sewn.openEdges),
                 "Stitch the surfaces into a solid in the drawing program, then export that.");
  }
  notes.push_back({NoteSeverity::LeftOut, "loose-surfaces",
                   fmt::format("{} surfaces that belong to no closed solid were left out.", sewn.openFaces), ""});
  return {};
}

void compareWithText(const KernelPart& found, const StepText& text, Notes& notes) {
  TopTools_MapOfShape solids, faces;
  for (const KernelSolid& solid : found.solids) {
    solids.Add(solid.shape.Located(TopLoc_Location()));
    for (TopExp_Explorer it(solid.shape, TopAbs_FACE); it.More(); it.Next())
      faces.Add(it.Current().Located(TopLoc_Location()));
  }
  if (!found.loose.IsNull())
    for (TopExp_Explorer it(found.loose, TopAbs_FACE); it.More(); it.Next())
      faces.Add(it.Current().Located(TopLoc_Location()));
  if (solids.Extent() < text.solids)
    notes.push_back({NoteSeverity::LeftOut, "lost-body",
                     fmt::format("The file declares {} solids, but only {} could be read; the rest is left out.",
                                 text.solids, solids.Extent()),
                     ""});
  if (faces.Extent() < text.faces)
    notes.push_back({NoteSeverity::Doubt, "lost-face",
                     fmt::format("The file declares {} faces, but only {} could be read.", text.faces, faces.Extent()),
                     ""});
}

void addTextNotes(const StepText& text, const KernelPart& found, Notes& notes) {
  if (text.hadMark)
    notes.push_back({NoteSeverity::Info, "byte-order-mark",
                     "The file begins with a byte order mark, which STEP does not know; it was passed over.", ""});
  if (text.holdsAnother)
    notes.push_back({NoteSeverity::LeftOut, "second-file",
                     "A second STEP file begins behind the end of the first; it was left out.", ""});
  if (!text.statesLength || found.unit.empty())
    notes.push_back({NoteSeverity::Doubt, "no-unit",
                     "The file states no unit of length; its numbers are taken as millimetres.", ""});
  if (text.dangling > 0)
    notes.push_back({NoteSeverity::Doubt, "suspect",
                     fmt::format("The file refers to {} entities that are not in it (first {}); something was lost.",
                                 text.dangling, text.firstDangling),
                     ""});
  if (!found.mistakes.empty())
    notes.push_back({NoteSeverity::Doubt, "suspect",
                     fmt::format("The file has {} mistakes of form (first: {}); check the part with care.",
                                 found.mistakes.size(), found.mistakes.front()),
                     ""});
}

void noteOddSize(const Body& body, Notes& notes) {
  const Vec3 size = body.box.size();
  const double longest = std::max({size.x, size.y, size.z});
  if (longest >= kTolerances.smallestPart_mm && longest <= kTolerances.largestPart_mm) return;
  notes.push_back({NoteSeverity::Doubt, "odd-size",
                   fmt::format("The body measures {:.4g} x {:.4g} x {:.4g} mm; the unit in the file may be wrong.",
                               size.x, size.y, size.z),
                   body.name});
}

/// Distinct bodies with their quantities. Copies of one shape at several places are described once.
Result<std::vector<Body>> describeAll(const KernelPart& found, const std::string& file, Notes& notes) {
  std::vector<Body> bodies;
  TopTools_IndexedMapOfShape seen;
  std::vector<int> bodyOf;  // per seen shape; -1: left out
  std::optional<Fault> first;
  for (const KernelSolid& solid : found.solids) {
    const TopoDS_Shape bare = solid.shape.Located(TopLoc_Location());
    if (const Standard_Integer known = seen.FindIndex(bare); known > 0) {
      if (const int body = bodyOf[static_cast<std::size_t>(known - 1)]; body >= 0)
        ++bodies[static_cast<std::size_t>(body)].quantity;
      continue;
    }
    seen.Add(bare);
    Result<Body> body = describeSolid(solid, found, file, notes);
    if (!body) {
      notes.push_back({NoteSeverity::LeftOut, "bad-body", body.error().what + " It was left out.", solid.name});
      if (!first) first = body.error();
      bodyOf.push_back(-1);
      continue;
    }
    const auto same =
        std::find_if(bodies.begin(), bodies.end(), [&](const Body& b) { return b.fingerprint == body->fingerprint; });
    bodyOf.push_back(static_cast<int>(same - bodies.begin()));
    if (same != bodies.end()) {
      ++same->quantity;
    } else {
      noteOddSize(*body, notes);
      bodies.push_back(std::move(*body));
    }
  }
  if (bodies.empty() && first) return tl::make_unexpected(*first);
  std::stable_sort(bodies.begin(), bodies.end(), [](const Body& a, const Body& b) { return a.volume > b.volume; });
  return bodies;
}

Result<Part> read(const ReadJob& job) {
  const Result<std::string> raw = load(job.path);
  if (!raw) return tl::make_unexpected(raw.error());
  const Result<StepText> text = scanStep(*raw, job.path);
  if (!text) return tl::make_unexpected(text.error());
  Result<KernelPart> found = readSolids(withoutMark(*raw), job, text->edges);
  if (!found) return tl::make_unexpected(found.error());

  Part part;
  part.file = job.path;
  part.schema = text->schema;
  part.unit = text->statesLength ? found->unit : "";
  part.declaredBodies = text->solids;
  addTextNotes(*text, *found, part.notes);
  if (found->solids.empty() && found->loose.IsNull()) return tl::make_unexpected(nothingIn(*text, job.path));
  compareWithText(*found, *text, part.notes);
  if (auto sewn = sewLoose(*found, *text, job.path, part.notes); !sewn) return tl::make_unexpected(sewn.error());
  Result<std::vector<Body>> bodies = describeAll(*found, job.path, part.notes);
  if (!bodies) return tl::make_unexpected(bodies.error());
  if (bodies->empty()) return tl::make_unexpected(nothingIn(*text, job.path));
  part.bodies = std::move(*bodies);
  return part;
}

}  // namespace

Result<Part> readInThisProcess(const ReadJob& job) {
  try {
    Result<Part> part = read(job);
    if (!part && reachedMemoryLimit()) throw std::bad_alloc();
    return part;
  } catch (const Standard_OutOfMemory&) {
    throw std::bad_alloc();
  } catch (const Standard_Failure& failure) {
    return fault(FaultCode::BadFile, job.path,
                 fmt::format("The geometry kernel gave up on this file ({}).", failure.DynamicType()->Name()),
                 "Check the body in the drawing program and export it again as STEP AP214 or AP242.");
  }
}

}  // namespace chipledger::part
