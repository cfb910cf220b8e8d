// Fillets at the feet of islands.
#include <BRepCheck_Analyzer.hxx>
#include <BRepFilletAPI_MakeFillet.hxx>
#include <Standard_ErrorHandler.hxx>
#include <Standard_Failure.hxx>
#include <TopExp.hxx>
#include <TopTools_IndexedDataMapOfShapeListOfShape.hxx>
#include <TopoDS.hxx>

#include "drawing.hpp"

namespace chipledger::draw {
std::vector<TopoDS_Edge> Drawing::footEdges(std::size_t k) const {
  const int own = ownerOf(k), parent = layout_.items[k].parent;
  const int ground = parent < 0 ? static_cast<int>(kOuterFace) : ownerOf(static_cast<std::size_t>(parent));
  TopTools_IndexedDataMapOfShapeListOfShape faces;
  TopExp::MapShapesAndAncestors(now_.shape, TopAbs_EDGE, TopAbs_FACE, faces);
  std::vector<TopoDS_Edge> found;
  for (int i = 1; i <= faces.Extent(); ++i) {
    bool mine = false, grounds = false;
    for (const TopoDS_Shape& face : faces(i)) {
      const int* owner = now_.owner.Seek(face);
      if (owner && *owner == own) mine = true;
      if (owner && *owner == ground) grounds = true;
    }
    if (mine && grounds) found.push_back(TopoDS::Edge(faces.FindKey(i)));
  }
  return found;
}

Drawing::Bad Drawing::roots(int which) {
  std::vector<std::size_t> wanted;
  for (std::size_t k = 0; k < layout_.items.size(); ++k) {
    const Item& item = layout_.items[k];
    if (item.island && item.root_mm > 0 && (item.parent < 0) == (which < 0)) wanted.push_back(k);
  }
  if (wanted.empty()) return {};
  if (fillet(wanted)) return {};
  for (std::size_t k : wanted)
    if (!fillet({k})) {
      notes_.push_back(
          {NoteSeverity::LeftOut, "root-left-out",
           fmt::format("The foot radius of {} could not be drawn; its foot is sharp.", layout_.items[k].truth.name),
           layout_.items[k].truth.name});
      withoutRoot_.push_back(k);
    }
  return {};
}

bool Drawing::fillet(const std::vector<std::size_t>& items) {
  try {
    OCC_CATCH_SIGNALS
    BRepFilletAPI_MakeFillet builder(now_.shape);
    Owned next;
    std::vector<std::pair<TopoDS_Edge, int>> added;
    for (std::size_t k : items)
      for (const TopoDS_Edge& edge : footEdges(k)) {
        if (!builder.Contour(edge)) builder.Add(layout_.items[k].root_mm, edge);
        added.emplace_back(edge, ownerOf(k));
      }
    if (added.empty()) return false;
    builder.Build();
    if (!builder.IsDone()) return false;
    next.shape = builder.Shape();
    if (!BRepCheck_Analyzer(next.shape).IsValid()) return false;
    carry(builder, now_.owner, next.owner);
    for (const auto& [edge, owner] : added)
      for (const TopoDS_Shape& face : builder.Generated(edge)) next.owner.Bind(face, owner);
    for (const auto& [edge, owner] : added)
      for (TopExp_Explorer v(edge, TopAbs_VERTEX); v.More(); v.Next())
        for (const TopoDS_Shape& face : builder.Generated(v.Current()))
          if (!next.owner.IsBound(face)) next.owner.Bind(face, owner);
    const Owned before = now_;
    now_ = std::move(next);
    if (single("foot")) {
      now_ = before;
      return false;
    }
    return true;
  } catch (const Standard_Failure&) {
    return false;
  }
}

}  // namespace chipledger::draw
