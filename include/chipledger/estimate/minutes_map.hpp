#pragma once
// Where on the part the minutes go: a grid for each setup. The likely time of every move is laid along its path, evenly
// by length, and from there over the disc of its cutter, for the cutter works on all the metal under it.
//   minutes(cell) = sum over operations, over points of the path: time at the point x share of the disc in the cell
// What holds (tested): the cells of a setup add up to the time of its moves; changes of cutter belong to no place and
// stand apart. A standing cutter (a drill, a dwell) spreads over its own disc.
// Frame: the setup's, x and y in mm. Error: a cell of the disc counts whole or not at all.
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/motion/machine.hpp>

#include <vector>

namespace chipledger::estimate {

inline constexpr double kMapCell_mm = 1.0;  ///< finer than any cutter that takes minutes, coarse enough to draw

struct MinutesMap {
  int setup{};
  double x0{}, y0{}, cell_mm{kMapCell_mm};  ///< lower corner of the first cell
  int nx{}, ny{};
  std::vector<double> minutes;  ///< per cell, row by row

  double at(int i, int j) const {
    return minutes[static_cast<std::size_t>(j) * static_cast<std::size_t>(nx) + static_cast<std::size_t>(i)];
  }
  /// Per square centimetre.
  double perCm2(int i, int j) const { return at(i, j) * 100.0 / (cell_mm * cell_mm); }
  double most() const;  ///< highest minutes per cm2
};

/// One map for each setup, in order. Setups without moves get an empty one. O(moves + cells x disc) per operation.
/// Fails: as planTimes does.
Result<std::vector<MinutesMap>> minutesMaps(const Estimate& estimate, const motion::Machine& machine,
                                            double cell_mm = kMapCell_mm);

}  // namespace chipledger::estimate
