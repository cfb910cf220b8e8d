#pragma once
// What a table's prices depend on besides the row, in sixteen letters: the same for a run that goes on.
#include <chipledger/estimate/drawn_part.hpp>
#include <chipledger/vary/row.hpp>

#include <string>

namespace chipledger::vary {

std::string runKey(const estimate::DrawnPart& part, const shop::Shop& shop, const Table& table);

}  // namespace chipledger::vary
