#pragma once
// Where a cutter's tip can go over a surface, and what it leaves. Heights whole um, any frame with +z to the spindle.
//
//   tip(p)  = max over q within the cutter of  surface(q) - underside(|p - q|)      (dilation)
//   left(p) = min over q within the cutter of  tip(q)     + underside(|p - q|)      (closing: >= surface everywhere)
//
// Method: rim scatter. A cell whose neighbour one step towards p is at least as high never decides p, so a cell
// scatters only towards its lower sides: straight walls one row, convex corners one quadrant, plateaus nothing. Exact
// for every underside that does not fall outwards, on any field. Cells whose centre is nearer than 1e-6 mm to the rim
// are outside.
//
// Laws: tip >= surface; left >= surface; a cutter that contains another reaches nowhere lower; left of left is left.
// The grid does not decide whether a cutter fits a slot: that is a matter of the section polygons.
#include <chipledger/field/grid.hpp>
#include <chipledger/field/profile.hpp>
#include <chipledger/units/counts.hpp>

namespace chipledger::field {

/// Lowest tip heights at which the cutter, its shank and its holder clear the surface. kNoMetal where nothing of the
/// surface lies within the cutter's reach. Shank and holder are followed down to 5 mm below the lowest metal.
HeightField tipHeights(const HeightField& surface, const Profile& profile);

/// The surface left when the tip has been everywhere at or above `tips`: what its flutes cannot take.
HeightField surfaceLeft(const HeightField& tips, const Profile& profile);

/// Metal of the stock above what is left, down to the stock's underside: what the cutter would remove.
VolumeCount reachableVolume(const HeightField& stock, const HeightField& underside, const HeightField& left);

}  // namespace chipledger::field
