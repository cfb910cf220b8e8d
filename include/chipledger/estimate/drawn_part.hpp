#pragma once
// What every plan of one body starts from: setups, details with the shop's colours and answers, holes, the solid and
// the cells it is looked at on. Estimates and sweeps start from the same, so that their figures agree.
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/estimate/plan_part.hpp>

#include <memory>
#include <vector>

namespace chipledger::estimate {

struct DrawnPart {
  const part::Body* body{};  ///< must outlive the object
  setup::Plan setups;
  detail::Details details;
  std::shared_ptr<const field::Solid> solid;
  cutting::Material material;
  int cell_um{};
  Notes notes;  ///< of the choice of cells
};

/// Fails: Usage (unknown material, answers that cannot be), BadFile (no machinable solid).
Result<DrawnPart> drawnPart(const part::Body& body, const shop::Shop& shop, const Options& options);

/// Bores, threads and seats with what is asked of them.
std::vector<path::HoleOrder> holeOrders(const detail::Details& details);

}  // namespace chipledger::estimate
