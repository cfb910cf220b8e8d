// The order of work in the kernel: body, crown, all islands in one fuse, all feet in one fillet, all cavities in one
// cut, feet inside pockets in one fillet. Each step's volume is held against what it should have done.
#include "kernel_solid.hpp"
#include "layout.hpp"

#include <fmt/format.h>
#include <BRepAlgoAPI_Common.hxx>
#include <BRepAlgoAPI_Cut.hxx>
#include <BRepAlgoAPI_Fuse.hxx>
#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepCheck_Analyzer.hxx>
#include <BRepFilletAPI_MakeChamfer.hxx>
#include <BRepFilletAPI_MakeFillet.hxx>
#include <BRepGProp.hxx>
#include <BRepPrimAPI_MakePrism.hxx>
#include <BRepPrimAPI_MakeRevol.hxx>
#include <BRepPrimAPI_MakeSphere.hxx>
#include <GProp_GProps.hxx>
#include <Standard_Failure.hxx>
#include <TopExp.hxx>
#include <TopExp_Explorer.hxx>
#include <TopLoc_Location.hxx>
#include <TopTools_IndexedDataMapOfShapeListOfShape.hxx>
#include <TopTools_IndexedMapOfShape.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Edge.hxx>
#include <algorithm>
#include <cmath>
#include <gp_Ax1.hxx>
#include <gp_Ax2.hxx>
#include <gp_Circ.hxx>
#include <gp_Trsf.hxx>

namespace chipledger::draw {
namespace {

// Owners 0.. are the body's own faces, details follow.
enum BodyFace { kOuterFace, kBackFace, kOutlineFace, kOuterEdge, kBackEdge, kFirstDetail };
const char* const kBodyFaceNames[] = {"outer face", "back face", "outline", "outer edge", "back edge"};

// Relative; both far below the least detail. Measured over 100 random plates: 1e-8 and 1e-5 (integrator on spline
// walls).
constexpr double kVolumeMatch = 2e-7, kVolumeMatchSpline = 3e-5;
constexpr double kSide_mm = 1e-6;  ///< for telling body faces by the height of their middle

class Drawing {
public:
  Drawing(const Chassis& chassis, const Layout& layout) : chassis_(chassis), layout_(layout) {}

  Result<Drawn> draw() {
    if (auto bad = body()) return tl::make_unexpected(*bad);
    if (auto bad = islands()) return tl::make_unexpected(*bad);
    if (auto bad = roots(-1)) return tl::make_unexpected(*bad);
    if (auto bad = cavities()) return tl::make_unexpected(*bad);
    if (auto bad = roots(0)) return tl::make_unexpected(*bad);
    return finish();
  }

private:
  using Bad = std::optional<Fault>;
  static int ownerOf(std::size_t item) { return static_cast<int>(item) + kFirstDetail; }
  static Bad kernel(const std::string& where, const std::string& what) { return kernelFault(where, what).value(); }

