#pragma once
// Distance of cell centres to walls.
//
// To exact polygons: two families of points of the border, its crossings with the row lines and with the column lines;
// the nearest of each family by lower envelopes, the nearer of both; corners close to the chosen crossings are tried
// too, and within kBandCells cells the edges themselves. The result is never nearer than the true wall (rounding apart)
// and farther by 0.03 cells at most (just outside the band; less with distance), by 0.08 round walls of a radius under
// ten cells. A mask of cells has an error of half a cell along every wall instead: use it only where there is no
// polygon.
//
// Squared Euclidean distance of a mask: Felzenszwalb & Huttenlocher, Distance transforms of sampled functions, Theory
// of Computing 8 (2012) 415-428. All O(cells); results do not depend on the number of threads.
#include <chipledger/field/grid.hpp>
#include <chipledger/geometry/polygon.hpp>

#include <cstdint>

namespace chipledger::field {

/// Width of the band along the border where distances are exact, in cells.
inline constexpr double kBandCells = 6.0;
/// Distance where there is no border at all, mm.
inline constexpr float kNoWall_mm = 1e9F;

/// Signed distance from each cell centre to the border of the region, mm: positive inside, negative outside;
/// +-kNoWall_mm where the region has no border.
Grid<float> wallDistances(const Region& region, const GridSpec& spec);

/// Cells whose centre lies inside the region: 1, else 0.
Grid<std::uint8_t> cellsInside(const Region& region, const GridSpec& spec);

/// Squared distance, in cells, from each cell to the nearest cell of the mask that is not 0; exact for any size.
/// kFarCells2 everywhere when the mask is empty.
inline constexpr std::int32_t kFarCells2 = INT32_MAX;
Grid<std::int32_t> squaredDistances(const Grid<std::uint8_t>& mask);
/// The fallback: signed distance from a mask alone, mm; off by up to half a cell. Positive on cells of the mask.
Grid<float> maskDistances(const Grid<std::uint8_t>& mask);

}  // namespace chipledger::field
