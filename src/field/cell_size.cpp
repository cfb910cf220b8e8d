#include <chipledger/field/cell_size.hpp>

#include <algorithm>
#include <cmath>
#include <string>

namespace chipledger::field {

namespace {
constexpr int kStep_um = 5;
constexpr double kOffLattice = 0.37;  // of a cell: no simple fraction, so drawn walls fall between cell centres

double cells(Vec2 plan, int cell_um) {
  const double h = cell_um / 1000.0;
  return std::ceil(plan.x / h) * std::ceil(plan.y / h);
}
}  // namespace

CellChoice chooseCell(const CellRequest& request) {
  CellChoice choice;
  int cell = kCoarsestCell_um;
  if (request.given) {
    cell = std::max(1, static_cast<int>(std::llround(toMm(*request.given) * 1000.0)));
  } else {
    double diameter = request.smallestCutter ? toMm(*request.smallestCutter) : 1e9;
    if (request.smallestRadius) diameter = std::min(diameter, kCutterPerRadius * toMm(*request.smallestRadius));
    const double wanted = std::floor(diameter / kCellsPerDiameter * 1000.0 / kStep_um + 1e-9) * kStep_um;
    cell = static_cast<int>(std::clamp(wanted, static_cast<double>(kFinestCell_um), static_cast<double>(cell)));
  }
  const int asked = cell;
  while (cells(request.plan_mm, cell) > static_cast<double>(request.mostCells)) cell += cell < 20 ? 1 : kStep_um;
  choice.cell_um = cell;
  choice.coarsened = cell != asked;
  if (choice.coarsened) {
    choice.notes.push_back({NoteSeverity::Doubt, "coarse-cells",
                            "The part is too large for cells of " + std::to_string(asked) +
                                " um within the memory bound; " + std::to_string(cell) +
                                " um are used, so small corners and cutters count less exactly.",
                            ""});
  }
  return choice;
}

GridSpec gridOver(const Box2& blank, double margin_mm, int cell_um) {
  GridSpec grid;
  grid.cell_um = cell_um;
  const double h = grid.cell();
  grid.x0_mm = blank.min.x - margin_mm - kOffLattice * h;
  grid.y0_mm = blank.min.y - margin_mm - kOffLattice * h;
  grid.nx = static_cast<int>(std::ceil((blank.max.x + margin_mm - grid.x0_mm) / h));
  grid.ny = static_cast<int>(std::ceil((blank.max.y + margin_mm - grid.y0_mm) / h));
  return grid;
}

}  // namespace chipledger::field
