#include <chipledger/field/left_on_part.hpp>

#include <algorithm>

namespace chipledger::field {
namespace {

/// Cells without part that hang together with the edge of the grid.
std::vector<char> outside(const HeightField& above) {
  const GridSpec& g = above.spec;
  std::vector<char> found(g.count(), 0);
  std::vector<std::size_t> open;
  const auto reach = [&](int i, int j) {
    if (i < 0 || j < 0 || i >= g.nx || j >= g.ny) return;
    const std::size_t c = g.at(i, j);
    if (found[c] != 0 || above.cells[c] != kNoMetal) return;
    found[c] = 1;
    open.push_back(c);
  };
  for (int i = 0; i < g.nx; ++i) {
    reach(i, 0);
    reach(i, g.ny - 1);
  }
  for (int j = 0; j < g.ny; ++j) {
    reach(0, j);
    reach(g.nx - 1, j);
  }
  while (!open.empty()) {
    const auto c = static_cast<int>(open.back());
    open.pop_back();
    const int i = c % g.nx, j = c / g.nx;
    reach(i - 1, j);
    reach(i + 1, j);
    reach(i, j - 1);
    reach(i, j + 1);
  }
  return found;
}

}  // namespace

VolumeCount leftOnPart(const StockBlock& stock, const HeightField& above, const HeightField& below) {
  const GridSpec& g = stock.top.spec;
  const std::vector<char> frame = outside(above);
  std::int64_t sum = 0;
  for (std::size_t c = 0; c < g.count(); ++c) {
    const std::int32_t top = stock.top.cells[c], bottom = stock.bottom.cells[c];
    if (frame[c] != 0 || top <= bottom) continue;
    if (above.cells[c] == kNoMetal)
      sum += top - bottom;
    else
      sum += std::max(0, top - above.cells[c]) + std::max(0, below.cells[c] - bottom);
  }
  return {sum * g.cell_um * g.cell_um};
}

}  // namespace chipledger::field
