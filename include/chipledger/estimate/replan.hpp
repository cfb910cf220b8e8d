#pragma once
// The same part planned again with something taken away or changed, and the difference in money and minutes.
// Both sides of a difference are planned on the same cells; setups that see the same metal and work are not planned
// twice.
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/estimate/plan_part.hpp>
#include <chipledger/estimate/price.hpp>

#include <memory>
#include <string>
#include <vector>

namespace chipledger::estimate {

/// Cells for plans that are only held against each other: twice as coarse, up to 0.1 mm. Minutes move by less than 1 %
/// between 0.1 and 0.05 mm, and both sides of a difference move alike.
int coarser(int cell_um);

/// With minus without (or: as drawn minus changed).
struct Replanned {
  std::vector<Difference> differences;  ///< per batch; empty when it could not be planned
  TimeCount machine;                    ///< likely machine time
  double carving_min{};                 ///< of it with ball cutters on carved faces
  std::string why;                      ///< causes in one line
  std::string failure;                  ///< why it could not be planned
};

/// The part drawn another way: other metal, and where it matters another table of details and other work.
struct Variant {
  std::shared_ptr<const field::Solid> metal;       ///< what is changed; null: the part as drawn
  std::vector<field::Change> changes;              ///< against that
  std::shared_ptr<const detail::Details> details;  ///< null: as drawn. New details stand behind those that were there
  std::vector<char> dropped;                       ///< per detail of that table: taken away
  std::vector<path::HoleOrder> moreHoles;          ///< of new details
  Bosses bosses;                                   ///< stood in place of islands
  int wireCuts{};                                  ///< lock cuts that an outside shop cuts by wire; `changes` fill them
};

/// Metal and changes of the part without a group of details, children included: by prisms, and where the group stands
/// in a carved face by that face drawn on over it.
void takeAway(const PlanRequest& drawn, const std::vector<int>& group, Variant& variant);

struct CauseSide;
class KnownGroups;

class Replanner {
public:
  /// `drawn` is the request for the part as drawn, on the cells to compare on; it must outlive the object.
  static Result<Replanner> make(const PlanRequest& drawn, std::vector<int> batches);

  /// Takes a group of details away, children included. Safe to call from several threads; a group that was asked for
  /// before, whole or as one detail with its children, is not planned again.
  Replanned without(const std::vector<int>& group) const;
  /// Plans the part with changes to its metal; `dropped` as in PlanRequest.
  Replanned changed(const std::vector<field::Change>& changes, std::vector<char> dropped = {}) const;

  Replanned changed(const Variant& variant) const;

  const PlanRequest& drawn() const { return *drawn_; }
  const MachinePlan& base() const { return *base_; }

private:
  Replanned against(const MachinePlan& plan, const PriceInput& input) const;

  const PlanRequest* drawn_{};
  std::vector<int> batches_;
  std::shared_ptr<PlanMemory> memory_;
  std::shared_ptr<const MachinePlan> base_;
  std::vector<Stack> with_;
  std::shared_ptr<const CauseSide> drawnCauses_;
  std::shared_ptr<KnownGroups> known_;
};

Stack stackOf(const ledger::Ledger& book);
TimeCount machineTime(const MachinePlan& plan);

}  // namespace chipledger::estimate
