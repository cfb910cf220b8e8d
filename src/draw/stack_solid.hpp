#pragma once
// Solids stacked from one contour: its insets at rising heights, joined by upright walls, 45-degree or other slopes, or
// convex quarter rounds. Every face is a plane, cylinder, cone, torus or (upright spline walls) an extrusion.
#include "contour.hpp"
#include "kernel_solid.hpp"

namespace chipledger::draw {

/// The contour inset by `inset_mm` at height z_mm. `roundNext`: a quarter round leads to the next step (its rise and
/// inset change are equal), else a straight generator.
struct Step {
  double z_mm{};
  double inset_mm{};
  bool roundNext{};
};

/// Steps with rising z; two steps at one height make a ledge. Fails when an inset does not exist, or a slope meets a
/// spline or a corner at an arc.
Result<TopoDS_Shape> stackSolid(const Contour& contour, const std::vector<Step>& steps, const std::string& where);

/// Wire of a contour at a height; every edge is checked in.
Result<TopoDS_Shape> wireOf(const Contour& contour, double z_mm, const std::string& where);

}  // namespace chipledger::draw
