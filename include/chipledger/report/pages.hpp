#pragma once
// Pages of the other commands, in the same frame as the sheet (sheet_html.hpp): one file, nothing from outside, every
// foreign text escaped, same bytes for the same input.
#include <chipledger/compare/compare.hpp>
#include <chipledger/report/sheet_html.hpp>
#include <chipledger/route/route.hpp>
#include <chipledger/vary/row.hpp>

#include <string>
#include <vector>

namespace chipledger::report {

/// One detail: what it costs by line and batch, with it, without it, the difference; where it is on the part.
std::string detailHtml(const estimate::Estimate& estimate, const part::Body& body, std::size_t index,
                       const SheetOptions& options);

/// Variants side by side; `bodies` belong to them in order.
std::string compareHtml(const std::vector<estimate::Estimate>& variants, const compare::Comparison& comparison,
                        const std::vector<const part::Body*>& bodies, const SheetOptions& options);

/// The price against what was varied: curve with its jumps and holes, and the table of it. `drawn` is the estimate of
/// the part as it is drawn, for age, band and the values that the numbers stand on; may be null.
std::string varyHtml(const vary::Table& table, const estimate::Estimate* drawn, const SheetOptions& options);

/// Shop-built against full custom: owner's hours, list price, buy list.
std::string routeHtml(const route::ProductResult& product, const SheetOptions& options);

}  // namespace chipledger::report
