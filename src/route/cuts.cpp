#include "route/answers.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace chipledger::route {

namespace {

bool overlap(const Cut& a, const Cut& b) {
  if (a.part != b.part) return false;
  return std::any_of(a.details.begin(), a.details.end(),
                     [&](int d) { return std::find(b.details.begin(), b.details.end(), d) != b.details.end(); });
}

}  // namespace

std::vector<Cut> cutsOf(const std::vector<MilledPiece>& milled, double overhead) {
  std::vector<Cut> cuts;
  for (const MilledPiece& m : milled) {
    const auto perSet = [&](const std::vector<estimate::Difference>& saves) {
      return saves.empty() ? Money{} : money(toUnits(saves.front().money) * m.piecesPerSet * (1.0 + overhead));
    };
    for (const DetailCut& leaveOut : m.leaveOut)
      cuts.push_back(
          {m.name, "leave out " + leaveOut.name, leaveOut.why, perSet(leaveOut.saves), true, false, leaveOut.details});
    for (const estimate::Advice& a : m.advice) {
      std::vector<int> details;
      const auto group =
          std::find_if(m.leaveOut.begin(), m.leaveOut.end(), [&](const DetailCut& d) { return d.name == a.about; });
      if (group != m.leaveOut.end()) details = group->details;
      cuts.push_back({m.name, a.change, a.why, perSet(a.saves), a.seen, false, details});
    }
  }
  std::erase_if(cuts, [](const Cut& c) { return c.perSet <= Money{}; });
  std::stable_sort(cuts.begin(), cuts.end(), [](const Cut& a, const Cut& b) { return a.perSet > b.perSet; });
  return cuts;
}

bool markNeeded(std::vector<Cut>& cuts, Money wanted) {
  Money missing = wanted;
  std::vector<std::size_t> taken;
  while (missing > Money{}) {
    std::optional<std::size_t> next;
    for (std::size_t i = 0; i < cuts.size(); ++i) {
      const bool free = !cuts[i].needed && std::none_of(taken.begin(), taken.end(),
                                                        [&](std::size_t t) { return overlap(cuts[t], cuts[i]); });
      if (!free) continue;
      // Largest first; once one alone is enough, the smallest that still is.
      if (!next || cuts[i].perSet >= missing) next = i;
    }
    if (!next) return false;
    cuts[*next].needed = true;
    taken.push_back(*next);
    missing -= cuts[*next].perSet;
  }
  return true;
}

}  // namespace chipledger::route
