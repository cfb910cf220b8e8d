#pragma once
// Loose faces into solids, where they close.
#include <TopoDS_Shape.hxx>

#include <vector>

namespace chipledger::part {

struct Sewn {
  std::vector<TopoDS_Shape> solids;  ///< closed, looking outward
  int faces{};                       ///< given
  int openFaces{};                   ///< in shells that do not close
  int openEdges{};
};

Sewn sewFaces(const TopoDS_Shape& faces);

}  // namespace chipledger::part
