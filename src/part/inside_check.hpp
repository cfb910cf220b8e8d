#pragma once
// Does every face have metal behind it and air before it? A solid whose faces cross each other (an arc that took the
// long way round, a face of another part) closes, has a volume, and is wrong; only this tells.
#include <chipledger/part/part.hpp>

#include <vector>

namespace chipledger::part {

/// Faces all of whose tested samples fail: the winding number of the mesh just before the face is not 0, or just behind
/// it not 1. At most three samples a face; rays through a plane grid of the triangles, O(faces) of them.
std::vector<FaceId> misplacedFaces(const Body& body);

}  // namespace chipledger::part
