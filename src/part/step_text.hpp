#pragma once
// What the text of a STEP file (ISO 10303-21) tells before the geometry kernel sees it: that it is one, that it is
// whole, and how many solids and faces it says it holds. The kernel crashes, hangs or answers wrongly on some of the
// texts refused here.
#include <chipledger/result/result.hpp>

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace chipledger::part {

struct StepText {
  std::string schema;                   ///< "AP203", "AP214", "AP242"; otherwise the name the file gives
  int solids{};                         ///< MANIFOLD_SOLID_BREP, BREP_WITH_VOIDS, FACETED_BREP
  int faces{};                          ///< ADVANCED_FACE and FACE_SURFACE
  int shells{};                         ///< CLOSED_SHELL and OPEN_SHELL
  int edges{};                          ///< EDGE_CURVE
  bool trianglesOnly{};                 ///< holds triangles where a solid should be (tessellated shapes)
  bool hadMark{};                       ///< began with a UTF-8 byte order mark
  bool statesLength{};                  ///< a length unit is given
  bool holdsAnother{};                  ///< a second file begins behind the end mark of the first
  int dangling{};                       ///< references to entities that are not there
  std::string firstDangling;            ///< "#123"
  std::vector<std::string> otherFiles;  ///< names of files it refers to, without repeats
};

/// Valid UTF-8 as it is; otherwise every byte above 127 read as Latin-1, so that a name never spoils a report.
std::string utf8(std::string_view text);

/// The text without a byte order mark.
std::string_view withoutMark(std::string_view text);

/// Fails (BadFile) with its own sentence for: empty, web page, archive, large-file pointer, IGES, UTF-16, not STEP, cut
/// off, SCOPE blocks, absurd nesting, NaN and infinite or absurd numbers, zero radii and directions, empty loops.
/// O(length).
Result<StepText> scanStep(std::string_view text, const std::string& file);

}  // namespace chipledger::part
