#pragma once
// Reads one row of a table file: known keys with unit and range, everything else is a fault with line and mend.
#include <chipledger/cutting/tables.hpp>

#include "cutting/toml_tree.hpp"

#include <functional>
#include <string>
#include <vector>

namespace chipledger::cutting {

/// What a value may be; `unit` stands in the key ("diameter_mm") and is repeated for sentences.
struct Range {
  double least{}, most{};
};

struct LinedFault {
  int line{};
  Fault fault;
};

class RowReader {
public:
  RowReader(const TreeValue& row, std::string section, std::string fileName, bool builtIn,
            std::vector<LinedFault>& faults);

  bool ok() const { return ok_; }
  int line() const { return row_.line; }

  /// The row replaces nothing, so a missing number is a fault; else the number keeps its value.
  bool fresh{true};

  void text(const char* key, std::string& into, bool required);
  std::vector<std::string> texts(const char* key, bool required);
  bool flag(const char* key);
  void number(const char* key, Range range, double& into, bool required);
  /// A number or a list of them; empty when absent.
  std::vector<double> numbers(const char* key, Range range, bool required);
  std::vector<CutKind> kinds(const char* key);
  /// A number that may carry its own source: { value = 1, source = "...", grade = "seen" }.
  void sourced(const char* key, Range range, double& into, Origin& origin, bool required, const Origin& ofRow);

  /// Source, grade and `from` of the row; `base`: the row it changes, if any.
  Origin origin(const Origin* base);
  void complain(int line, std::string what, std::string next);
  /// Faults for keys that nobody asked for.
  void close();

private:
  const TreeValue* find(const char* key);
  bool checkRange(const char* key, int line, double value, Range range);
  std::string place(int line) const;
  Origin readOrigin(const std::vector<TreeField>& fields, const Origin* fallback);

  const TreeValue& row_;
  std::string section_, fileName_;
  bool builtIn_;
  bool ok_{true};
  std::vector<LinedFault>& faults_;
  std::vector<std::string> known_, given_, missing_;
};

std::optional<Grade> gradeFromWord(const std::string& text);
std::optional<CutKind> cutKindFromWord(const std::string& text);
std::optional<CutterKind> cutterKindFromWord(const std::string& text);
std::string cutKindWords();
std::string cutterKindWords();

/// The entry of `words` nearest to `word`; empty when more than half its letters differ.
std::string meant(const std::string& word, const std::vector<std::string>& words);

}  // namespace chipledger::cutting
