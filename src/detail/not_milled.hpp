#pragma once
// Parts that are no milled plate or block: turned, welded together, bent from sheet.
#include <chipledger/detail/detail.hpp>

namespace chipledger::detail {

/// Adds the Note "not-milled" with the reason where one of the rules holds.
void addNotMilled(Details& details, const part::Body& body, const setup::Plan& plan);

}  // namespace chipledger::detail
