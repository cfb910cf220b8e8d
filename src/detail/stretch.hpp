#pragma once
// Moving one side of the part while the other stays: the slice of metal that is drawn out or left out between them.
#include <chipledger/detail/change.hpp>

namespace chipledger::detail {

/// Heights of what stands on a detail's wall, from its faces: fillet above the foot or floor, edge below the rim.
struct WallEnds {
  double fillet_mm{}, edge_mm{};
};
WallEnds wallEnds(const Standing& part, int index);

/// The detail and all that sits in or on it, openings that go on through the body included.
std::vector<int> family(const Details& details, int index);

/// Solid metal under (or over) a piece of the plan: no floor, opening or edge lies between the two heights.
struct Layer {
  Region region;
  double low_mm{}, high_mm{};
  std::string lowest, highest;  ///< what ends it below and above
};
/// Metal of `region` between `low` and `high`, cut where recesses of either side reach into it. Details in `skip` are
/// not looked at.
std::vector<Layer> layers(const Details& details, const Region& region, double low_mm, double high_mm,
                          const std::vector<int>& skip = {});

/// The lifts that move what is seen from above (`Outer`) or from below (`Back`) by `by_mm` while the other side stays.
/// At least `leave_mm` of each layer stays. Fails with what stands in the way.
Result<std::vector<field::Change>> moveSide(Side side, const std::vector<Layer>& layers, double by_mm, double leave_mm);

/// How far the side may move towards the other, and the layer that ends it.
struct Room {
  double by_mm{};
  std::string lowest, highest;
};
Room roomBetween(const std::vector<Layer>& layers);

/// Heights of the details named moved with the side: recesses and what stands there altogether, openings through at the
/// moved end.
void moveDetails(Details& details, const std::vector<int>& which, Side side, double by_mm);

}  // namespace chipledger::detail
