#pragma once
// Losses by stage. Of what enters stage j the share y_j comes out good; a stage's work is spent on all that enters it.
//   entering(i) = 1 / (y_i y_(i+1) ... y_last)       sets that must enter stage i per good set
//   rolled      = product of all y
// Source of the law: rolled throughput yield, as in quality-control textbooks.
#include <vector>

namespace chipledger::route {

struct Yield {
  std::vector<double> entering;  ///< per stage, per good set at the end
  double rolled{1};
};
/// Shares in (0, 1]; what lies outside is held to [kLeastYield, 1].
inline constexpr double kLeastYield = 0.05;
Yield rollYield(const std::vector<double>& shares);

}  // namespace chipledger::route
