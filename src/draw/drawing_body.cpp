// The plate in the kernel: outline, edge breaks, crown, and which face is which.
#include <BRepAlgoAPI_Common.hxx>
#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepFilletAPI_MakeChamfer.hxx>
#include <BRepFilletAPI_MakeFillet.hxx>
#include <BRepPrimAPI_MakePrism.hxx>
#include <BRepPrimAPI_MakeRevol.hxx>
#include <TopExp.hxx>
#include <TopLoc_Location.hxx>
#include <TopTools_IndexedMapOfShape.hxx>
#include <TopoDS.hxx>
#include <gp_Ax1.hxx>
#include <gp_Ax2.hxx>
#include <gp_Circ.hxx>
#include <gp_Trsf.hxx>
#include "stack_solid.hpp"

#include "drawing.hpp"

namespace chipledger::draw {
namespace {

constexpr double kSide_mm = 1e-6;  ///< for telling body faces by the height of their middle

}  // namespace

Drawing::Bad Drawing::body() {
  const double t = layout_.thickness_mm;
  auto solid = stackSolid(layout_.outline, layout_.bodySteps, "outline");
  std::vector<std::pair<EdgeBreak, double>> later;
  if (!solid && layout_.outline.hasSpline() && smooth(layout_.outline)) {
    // Insets of splines are no splines: the kernel's own builders break these edges.
    solid = stackSolid(layout_.outline, {{0, 0, false}, {t, 0, false}}, "outline");
    later = {{chassis_.outerEdge, t}, {chassis_.backEdge, 0.0}};
  }
  if (!solid) return solid.error();
  now_.shape = *solid;
  for (const auto& [edge, z] : later)
    if (auto bad = breakEdge(edge, z)) return bad;
  nameBody();
  if (chassis_.crown) return crown();
  return {};
}

Drawing::Bad Drawing::breakEdge(const EdgeBreak& edge, double z) {
  if (edge.kind == EdgeBreak::Kind::Sharp || toMm(edge.size) == 0) return {};
  TopTools_IndexedMapOfShape edges;
  for (TopExp_Explorer face(now_.shape, TopAbs_FACE); face.More(); face.Next())
    if (std::abs(faceHeight(face.Current()) - z) < kSide_mm) TopExp::MapShapes(face.Current(), TopAbs_EDGE, edges);
  const double before = measure(now_.shape).volume_mm3;
  const auto take = [&](auto& builder) -> Bad {
    for (int i = 1; i <= edges.Extent(); ++i)
      if (!builder.Contour(TopoDS::Edge(edges(i)))) builder.Add(toMm(edge.size), TopoDS::Edge(edges(i)));
    builder.Build();
    if (!builder.IsDone())
      return Fault{FaultCode::BadFile, "edge.size", "the edge of this spline outline cannot be broken by so much.",
                   "Make the edge break smaller, or the outline smoother."};
    now_.shape = builder.Shape();
    return {};
  };
  Bad bad;
  if (edge.kind == EdgeBreak::Kind::Chamfer) {
    BRepFilletAPI_MakeChamfer chamfer(now_.shape);
    bad = take(chamfer);
  } else {
    BRepFilletAPI_MakeFillet round(now_.shape);
    bad = take(round);
  }
  if (!bad && measure(now_.shape).volume_mm3 >= before) return kernel("edge.size", "An edge break took nothing away.");
  return bad;
}

void Drawing::nameBody() {
  const double t = layout_.thickness_mm;
  const auto size = [](const EdgeBreak& e) { return e.kind == EdgeBreak::Kind::Sharp ? 0.0 : toMm(e.size); };
  now_.owner.Clear();
  for (TopExp_Explorer face(now_.shape, TopAbs_FACE); face.More(); face.Next()) {
    const double z = faceHeight(face.Current());
    int owner = kOutlineFace;
    if (z > t - kSide_mm)
      owner = kOuterFace;
    else if (z < kSide_mm)
      owner = kBackFace;
    else if (z > t - size(chassis_.outerEdge))
      owner = kOuterEdge;
    else if (z < size(chassis_.backEdge))
      owner = kBackEdge;
    now_.owner.Bind(face.Current(), owner);
  }
}

Drawing::Bad Drawing::crown() {
  const double ra = toMm(chassis_.crown->acrossRadius), rl = toMm(chassis_.crown->alongRadius);
  const double t = layout_.thickness_mm;
  const Box2 b = box(layout_.outlineRegion);
  const double halfX = b.size().x / 2 + 5, halfY = std::min(b.size().y / 2 + 5, 0.999 * ra), below = -1.0;
  const Vec2 c = layout_.crownCentre;
  const double rim = t - ra + std::sqrt(ra * ra - halfY * halfY);
  if (rim <= below + kSide_mm)
    return Fault{FaultCode::BadFile, "crown.across_radius", "the crown is too round for the outline.",
                 "Give a larger radius."};
  const double x0 = rl == 0 ? c.x - halfX : c.x;
  const gp_Pnt left(x0, c.y - halfY, rim), right(x0, c.y + halfY, rim);
  const gp_Pnt lowLeft(x0, c.y - halfY, below), lowRight(x0, c.y + halfY, below);
  const gp_Pnt centre(x0, c.y, t - ra);
  // About +x the arc over the top turns from right (+y) to left.
  const gp_Circ turned(gp_Ax2(centre, gp_Dir(1, 0, 0), gp_Dir(gp_Vec(centre, right))), ra);
  BRepBuilderAPI_MakeWire wire(BRepBuilderAPI_MakeEdge(turned, right, left), BRepBuilderAPI_MakeEdge(left, lowLeft),
                               BRepBuilderAPI_MakeEdge(lowLeft, lowRight), BRepBuilderAPI_MakeEdge(lowRight, right));
  if (!wire.IsDone()) return kernel("crown", "The section of the crown does not close.");
  BRepBuilderAPI_MakeFace face(wire.Wire(), true);
  if (!face.IsDone()) return kernel("crown", "The section of the crown is not plane.");
  TopoDS_Shape tool;
  if (rl == 0) {
    tool = BRepPrimAPI_MakePrism(face.Face(), gp_Vec(2 * halfX, 0, 0)).Shape();
  } else {
    const double lean = std::atan2(halfX + 1, rl - t + below);  // the sector's end planes clear the outline
    gp_Trsf back;
    back.SetRotation(gp_Ax1(gp_Pnt(c.x, c.y, t - rl), gp_Dir(0, 1, 0)), -lean);
    tool = BRepPrimAPI_MakeRevol(face.Face().Moved(TopLoc_Location(back)),
                                 gp_Ax1(gp_Pnt(c.x, c.y, t - rl), gp_Dir(0, 1, 0)), 2 * lean)
               .Shape();
  }
  return apply<BRepAlgoAPI_Common>({owned(tool, kOuterFace)}, "crown");
}

}  // namespace chipledger::draw
