#pragma once
// Plain row-major grids over a setup's XY plane.
#include <chipledger/geometry/vec.hpp>

#include <cstddef>
#include <cstdint>
#include <vector>

namespace chipledger::field {

/// Cell (i, j) has its centre at (x0 + (i + 0.5) h, y0 + (j + 0.5) h), h = cell_um / 1000 mm.
struct GridSpec {
  int nx{}, ny{};
  double x0_mm{}, y0_mm{};
  int cell_um{50};  ///< whole micrometres, so that cell volumes are integers
  bool operator==(const GridSpec&) const = default;
  double cell() const { return cell_um / 1000.0; }
  std::size_t count() const { return static_cast<std::size_t>(nx) * static_cast<std::size_t>(ny); }
  std::size_t at(int i, int j) const {
    return static_cast<std::size_t>(j) * static_cast<std::size_t>(nx) + static_cast<std::size_t>(i);
  }
  Vec2 centre(int i, int j) const { return {x0_mm + (i + 0.5) * cell(), y0_mm + (j + 0.5) * cell()}; }
  int column(double x_mm) const { return static_cast<int>(std::floor((x_mm - x0_mm) / cell())); }
  int row(double y_mm) const { return static_cast<int>(std::floor((y_mm - y0_mm) / cell())); }
};

template <class T>
struct Grid {
  GridSpec spec;
  std::vector<T> cells;
  Grid() = default;
  Grid(GridSpec s, T value) : spec(s), cells(s.count(), value) {}
  T& operator()(int i, int j) { return cells[spec.at(i, j)]; }
  const T& operator()(int i, int j) const { return cells[spec.at(i, j)]; }
};

/// Heights in whole micrometres over the setup's z = 0. kNoMetal where there is nothing.
using HeightField = Grid<std::int32_t>;
inline constexpr std::int32_t kNoMetal = INT32_MIN / 2;

}  // namespace chipledger::field
