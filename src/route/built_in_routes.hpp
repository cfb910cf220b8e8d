#pragma once
// The texts of src/route/data, compiled in by cmake/ChipledgerData.cmake.
#include <string>

namespace chipledger::route {

std::string builtInRoutesText();
std::string starterProductText();

}  // namespace chipledger::route
