#pragma once
// What is left of the blank: per cell the highest and lowest metal in the plate frame, um. Both sides share it, so what
// one side cut is air for the other. Removal works on one side's heights at a time, in the setup frame.
#include <chipledger/field/grid.hpp>
#include <chipledger/units/counts.hpp>

namespace chipledger::field {

/// A void inside the column of a cell: metal ends at `top` and begins again at `bottom` below it.
struct Gap {
  std::size_t cell{};
  std::int32_t top{}, bottom{};
};

struct StockBlock {
  HeightField top;          ///< plate frame; kNoMetal where the cell is cut through
  HeightField bottom;       ///< plate frame; kNoBottom where the cell is cut through
  std::vector<Gap> gaps{};  ///< further directions only: by cell, from above
};
/// Underside of a cell without metal: above every top.
inline constexpr std::int32_t kNoBottom = -kNoMetal;

/// A full blank. A cell that lies in it with a share of its area holds that share of the height, so that the volume is
/// the blank's whatever its size is in cells.
StockBlock fullBlank(const GridSpec& spec, const Box3& blankInPlateFrame);
/// Metal left, exact integer sum of cells.
VolumeCount metalLeft(const StockBlock& stock);

}  // namespace chipledger::field
