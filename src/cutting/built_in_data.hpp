#pragma once
// The files of src/cutting/data, compiled in by cmake/ChipledgerData.cmake.
#include <string>
#include <vector>

namespace chipledger::cutting {

struct BuiltInFile {
  std::string name;
  std::string text;
};

/// In the order in which they must be read: materials first, the rest refers to them.
std::vector<BuiltInFile> builtInData();

}  // namespace chipledger::cutting
