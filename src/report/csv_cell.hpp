#pragma once
// A text as one cell of a CSV file: quoted where needed, never taken for a formula.
#include <string>

namespace chipledger::report {

std::string csvCell(std::string text);

}  // namespace chipledger::report
