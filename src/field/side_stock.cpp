#include <chipledger/field/side_stock.hpp>
#include <chipledger/parallel/parallel.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::field {
namespace {

constexpr int kHalvings = 6;  // a cell of 50 um to better than 1 um

Frame inverseOf(const Frame& f) {
  Frame turned{{f.x.x, f.y.x, f.z.x}, {f.x.y, f.y.y, f.z.y}, {f.x.z, f.y.z, f.z.z}, {}};
  turned.shift = -turned.turn(f.shift);
  return turned;
}

bool isMetal(const StockBlock& stock, const std::vector<SideCut>& cuts, Vec3 p) {
  const GridSpec& g = stock.top.spec;
  const int i = g.column(p.x), j = g.row(p.y);
  if (i < 0 || j < 0 || i >= g.nx || j >= g.ny) return false;
  const double z = p.z * 1000.0;
  if (z >= stock.top(i, j) || z <= stock.bottom(i, j)) return false;
  for (const SideCut& cut : cuts) {
    const Vec3 q = cut.plateToSetup.apply(p);
    const GridSpec& s = cut.heights.spec;
    const int a = s.column(q.x), b = s.row(q.y);
    if (a < 0 || b < 0 || a >= s.nx || b >= s.ny) continue;
    const std::int32_t h = cut.heights(a, b);
    if (h == kNoMetal || q.z * 1000.0 >= h) return false;
  }
  return true;
}

}  // namespace

StockBlock withoutFrame(const StockBlock& stock, const HeightField& partFromAbove) {
  StockBlock out = stock;
  const GridSpec& g = stock.top.spec;
  const auto part = [&](int i, int j) {
    return i >= 0 && j >= 0 && i < g.nx && j < g.ny && partFromAbove(i, j) != kNoMetal;
  };
  for (int j = 0; j < g.ny; ++j) {
    for (int i = 0; i < g.nx; ++i) {
      if (part(i, j) || part(i - 1, j) || part(i + 1, j) || part(i, j - 1) || part(i, j + 1)) continue;
      out.top(i, j) = kNoMetal;
      out.bottom(i, j) = kNoBottom;
    }
  }
  return out;
}

StockBlock seenFrom(const StockBlock& stock, const std::vector<SideCut>& cuts, const Frame& plateToSetup,
                    const GridSpec& spec, double low_mm, double high_mm) {
  StockBlock seen{HeightField(spec, kNoMetal), HeightField(spec, kNoBottom), {}};
  const Frame toPlate = inverseOf(plateToSetup);
  const double step = stock.top.spec.cell();
  const int count = std::max(1, static_cast<int>(std::ceil((high_mm - low_mm) / step)));
  std::vector<std::vector<Gap>> gaps(static_cast<std::size_t>(spec.ny));
  forEachTask(static_cast<std::size_t>(spec.ny), [&](std::size_t row) {
    const int j = static_cast<int>(row);
    for (int i = 0; i < spec.nx; ++i) {
      const Vec2 c = spec.centre(i, j);
      const auto at = [&](double z) { return isMetal(stock, cuts, toPlate.apply({c.x, c.y, z})); };
      const std::size_t cell = spec.at(i, j);
      bool inside = false;
      std::int32_t end = kNoMetal;  // of the metal last left
      double last = high_mm + 0.5 * step;
      for (int k = 0; k <= count; ++k) {
        const double z = k == count ? low_mm - 0.5 * step : high_mm - (k + 0.5) * step;
        if (at(z) != inside) {
          double a = last, b = z;
          for (int h = 0; h < kHalvings; ++h) {
            const double mid = 0.5 * (a + b);
            (at(mid) == inside ? a : b) = mid;
          }
          const auto border = static_cast<std::int32_t>(std::lround(500.0 * (a + b)));
          if (!inside) {
            if (seen.top.cells[cell] == kNoMetal)
              seen.top.cells[cell] = border;
            else if (end > border)
              gaps[row].push_back({cell, end, border});
          } else {
            end = border;
            seen.bottom.cells[cell] = border;
          }
          inside = !inside;
        }
        last = z;
      }
    }
  });
  for (const std::vector<Gap>& row : gaps) seen.gaps.insert(seen.gaps.end(), row.begin(), row.end());
  return seen;
}

}  // namespace chipledger::field