  Bad body() {
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

  Bad breakEdge(const EdgeBreak& edge, double z) {
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
    if (!bad && measure(now_.shape).volume_mm3 >= before)
      return kernel("edge.size", "An edge break took nothing away.");
    return bad;
  }

  void nameBody() {
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

  Bad crown() {
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

  /// One boolean: owners carried over, result a single solid.
  template <class Operation>
  Bad apply(const std::vector<Owned>& tools, const std::string& where) {
    if (tools.empty()) return {};
    TopTools_ListOfShape arguments, others;
    arguments.Append(now_.shape);
    for (const Owned& tool : tools) others.Append(tool.shape);
    Operation operation;
    operation.SetArguments(arguments);
    operation.SetTools(others);
    operation.SetRunParallel(false);
    operation.Build();
    if (!operation.IsDone() || operation.HasErrors()) return kernel(where, "A boolean operation failed.");
    Owned next{operation.Shape(), {}};
    carry(operation, now_.owner, next.owner);
    for (const Owned& tool : tools) carry(operation, tool.owner, next.owner);
    now_ = std::move(next);
    keepPresent(now_);
    return single(where);
  }

  Bad single(const std::string& where) {
    int solids = 0;
    TopoDS_Shape first;
    for (TopExp_Explorer s(now_.shape, TopAbs_SOLID); s.More(); s.Next())
      if (++solids == 1) first = s.Current();
    if (solids == 0) return Fault{FaultCode::BadFile, where, "nothing is left of the body.", "Check the sizes."};
    if (solids > 1)
      return Fault{FaultCode::BadFile, where, fmt::format("the body falls into {} pieces.", solids),
                   "Check openings and slots that run right across."};
    now_.shape = first;
    keepPresent(now_);
    return {};
  }

  Result<Owned> solidOf(std::size_t index) {
    const Item& item = layout_.items[index];
    auto solid = stackSolid(item.contour, item.steps, item.truth.name);
    if (!solid) return tl::make_unexpected(solid.error());
    if (item.dome_mm == 0) return owned(*solid, ownerOf(index));
    const Vec2 c = item.domeCentre;
    const double r = item.dome_mm;
    BRepAlgoAPI_Common common(*solid, BRepPrimAPI_MakeSphere(gp_Pnt(c.x, c.y, item.floor_mm - r), r).Shape());
    if (!common.IsDone() || common.HasErrors()) return kernelFault(item.truth.name, "The dome could not be made.");
    return owned(common.Shape(), ownerOf(index));
  }

  Bad islands() {
    std::vector<Owned> tools;
    for (std::size_t i = 0; i < layout_.items.size(); ++i) {
      if (!layout_.items[i].island || layout_.items[i].parent >= 0) continue;
      auto tool = solidOf(i);
      if (!tool) return tool.error();
      tools.push_back(std::move(*tool));
    }
    return apply<BRepAlgoAPI_Fuse>(tools, "islands");
  }

  Bad cavities() {
    std::vector<Owned> tools;
    for (std::size_t i = 0; i < layout_.items.size(); ++i) {
      if (layout_.items[i].island) continue;
      auto tool = solidOf(i);
      if (!tool) return tool.error();
      // What stands in a pocket is taken out of its cutter.
      std::vector<Owned> standing;
      for (std::size_t k = 0; k < layout_.items.size(); ++k)
        if (layout_.items[k].island && layout_.items[k].parent == static_cast<int>(i)) {
          auto inner = solidOf(k);
          if (!inner) return inner.error();
          standing.push_back(std::move(*inner));
        }
      if (!standing.empty()) {
        std::swap(now_, *tool);
        auto bad = apply<BRepAlgoAPI_Cut>(standing, layout_.items[i].truth.name);
        std::swap(now_, *tool);
        if (bad) return bad;
      }
      tools.push_back(std::move(*tool));
    }
    return apply<BRepAlgoAPI_Cut>(tools, "cavities");
  }

  // Foot edges of item k: between its faces and those of what it stands on.
  std::vector<TopoDS_Edge> footEdges(std::size_t k) const {
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

  /// One builder for all feet; when it fails, one foot at a time, and what cannot be made is said. which < 0: feet on
  /// the body, else feet in pockets.
  Bad roots(int which) {
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

  bool fillet(const std::vector<std::size_t>& items) {
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

  Result<Drawn> finish() {
    if (!BRepCheck_Analyzer(now_.shape).IsValid()) return kernelFault(chassis_.name, "The solid is not sound.");
    const Measures m = measure(now_.shape);
    double expected = layout_.volume_mm3, doubt = 0.0;
    bool exact = !touching_ && withoutRoot_.empty();
    for (const Item& item : layout_.items) {
      expected += item.volume_mm3;
      exact = exact && item.exact;
      doubt += item.doubt_mm3;
    }
    for (std::size_t k : withoutRoot_) doubt += rootFilletVolume(layout_.items[k].contour, layout_.items[k].root_mm);
    if (!touching_ && std::abs(m.volume_mm3 - expected) >
                          doubt + (layout_.outline.hasSpline() ? kVolumeMatchSpline : kVolumeMatch) * expected)
      return kernelFault(chassis_.name,
                         fmt::format("The solid has {:.4f} mm3 where {:.4f} were asked for: a detail was lost.",
                                     m.volume_mm3, expected));
    Drawn drawn;
    drawn.name = chassis_.name;
    drawn.unit = chassis_.unit;
    drawn.volume = mm3(m.volume_mm3);
    drawn.area = mm2(m.area_mm2);
    if (exact) drawn.closedForm = mm3(expected);
    drawn.notes = notes_;
    auto solid = std::make_shared<KernelSolid>();
    solid->solid = now_.shape;
    solid->owner = now_.owner;
    for (const char* name : kBodyFaceNames) solid->marks.push_back({name, std::nullopt});
    solid->marks[kOuterFace].hint = chassis_.outerFaceHint;
    solid->marks[kBackFace].hint = chassis_.backFaceHint;
    std::vector<int> count(layout_.items.size(), 0);
    for (TopExp_Explorer face(now_.shape, TopAbs_FACE); face.More(); face.Next()) {
      ++drawn.faces;
      if (const int* owner = now_.owner.Seek(face.Current()); owner && *owner >= kFirstDetail)
        ++count[static_cast<std::size_t>(*owner - kFirstDetail)];
    }
    for (std::size_t i = 0; i < layout_.items.size(); ++i) {
      const Item& item = layout_.items[i];
      solid->marks.push_back({item.truth.name, item.hint});
      drawn.details.push_back(item.truth);
      drawn.details.back().faces = count[i];
      if (count[i] == 0)
        return fault(FaultCode::BadFile, item.truth.name, "nothing of it is left: other details take it away.",
                     "Move it, or leave it out.");
    }
    drawn.solid = std::move(solid);
    return drawn;
  }

public:
  bool touching_{};

private:
  const Chassis& chassis_;
  const Layout& layout_;
  Owned now_;
  Notes notes_;
  std::vector<std::size_t> withoutRoot_;
};

}  // namespace

Result<Drawn> drawChassis(const Chassis& chassis, const DrawOptions& options) {
  const bool touching = chassis.detailsMayTouch || options.touching == Touching::Allow;
  auto layout = layOut(chassis, options);
  if (!layout) return tl::make_unexpected(layout.error());
  silenceKernel();
  try {
    OCC_CATCH_SIGNALS
    Drawing drawing(chassis, *layout);
    drawing.touching_ = touching;
    return drawing.draw();
  } catch (const Standard_Failure& failure) {
    return kernelFault(chassis.name, fmt::format("The geometry kernel gave up ({}).", failure.GetMessageString()));
  }
}

}  // namespace chipledger::draw
