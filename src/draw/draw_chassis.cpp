#include <BRepAlgoAPI_Common.hxx>
#include <BRepAlgoAPI_Cut.hxx>
#include <BRepAlgoAPI_Fuse.hxx>
#include <BRepCheck_Analyzer.hxx>
#include <BRepPrimAPI_MakeSphere.hxx>
#include <Standard_ErrorHandler.hxx>
#include <Standard_Failure.hxx>
#include <utility>

#include "drawing.hpp"
#include "stack_solid.hpp"

namespace chipledger::draw {
namespace {

const char* const kBodyFaceNames[] = {"outer face", "back face", "outline", "outer edge", "back edge"};

// Relative; both far below the least detail. Measured over 100 random plates: 1e-8 and 1e-5 (integrator on spline
// walls).
constexpr double kVolumeMatch = 2e-7, kVolumeMatchSpline = 3e-5;
/// A crown is a piece of a torus cut by cylinders: with one bore in it the kernel's volume is up to 4e-7 off (measured).
constexpr double kVolumeMatchCrown = 1e-6;

}  // namespace

Result<Drawn> Drawing::draw() {
  if (auto bad = body()) return tl::make_unexpected(*bad);
  if (auto bad = islands()) return tl::make_unexpected(*bad);
  if (auto bad = roots(-1)) return tl::make_unexpected(*bad);
  if (auto bad = cavities()) return tl::make_unexpected(*bad);
  if (auto bad = roots(0)) return tl::make_unexpected(*bad);
  return finish();
}

Drawing::Bad Drawing::single(const std::string& where) {
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

Result<Owned> Drawing::solidOf(std::size_t index) {
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

Drawing::Bad Drawing::islands() {
  std::vector<Owned> tools;
  for (std::size_t i = 0; i < layout_.items.size(); ++i) {
    if (!layout_.items[i].island || layout_.items[i].parent >= 0) continue;
    auto tool = solidOf(i);
    if (!tool) return tool.error();
    tools.push_back(std::move(*tool));
  }
  return apply<BRepAlgoAPI_Fuse>(tools, "islands");
}

Drawing::Bad Drawing::cavities() {
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

Drawing::Bad Drawing::tell(Drawn& drawn, KernelSolid& solid) const {
  solid.solid = now_.shape;
  solid.owner = now_.owner;
  for (const char* name : kBodyFaceNames) solid.marks.push_back({name, std::nullopt});
  solid.marks[kOuterFace].hint = chassis_.outerFaceHint;
  solid.marks[kBackFace].hint = chassis_.backFaceHint;
  std::vector<int> count(layout_.items.size(), 0);
  for (TopExp_Explorer face(now_.shape, TopAbs_FACE); face.More(); face.Next()) {
    ++drawn.faces;
    if (const int* owner = now_.owner.Seek(face.Current()); owner && *owner >= kFirstDetail)
      ++count[static_cast<std::size_t>(*owner - kFirstDetail)];
  }
  for (std::size_t i = 0; i < layout_.items.size(); ++i) {
    const Item& item = layout_.items[i];
    solid.marks.push_back({item.truth.name, item.hint});
    drawn.details.push_back(item.truth);
    drawn.details.back().faces = count[i];
    if (count[i] == 0)
      return Fault{FaultCode::BadFile, item.truth.name, "nothing of it is left: other details take it away.",
                   "Move it, or leave it out."};
  }
  return {};
}

Result<Drawn> Drawing::finish() {
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
  const double match =
      layout_.outline.hasSpline() ? kVolumeMatchSpline : (chassis_.crown ? kVolumeMatchCrown : kVolumeMatch);
  if (!touching_ && std::abs(m.volume_mm3 - expected) > doubt + match * expected)
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
  if (auto bad = tell(drawn, *solid)) return tl::make_unexpected(*bad);
  drawn.solid = std::move(solid);
  return drawn;
}

Result<Drawn> drawChassis(const Chassis& chassis, const DrawOptions& options) {
  const bool touching = chassis.detailsMayTouch || options.touching == Touching::Allow;
  auto layout = layOut(chassis, options);
  if (!layout) return tl::make_unexpected(layout.error());
  silenceKernel();
  try {
    OCC_CATCH_SIGNALS
    return Drawing(chassis, *layout, touching).draw();
  } catch (const Standard_Failure& failure) {
    return kernelFault(chassis.name, fmt::format("The geometry kernel gave up ({}).", failure.GetMessageString()));
  }
}

}  // namespace chipledger::draw
