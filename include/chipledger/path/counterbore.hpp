#pragma once
// Counterbores: a flat mill goes down a helix in the wider part of a drilled hole and round once on its floor.
//   offset of the axis   e = (seat diameter - D) / 2, D the mill's diameter
//   no core is left where e - D / 2 is within the drilled hole; the length is that of the entry helix (path/entry.hpp)
// Where no mill of the crib does it in one go, the seat is cleared like a pocket.
#include <chipledger/path/holes.hpp>

#include <vector>

namespace chipledger::path {

double boreOffset(const HoleSpot& spot, const cutting::Cutter& mill);
/// Down from `from_mm` to the seat; ends with the level turn.
std::vector<Segment> counterborePath(const HoleSpot& spot, const cutting::Cutter& mill, double from_mm, Angle ramp);
/// Sets the cheapest mill for the seat of this hole, if there is one.
void chooseCounterbore(const Work& work, HolePlan& hole);

/// The helix overlaps the hole by at least this much. Common practice, no source.
inline constexpr double kNoCore_mm = 0.05;

}  // namespace chipledger::path
