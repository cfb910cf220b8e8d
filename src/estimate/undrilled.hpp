#pragma once
// The plan of a part without holes that are drilled: milling does not know of them, so the same plan is left less the
// moves at their axes. Planned anew with the holes filled, a crowned face would be roughed a little otherwise, by
// minutes that no hole is the cause of.
#include <chipledger/estimate/plan_part.hpp>

#include <optional>
#include <vector>

namespace chipledger::estimate {

/// Empty when one of `gone` is no plain hole that the plan drills from a plate side: then its metal is to be put back.
/// Laws: all other operations keep their moves; a setup that only drilled them falls away.
std::optional<MachinePlan> undrilled(const MachinePlan& drawn, const PlanRequest& request,
                                     const std::vector<int>& gone);

}  // namespace chipledger::estimate
