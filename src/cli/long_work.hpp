#pragma once
// A word ahead where the prices of details will take long: the first plan of the part without anything taken away tells
// how long the others take.
#include <chrono>
#include <optional>
#include <string>

namespace chipledger::cli {

struct DetailWork {
  double onePlan_s{};  ///< wall time of the plan that all others are held against
  int plans{};         ///< further plans: details, groups of them, advice
  int threads{1};
  double runLimit_s{};
  double passed_s{};  ///< since the start of the run
};

/// Empty where a minute is enough. Plans take over what did not change, so the time is a bound.
std::optional<std::string> wordAhead(const DetailWork& work);

/// Follows the steps an estimate tells, from the start of the run; speaks once, before the plans of details begin.
class DetailWatch {
public:
  explicit DetailWatch(double runLimit_s) : runLimit_s_(runLimit_s) {}
  std::optional<std::string> seen(const std::string& step, int done, int of);

private:
  using Clock = std::chrono::steady_clock;
  double runLimit_s_;
  Clock::time_point start_{Clock::now()}, planStart_{start_};
};

}  // namespace chipledger::cli
