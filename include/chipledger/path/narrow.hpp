#pragma once
// Places that a cutter passes, but not with roughing's allowance on both walls: cut along their middle at full width.
#include <chipledger/path/pass.hpp>

#include <vector>

namespace chipledger::path {

/// Where a tip centre fits in `place` without allowance and nowhere near one with it: long pieces only.
Region narrowRoom(const Region& place, const Region& obstacle, double radius_mm, double allowance_mm, double fit_mm);
/// Radius of the largest disc in a region.
double halfWidth(const Region& region);
/// One pass per piece along its middle, from end to end whatever its bends; a piece that branches or closes on itself
/// is gone round once.
std::vector<Pass> middlePasses(const Region& room, double z_mm);

}  // namespace chipledger::path
