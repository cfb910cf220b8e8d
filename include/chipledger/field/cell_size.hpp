#pragma once
// How fine the grid must be, and how fine it may be.
//
//   cell = min(coarsest, smallest cutter diameter / 15), whole steps of 5 um, but never so fine that the grid has more
//   than `mostCells`; then it grows and the choice says so.
//
// Measured on a chassis: minutes agree within 1-2 % over 0.1, 0.05 and 0.025 mm; at 0.2 mm wrong cutters fit.
#include <chipledger/field/grid.hpp>
#include <chipledger/result/result.hpp>
#include <chipledger/units/quantity.hpp>

#include <cstddef>
#include <optional>

namespace chipledger::field {

inline constexpr int kCoarsestCell_um = 50;  // widths of cut of 0.25 mm still span five cells
inline constexpr int kFinestCell_um = 10;
inline constexpr double kCellsPerDiameter = 15;  ///< measured: reach and engagement settle from there on
inline constexpr double kCutterPerRadius = 1.8;  ///< cutter diameter for an inside radius (radius >= 0.55 diameter)
inline constexpr std::size_t kMostCells = 8'000'000;  // 50 bytes a cell: 400 MB with everything alive

struct CellRequest {
  std::optional<Length> given;           ///< the owner's wish: taken as it is, within the bound
  std::optional<Length> smallestRadius;  ///< smallest inside radius of the part in plan
  std::optional<Length> smallestCutter;  ///< smallest diameter in use
  Vec2 plan_mm;                          ///< size of the blank with its margins
  std::size_t mostCells{kMostCells};
};
struct CellChoice {
  int cell_um{kCoarsestCell_um};
  bool coarsened{};  ///< the bound on cells made it coarser than asked
  Notes notes;
};
CellChoice chooseCell(const CellRequest& request);

/// A grid over the blank (plate frame, plan) with a margin all round. Shifted by a fraction of a cell so that cell
/// centres do not run along walls drawn at round millimetres.
GridSpec gridOver(const Box2& blank, double margin_mm, int cell_um);

}  // namespace chipledger::field
