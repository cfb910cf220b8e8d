#include <chipledger/route/capacity.hpp>

#include <algorithm>

namespace chipledger::route {

double weeksOf(const Load& load) {
  if (!(load.need_h > 0.0) || !(load.have_h > 0.0)) return 0.0;
  return load.need_h / load.have_h;
}

Capacity capacityOf(const std::vector<Load>& loads, const Away& away) {
  Capacity c;
  double goodWeeks = 0.0;
  for (const Load& load : loads) {
    if (!(load.need_h > 0.0)) continue;
    c.loads.push_back(load);
    if (!(load.have_h > 0.0)) {
      c.missing.push_back(load.name);
      continue;
    }
    goodWeeks = std::max(goodWeeks, load.need_h / std::max(load.best_h, load.have_h));
    if (weeksOf(load) > c.usualWeeks) {
      c.usualWeeks = weeksOf(load);
      c.bottleneck = static_cast<int>(c.loads.size()) - 1;
    }
  }
  if (!c.missing.empty()) c.bottleneck = -1;
  c.weeks = {goodWeeks + away.daysLow / kWorkingDaysAWeek,
             c.usualWeeks * kNeedMayGrow + away.daysHigh / kWorkingDaysAWeek};
  return c;
}

}  // namespace chipledger::route
