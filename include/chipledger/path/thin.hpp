#pragma once
// Where the part itself is thin: what a finishing pass leaves under a floor or beside a wall. Setup frame, mm.
//   floor   the least thickness that the details say for recesses that make up most of the floor; on the side that is
//           cut first the metal still standing below carries it
//   wall    strips of what stands beside a floor that are thinner than height / easy ratio, found by opening the region
//           with a disc of half that thickness; slivers at convex corners are smaller than the square of the thickness
// Holds: nothing thin gives zeros. A strip shorter than about three times its thickness is taken for a stub and not
// seen.
#include <chipledger/path/chart.hpp>
#include <chipledger/path/kit.hpp>

namespace chipledger::path {

/// Thickness left under a floor at `z_mm`; 0: solid.
double floorLeft(const Work& work, const Region& floor, double z_mm);

/// The wall of largest height over thickness beside a floor at `foot_mm`; wall_mm is 0 when every one is stiff.
ThinWork thinnestWall(const Work& work, const Chart& chart, const Region& obstacle, double foot_mm);

}  // namespace chipledger::path
