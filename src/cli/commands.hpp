#pragma once
// Steps that several commands share.
#include "options.hpp"
#include "output.hpp"

#include <chipledger/estimate/estimate.hpp>
#include <chipledger/report/sheet_html.hpp>
#include <chipledger/shop/shop.hpp>

#include <vector>

namespace chipledger::cli {

/// Options::part, within the limits.
Result<part::Part> read(const Options& options, Progress& progress);
/// The bodies to look at: the named one, or all distinct ones.
Result<std::vector<const part::Body*>> chosenBodies(const part::Part& part, const std::string& name);
/// The first of the bodies; says so where the command takes one and the file has several.
const part::Body& onlyBody(const std::vector<const part::Body*>& bodies, const std::string& file);
Result<shop::Shop> chosenShop(const Options& options);
/// What the estimate is asked for; the shop gives what the options do not.
Result<estimate::Options> estimateOptions(const Options& options, const shop::Shop& shop);
/// Date, version, shop and reader of a report. Fails: Usage (no such reader or age; a reader without a report, terms of
/// sale without a client).
Result<report::SheetOptions> sheetOptions(const shop::Shop& shop, const Options& options);
/// 4 when something is left out or still to answer, else 0.
int openness(const Notes& notes, const std::vector<detail::Question>& questions);

}  // namespace chipledger::cli
