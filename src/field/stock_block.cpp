#include <chipledger/field/stock_block.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::field {

StockBlock fullBlank(const GridSpec& spec, const Box3& blankInPlateFrame) {
  StockBlock block{HeightField(spec, kNoMetal), HeightField(spec, kNoBottom), {}};
  const auto top = static_cast<std::int32_t>(std::llround(blankInPlateFrame.max.z * 1000.0));
  const auto bottom = static_cast<std::int32_t>(std::llround(blankInPlateFrame.min.z * 1000.0));
  for (int j = 0; j < spec.ny; ++j) {
    for (int i = 0; i < spec.nx; ++i) {
      const Vec2 c = spec.centre(i, j);
      if (c.x < blankInPlateFrame.min.x || c.x > blankInPlateFrame.max.x || c.y < blankInPlateFrame.min.y ||
          c.y > blankInPlateFrame.max.y)
        continue;
      block.top(i, j) = top;
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
