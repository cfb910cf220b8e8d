#pragma once
// One thing that is varied and the values it takes: "island-1.height=2:5:0.25" (from, to, step; both ends count when
// the step meets them), "pocket-2.radius=1,1.6,2.2", "batch=10,25,50", "shop.rates.machine_per_hour=40:60:5". Lengths
// are mm; a value may end in "mm" or "in".
#include <chipledger/result/result.hpp>

#include <string>
#include <vector>

namespace chipledger::vary {

inline constexpr std::size_t kMostValues = 10000;

struct Axis {
  std::string key;             ///< as given, before the "="
  std::vector<double> values;  ///< in the order given; lengths in mm
};

/// Fails: Usage (no "=", no numbers, a step that never gets there), Limit (more than kMostValues).
Result<Axis> readAxis(const std::string& text);

}  // namespace chipledger::vary
