#pragma once
// The rows of a table file as a plain tree with line numbers, so that only one source file needs the TOML library.
#include <chipledger/result/result.hpp>

#include <string>
#include <vector>

namespace chipledger::cutting {

struct TreeField;

struct TreeValue {
  enum class Kind { Number, Text, Flag, List, Group, Other };
  Kind kind{Kind::Other};
  int line{};
  double number{};
  bool flag{};
  std::string text;
  std::vector<TreeValue> list;
  std::vector<TreeField> group;
};

struct TreeField {
  std::string key;
  TreeValue value;
};

/// Top-level entries in order of lines. Fails: BadFile with line and column when the text is not TOML.
Result<std::vector<TreeField>> parseTree(const std::string& text, const std::string& fileName);

}  // namespace chipledger::cutting
