#pragma once
// Results for a terminal: aligned tables with units under the heads, secondary columns dropped on narrow terminals.
// Every text from a file is stripped of control characters. Same input, same bytes.
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/report/table.hpp>

#include <string>

namespace chipledger::report {

/// What is in the file: bodies, size, directions, details, open questions. No money.
std::string renderLook(const part::Part& part, const part::Body& body, const setup::Plan& plan,
                       const detail::Details& details, const TerminalOptions& options);

/// The whole sheet: the five answers first, then every section in order (sections.hpp).
std::string renderPrice(const estimate::Estimate& estimate, const TerminalOptions& options);

/// One detail: with, without and the difference, line by line and batch by batch. `index` counts
/// Estimate::details.list.
std::string renderDetail(const estimate::Estimate& estimate, int index, const TerminalOptions& options);

/// Every value in force, grouped by the first word of its name.
std::string renderShop(const std::string& title, const Assumptions& values, const TerminalOptions& options);

}  // namespace chipledger::report
