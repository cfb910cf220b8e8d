#pragma once
// The cells of a plate-frame grid as a setup sees them: the same cells, turned over or by quarter turns, never
// resampled.
#include <chipledger/field/grid.hpp>

namespace chipledger::field {

struct CellMap {
  GridSpec plate, setup;
  bool swapped{};               ///< setup x runs along plate y
  bool flippedX{}, flippedY{};  ///< setup axis runs against the plate axis it lies on
  bool lookingUp{};             ///< the setup's +z is the plate's -z
  std::int32_t shift_um{};      ///< z in setup = (lookingUp ? -z : z) + shift

  /// Index of setup cell (i, j) in plate-frame arrays.
  std::size_t plateIndex(int i, int j) const {
    const int u = flippedX ? setup.nx - 1 - i : i;
    const int v = flippedY ? setup.ny - 1 - j : j;
    return swapped ? plate.at(v, u) : plate.at(u, v);
  }
};

/// `plateToSetup` must take every axis to an axis (quarter turns, half turns): its rows are read as the nearest ones.
CellMap cellMap(const GridSpec& plate, const Frame& plateToSetup);
/// The plate grid's own cells in the setup frame.
inline GridSpec gridInSetup(const GridSpec& plate, const Frame& plateToSetup) {
  return cellMap(plate, plateToSetup).setup;
}

}  // namespace chipledger::field
