#include <chipledger/estimate/numeric_doubt.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace chipledger::estimate {

Doubt numericDoubt(const std::vector<CountedOn>& plans) {
  Doubt doubt;
  doubt.name = "cells the metal is counted on";
  if (plans.empty()) return doubt;
  doubt.low = doubt.high = plans.front().price;
  double least = plans.front().machineMinutes, most = least;
  for (const CountedOn& plan : plans) {
    doubt.low = std::min(doubt.low, plan.price);
    doubt.high = std::max(doubt.high, plan.price);
    least = std::min(least, plan.machineMinutes);
    most = std::max(most, plan.machineMinutes);
    doubt.range += fmt::format("{}{}: {:.2f} min", doubt.range.empty() ? "" : "; ", plan.cells, plan.machineMinutes);
  }
  const double own = plans.front().machineMinutes;
  if (own > 0) doubt.range += fmt::format(" (spread {:.2f} %)", 100.0 * (most - least) / own);
  return doubt;
}

}  // namespace chipledger::estimate
