#include "long_work.hpp"

#include <chipledger/estimate/estimate.hpp>
#include <chipledger/parallel/parallel.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace chipledger::cli {

namespace {
constexpr double kWorthSaying_s = 60.0, kMinute_s = 60.0;
}  // namespace

std::optional<std::string> wordAhead(const DetailWork& work) {
  const double rounds = std::ceil(static_cast<double>(work.plans) / std::max(1, work.threads));
  const double most = work.onePlan_s * rounds;
  if (most <= kWorthSaying_s) return std::nullopt;
  std::string said = fmt::format(
      "The prices of the details take {} more plans of up to {:.0f} s: up to {:.0f} min. --no-detail-prices gives the "
      "part's price alone, `detail` one detail's.",
      work.plans, std::max(1.0, work.onePlan_s), std::ceil(most / kMinute_s));
  if (work.passed_s + most > work.runLimit_s)
    said += fmt::format(" The run ends at {:.0f} s unless --run-limit is raised.", work.runLimit_s);
  return said;
}

std::optional<std::string> DetailWatch::seen(const std::string& step, int done, int of) {
  // Both steps are told before plans run beside each other.
  if (step == estimate::kPlanningForDetails) planStart_ = Clock::now();
  if (step != estimate::kPricingDetails || done != 0) return std::nullopt;
  const auto since = [](Clock::time_point from) { return std::chrono::duration<double>(Clock::now() - from).count(); };
  return wordAhead({since(planStart_), of, threads(), runLimit_s_, since(start_)});
}

}  // namespace chipledger::cli
