#pragma once
// What one short sweep of the cutter met, and the sweeps a walk is cut into.
#include <chipledger/field/removal.hpp>

namespace chipledger::field {

struct Removal::Step {
  std::int64_t removed{};  ///< um x cells
  std::int64_t cells{};    ///< cells from which more than rounding crumbs were taken
  std::int32_t gouge_um{};
  /// Metal under a cutter set down where it was not before is removed, but it is no width of cut.
  void add(const Step& other, bool asWidth = false) {
    removed += other.removed;
    if (asWidth) cells += other.cells;
    gouge_um = gouge_um > other.gouge_um ? gouge_um : other.gouge_um;
  }
};

/// A straight piece of the way. Level undersides on level ways are booked to several steps of equal length at once.
struct Removal::Sweep {
  Vec3 from, to;
  std::int32_t height{};  ///< of a level underside, um
  bool level{};           ///< a level underside: one height all over
  bool fresh{};           ///< the disc at `from` is new as well
  int segment{}, firstStep{}, steps{1};
};

}  // namespace chipledger::field
