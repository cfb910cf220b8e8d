#include <chipledger/field/stock_block.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::field {

StockBlock fullBlank(const GridSpec& spec, const Box3& blankInPlateFrame) {
  StockBlock block{HeightField(spec, kNoMetal), HeightField(spec, kNoBottom), {}};
  const auto top = static_cast<std::int32_t>(std::llround(blankInPlateFrame.max.z * 1000.0));
  const auto bottom = static_cast<std::int32_t>(std::llround(blankInPlateFrame.min.z * 1000.0));
  // The share of a cell that lies between two borders.
  const auto within = [&](double centre, double low, double high) {
    const double half = 0.5 * spec.cell();
    return std::max(0.0, std::min(centre + half, high) - std::max(centre - half, low)) / spec.cell();
  };
  std::vector<double> across(static_cast<std::size_t>(spec.nx));
  for (int i = 0; i < spec.nx; ++i)
    across[static_cast<std::size_t>(i)] = within(spec.centre(i, 0).x, blankInPlateFrame.min.x, blankInPlateFrame.max.x);
  for (int j = 0; j < spec.ny; ++j) {
    const double along = within(spec.centre(0, j).y, blankInPlateFrame.min.y, blankInPlateFrame.max.y);
    for (int i = 0; i < spec.nx; ++i) {
      const double share = across[static_cast<std::size_t>(i)] * along;
      const auto height = static_cast<std::int32_t>(share * (top - bottom) + 0.5);  // rounded: it is never negative
      if (height <= 0) continue;
      block.top(i, j) = bottom + height;
      block.bottom(i, j) = bottom;
    }
  }
  return block;
}

VolumeCount metalLeft(const StockBlock& stock) {
  std::int64_t sum = 0;
  for (std::size_t k = 0; k < stock.top.cells.size(); ++k) {
    const std::int64_t thick = std::int64_t{stock.top.cells[k]} - stock.bottom.cells[k];
    if (thick > 0) sum += thick;
  }
  for (const Gap& gap : stock.gaps)
    sum -=
        std::max(0, std::min(gap.top, stock.top.cells[gap.cell]) - std::max(gap.bottom, stock.bottom.cells[gap.cell]));
  const std::int64_t cell = stock.top.spec.cell_um;
  return {sum * cell * cell};
}

}  // namespace chipledger::field
