#pragma once
// The table of a sweep as it grows, for spreadsheets and for going on later. One header line, one line per point;
// every number reads back as the same.
//   run,<axis>...,batch,currency,per_piece,low,high,<lines>...,machine_min,hands_min,plate_mm,left_before_next_step_mm,
//   removed_mm3,setups,cutters,jumps,hole
#include <chipledger/vary/row.hpp>

#include <string>
#include <string_view>

namespace chipledger::vary {

std::string csvHead(const Table& table);
std::string csvRow(const Table& table, std::size_t index);

/// The rows of `text` that belong to `table` (same run, same axes, in order); a line that was cut off is left out.
/// Fails: Usage when the file is the table of another part, shop or range, BadFile when it is no such table.
Result<std::vector<Row>> readCsv(const Table& table, std::string_view text, const std::string& file);

}  // namespace chipledger::vary
