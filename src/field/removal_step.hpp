#pragma once
// What one short sweep of the cutter met.
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

}  // namespace chipledger::field
