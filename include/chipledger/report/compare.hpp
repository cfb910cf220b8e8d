#pragma once
// Variants side by side, for a terminal, as JSON ("chipledger.compare/1") and as CSV. The first variant is the one that the
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
/// kind,variant,against,batch,name,other_name,currency,money,other_money,why; one row a fact, kind says which: price,
/// difference, line, a detail's fate (money: what it costs in the first and in the other), same, crossing.
std::string compareCsv(const std::vector<estimate::Estimate>& variants, const compare::Comparison& comparison);

}  // namespace chipledger::report
