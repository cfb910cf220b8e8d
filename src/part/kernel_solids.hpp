#pragma once
// From STEP text to the kernel's solids, with names and colours.
#include <chipledger/part/part.hpp>

#include "reader_job.hpp"

#include <TopoDS_Shape.hxx>

#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace chipledger::part {

struct KernelSolid {
  TopoDS_Shape shape;  ///< one solid, placed
  std::string name;
  std::optional<Colour> colour;
};

struct KernelPart {
  std::vector<KernelSolid> solids;  ///< in the order of the file
  TopoDS_Shape loose;               ///< faces outside any solid; null when there are none
  std::string unit;                 ///< as the file names it; empty: none
  std::unordered_map<const void*, std::string>
      faceNames;                                    ///< by the address of the face's own geometry; looked up only
  std::unordered_map<const void*, Colour> colours;  ///< of faces and solids
  std::vector<std::string> mistakes;                ///< of form, that the kernel passed over
};

/// Fails (BadFile) when the kernel refuses the text or finds no shape. `edges`: how many the text declares; with very
/// many of them the kernel is told not to look for wires that cross within a face, which it does edge by edge against
/// every other (5,000 holes in one face: 50 s of 65 s); what that would have mended shows in our own checks of the
/// solid afterwards.
Result<KernelPart> readSolids(std::string_view text, const ReadJob& job, int edges);

}  // namespace chipledger::part
