#pragma once
// The text of src/route/data/routes.toml, compiled in by cmake/ChipledgerData.cmake.
#include <string>

namespace chipledger::route {

std::string builtInRoutesText();

}  // namespace chipledger::route
