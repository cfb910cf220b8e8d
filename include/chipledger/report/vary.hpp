#pragma once
// A sweep for the terminal and as JSON; its CSV is vary/csv.hpp. Nothing is computed here but the shape of the curve.
#include <chipledger/report/table.hpp>
#include <chipledger/vary/row.hpp>

#include <string>

namespace chipledger::report {

inline constexpr const char* kVarySchema = "chipledger.vary/1";

/// One bar per value, eighths of a line high, lowest to highest price; a dot where there is no price.
std::string sparkline(const std::vector<const vary::Row*>& rows);

std::string renderVary(const vary::Table& table, const TerminalOptions& options);
std::string varyJson(const vary::Table& table);

}  // namespace chipledger::report
