#pragma once
// Variants side by side, for a terminal and as JSON ("chipledger.compare/1"). The first variant is the one that the
// others are held against; differences are other minus first, per piece. Same input, same bytes.
#include <chipledger/compare/compare.hpp>
#include <chipledger/report/table.hpp>

#include <string>
#include <vector>

namespace chipledger::report {

inline constexpr const char* kCompareSchema = "chipledger.compare/1";

std::string renderCompare(const std::vector<estimate::Estimate>& variants, const compare::Comparison& comparison,
                          const TerminalOptions& options);
std::string compareJson(const std::vector<estimate::Estimate>& variants, const compare::Comparison& comparison);

}  // namespace chipledger::report
