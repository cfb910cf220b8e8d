#pragma once
// One priced point of a sweep, the table of all of them, and where the curve jumps. Money is per piece.
#include <chipledger/estimate/estimate.hpp>

#include <string>
#include <vector>

namespace chipledger::vary {

struct Jump {
  std::string along;  ///< what was varied: "island-1.height"
  std::string why;    ///< "6.35 plate instead of 6.00; also needs flat-2"
};

struct Row {
  std::vector<double> at;  ///< per axis of the table
  int batch{};
  std::string hole;  ///< why there is no price here; empty: priced
  Money perPiece, low, high;
  estimate::Stack lines{};
  TimeCount machine, hands;  ///< likely machine time; attended, loading and bench time
  Length plate{}, leftBeforeNextStep{};
  VolumeCount removed;
  int setups{};
  std::vector<std::string> cutters;  ///< in use, by name
  std::vector<Jump> jumps;           ///< against the point before, along each axis that is planned anew
};

/// An axis as the sweep takes it.
struct TableAxis {
  std::string key, unit;  ///< unit: "mm", "per hour"; may be empty
  std::vector<double> values;
  bool planned{true};  ///< false: a value of money alone; the plan stays as it is
  double drawn{};      ///< value on the part as read or in the shop in force
};

/// Rows run through the axes in order, the last fastest, and through the batches fastest of all.
struct Table {
  std::string file, body, currency;
  std::string run;  ///< what the prices depend on besides the row: part, shop, material, cells, axes
  std::vector<TableAxis> axes;
  std::vector<int> batches;
  std::vector<Row> rows;  ///< may end early, when it was interrupted
  Notes notes;
  std::vector<detail::Question> questions;  ///< still to answer
  std::size_t size() const;                 ///< rows of the whole table
};

/// Marks jumps of `row` (number `index` of the table) against the nearest priced point before it on each planned axis:
/// another plate, other cutters, another count of setups. Rows before it must be in the table.
void markJumps(Table& table, std::size_t index);

}  // namespace chipledger::vary
