#pragma once
// Pieces of the page of a sweep.
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/vary/row.hpp>

#include <string>

namespace chipledger::report {

inline constexpr std::size_t kLongestKey = 40;

/// "3.2 mm".
std::string valueText(const vary::TableAxis& axis, double value);
/// "island-1.height 3.2 mm, batch 50".
std::string placeText(const vary::Table& table, const vary::Row& row);
/// Why the price jumps here; with several axes each cause says along which.
std::string causesText(const vary::Table& table, const vary::Row& row);
/// The price of a row, to be opened: every line with its formula, what stands under it. `drawn` may be null.
std::string rowPrice(const vary::Table& table, const vary::Row& row, const estimate::Estimate* drawn);
/// Every point with what moved; its numbers open.
std::string pointsTable(const vary::Table& table, const estimate::Estimate* drawn);

}  // namespace chipledger::report
