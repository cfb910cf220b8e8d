#pragma once
// Setups already planned, by what they saw. A setup sees: the stock, the heights of the part from its spindle, the
// details of its side with their numbers, and of each change of the solid only what no metal hides from it: a pocket
// deepened on one face is nothing to the other. Walls are exact polygons, so changes finer than a cell count as well.
#include <chipledger/estimate/plan_part.hpp>
#include <chipledger/field/stock_block.hpp>

#include <cstdint>
#include <map>
#include <memory>
#include <mutex>

namespace chipledger::estimate {

class PlanMemory {
public:
  struct Known {
    std::shared_ptr<const SetupRun> run;
    field::StockBlock after;
  };
  std::shared_ptr<const Known> find(std::uint64_t key) const;
  void keep(std::uint64_t key, std::shared_ptr<const Known> known);

private:
  mutable std::mutex mutex_;
  std::map<std::uint64_t, std::shared_ptr<const Known>> known_;
};

/// For one shop, material and body: these are not in the key.
std::uint64_t setupKey(const PlanRequest& request, const field::SetupView& view, const field::StockBlock& stock,
                       const path::Work& work);

}  // namespace chipledger::estimate
