#pragma once
// Edges with their sense, and the loops of the faces.
#include <chipledger/part/part.hpp>

#include "kernel_faces.hpp"

namespace chipledger::part {

/// Fills the loops of `table` and returns the edges in the order of the file; edges of no length are left out.
std::vector<Edge> edgeTable(const KernelFaces& faces, std::vector<Face>& table);

}  // namespace chipledger::part
