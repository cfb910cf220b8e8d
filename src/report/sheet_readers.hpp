#pragma once
// Sheets for readers other than the owner.
#include <chipledger/report/sheet_html.hpp>
#include <chipledger/route/route.hpp>

#include <string>

namespace chipledger::report {

/// Order of work, cutters, minutes, blanks to write real ones; no money anywhere.
std::string machinistSheet(const estimate::Estimate& estimate, const part::Body& body, const SheetOptions& options);
/// One page: the drawing, options in round prices, "estimate, not a quote"; no cost lines, no rates, no minutes.
std::string clientSheet(const estimate::Estimate& estimate, const part::Body& body, const SheetOptions& options);
/// One page for who orders a tool: list prices of every option by batch, in the price steps of the product; no costs.
std::string clientProductSheet(const route::ProductResult& product, const SheetOptions& options);

}  // namespace chipledger::report
