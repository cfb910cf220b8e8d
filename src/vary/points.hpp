#pragma once
// The points of a sweep: the part changed, planned and priced.
//
// A sweep of many dimensions would walk the same metal hundreds of times. Its points are planned on the cells on which
// details are priced (estimate::coarser), and every line of the price, the minutes and the volumes are moved by what
// the part as drawn differs on its own cells: at the drawn value the sweep says what `price` says, and elsewhere it
// differs by the change of a difference. Sides of the part that a change does not touch are taken from the plan as
// drawn. A point that takes other cutters than the part as drawn is planned on the part's own cells: the difference of
// the cells is theirs (wear of a ball of 1 mm in a root is told from ten cells across it, or from twenty). So are few
// points, and points that vary the machine or the practice of the shop.
#include <chipledger/estimate/drawn_part.hpp>
#include <chipledger/estimate/plan_part.hpp>
#include <chipledger/vary/row.hpp>

#include <memory>
#include <string>
#include <vector>

#include "vary/target.hpp"

namespace chipledger::vary {

class Points {
public:
  estimate::DrawnPart drawn;
  const shop::Shop* shop{};
  std::vector<Target> planned, priced;  ///< each planned point is priced at every value of `priced`
  std::vector<int> batches;

  std::size_t plans() const;
  std::size_t rowsEach() const;  ///< rows of one planned point
  /// Points are planned on coarser cells and moved to the part's own.
  bool coarse() const;

  /// The part as drawn.
  struct Basis {
    int cell_um{};
    std::shared_ptr<estimate::PlanMemory> memory, ownCells;
    std::vector<std::string> cutters;  ///< on cells of cell_um
    std::vector<Row> more;             ///< per row of a point: what the part's own cells add; empty: nothing
  };
  Basis basis() const;
  std::vector<Row> rows(std::size_t plan, const Basis& basis) const;

private:
  struct Planned {
    estimate::MachinePlan machine;
    detail::Details details;
    std::vector<path::HoleOrder> holes;
    std::string hole;  ///< why there is no plan
  };
  Planned plan(const std::vector<double>& at, int cell_um, estimate::PlanMemory* memory, bool fill) const;
  std::vector<Row> price(const Planned& planned, const std::vector<double>& at) const;
};

}  // namespace chipledger::vary
