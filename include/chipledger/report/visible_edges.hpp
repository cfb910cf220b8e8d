#pragma once
// Edges of a body as seen along z in a given frame: exact edge curves, hidden runs left out by a depth grid made from
// the body's triangles. Edges whose two faces meet smoothly and seams are marked, so that they can be drawn thin or not
// at all. Error: a run may end up to one cell early or late; the curve itself is exact.
#include <chipledger/geometry/polygon.hpp>
#include <chipledger/part/part.hpp>

#include <vector>

namespace chipledger::report {

struct VisibleEdge {
  Line points;    ///< mm, XY of the frame
  bool smooth{};  ///< faces meet tangentially: no edge in the owner's eyes
};

/// `toView` moves part coordinates so that the eye looks down -z. `cell_mm` > 0 is the pitch of the depth grid.
std::vector<VisibleEdge> visibleEdges(const part::Body& body, const Frame& toView, double cell_mm);

}  // namespace chipledger::report
