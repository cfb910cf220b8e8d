#pragma once
// Which columns of each row lie inside a region: crossings of the row's centre line with the rings, sorted.
#include <chipledger/field/grid.hpp>
#include <chipledger/geometry/polygon.hpp>

#include <algorithm>
#include <vector>

#include "field/disc_rows.hpp"

namespace chipledger::field {

class RegionRows {
public:
  RegionRows(const Region& region, const GridSpec& spec) : crossings_(static_cast<std::size_t>(spec.ny)) {
    const double h = spec.cell();
    for (const Ring& ring : region.rings) {
      for (std::size_t k = 0, before = ring.size() - 1; k < ring.size(); before = k++) {
        // The lower end first, so that an edge walked either way crosses a row at the same place.
        Vec2 a = ring[before], b = ring[k];
        if (a.y == b.y) continue;
        if (a.y > b.y) std::swap(a, b);
        const double lean = (b.x - a.x) / (b.y - a.y);
        const int first = std::max(0, static_cast<int>(std::ceil((a.y - spec.y0_mm) / h - 0.5 - 1e-9)));
        for (int j = first; j < spec.ny; ++j) {
          const double y = spec.y0_mm + (j + 0.5) * h;
          if (y >= b.y) break;
          if (y >= a.y) crossings_[static_cast<std::size_t>(j)].push_back(a.x + (y - a.y) * lean);
        }
      }
    }
    for (auto& row : crossings_) std::sort(row.begin(), row.end());
  }
  /// Sorted places where row j crosses the border; inside between the first and the second, and so on.
  const std::vector<double>& crossings(int j) const { return crossings_[static_cast<std::size_t>(j)]; }

private:
  std::vector<std::vector<double>> crossings_;
};

/// Calls f(first, last) for each run of columns of row j inside the region.
template <class F>
void forEachRun(const RegionRows& rows, const GridSpec& spec, int j, F f) {
  const std::vector<double>& x = rows.crossings(j);
  for (std::size_t k = 0; k + 1 < x.size(); k += 2) {
    const Span span = columns(spec, x[k], x[k + 1]);
    if (!span.empty()) f(span.first, span.last);
  }
}

}  // namespace chipledger::field
