#pragma once
// The order of work in the kernel: body, crown, all islands in one fuse, all feet in one fillet, all cavities in one
// cut, feet inside pockets in one fillet. The volume of the whole is held against what was asked for.
// drawing_body.cpp: the plate; drawing_feet.cpp: fillets at the feet; draw_chassis.cpp: the rest.
#include <fmt/format.h>
#include <TopExp_Explorer.hxx>
#include <TopoDS_Edge.hxx>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "kernel_solid.hpp"
#include "layout.hpp"

namespace chipledger::draw {

/// Owners 0.. are the body's own faces, details follow.
enum BodyFace { kOuterFace, kBackFace, kOutlineFace, kOuterEdge, kBackEdge, kFirstDetail };

class Drawing {
public:
  Drawing(const Chassis& chassis, const Layout& layout, bool touching)
      : chassis_(chassis), layout_(layout), touching_(touching) {}

  Result<Drawn> draw();

private:
  using Bad = std::optional<Fault>;
  static int ownerOf(std::size_t item) { return static_cast<int>(item) + kFirstDetail; }
  static Bad kernel(const std::string& where, const std::string& what) { return kernelFault(where, what).value(); }

  Bad body();
  Bad breakEdge(const EdgeBreak& edge, double z);
  void nameBody();
  Bad crown();
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
  Bad single(const std::string& where);
  Result<Owned> solidOf(std::size_t index);
  Bad islands();
  Bad cavities();
  /// Foot edges of item k: between its faces and those of what it stands on.
  std::vector<TopoDS_Edge> footEdges(std::size_t k) const;
  /// One builder for all feet; when it fails, one foot at a time, and what cannot be made is said. which < 0: feet on
  /// the body, else feet in pockets.
  Bad roots(int which);
  bool fillet(const std::vector<std::size_t>& items);
  Result<Drawn> finish();
  /// Names, hints and faces of the details; fails for one of which nothing is left.
  Bad tell(Drawn& drawn, KernelSolid& solid) const;

  const Chassis& chassis_;
  const Layout& layout_;
  bool touching_{};
  Owned now_;
  Notes notes_;
  std::vector<std::size_t> withoutRoot_;
};

}  // namespace chipledger::draw
