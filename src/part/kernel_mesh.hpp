#pragma once
// Triangles of a solid, welded along the solid's own edges and corners (not by distance), outward.
#include <chipledger/part/part.hpp>

#include <TopTools_IndexedMapOfShape.hxx>
#include <TopoDS_Shape.hxx>

namespace chipledger::part {

struct MeshFineness {
  double deflection_mm{};
  double turn_rad{};
};

/// Meshes afresh; the kernel keeps its own triangles on the shape. Faces in the order of `faces`.
Mesh meshSolid(const TopoDS_Shape& solid, const TopTools_IndexedMapOfShape& faces, const MeshFineness& fineness);

/// The fineness that numbers are taken from, for a part of this diagonal with this many edges.
MeshFineness finenessFor(double diagonal_mm, int edges);

Volume meshVolume(const Mesh& mesh);

}  // namespace chipledger::part
