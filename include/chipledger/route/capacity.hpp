#pragma once
// Who and what is the bottleneck, and when a batch would be done.
//   weeks of one = need / have a week;   bottleneck = the largest;   weeks of the batch = the bottleneck's
// As a range: the need as reckoned in a good week, up to the need with kNeedMayGrow in a usual week, plus days away.
#include <string>
#include <vector>

namespace chipledger::route {

/// First clocked batches are often a quarter over the reckoning (common practice, no source).
inline constexpr double kNeedMayGrow = 1.25;
inline constexpr double kWorkingDaysAWeek = 5;

/// Hours of one person, role or machine.
struct Load {
  std::string name;
  double need_h{};
  double have_h{}, best_h{};  ///< a week: usual, good; best < have is taken as have
};

struct Weeks {
  double low{}, high{};
};

struct Capacity {
  std::vector<Load> loads;           ///< those with something to do, in the order given
  int bottleneck{-1};                ///< into loads; -1: nothing to do, or somebody is missing
  double usualWeeks{};               ///< of the bottleneck: need / have; work away not counted
  Weeks weeks;                       ///< with work away; meaningless while somebody is missing
  std::vector<std::string> missing;  ///< needed, but without an hour a week
};

struct Away {
  double daysLow{}, daysHigh{};  ///< working days away, one after the other
};

Capacity capacityOf(const std::vector<Load>& loads, const Away& away);
/// need / have; 0 when nothing is needed, absent hours are the caller's (see Capacity::missing).
double weeksOf(const Load& load);

}  // namespace chipledger::route
