#pragma once
// Rows of a tab-separated file with a head line, and "key=value;key=value" inputs inside a cell.
#include <gtest/gtest.h>

#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

namespace chipledger::test {

using Row = std::map<std::string, std::string>;

inline std::vector<std::string> splitText(const std::string& text, char separator) {
  std::vector<std::string> parts;
  std::string part;
  std::istringstream in(text);
  while (std::getline(in, part, separator)) parts.push_back(part);
  return parts;
}

inline std::vector<Row> readTsv(const std::string& file) {
  std::ifstream in(file);
  std::vector<Row> rows;
  std::string text;
  if (!std::getline(in, text)) return rows;
  const auto head = splitText(text, '\t');
  while (std::getline(in, text)) {
    const auto cells = splitText(text, '\t');
    Row row;
    for (std::size_t i = 0; i < head.size() && i < cells.size(); ++i) row[head[i]] = cells[i];
    if (!row.empty()) rows.push_back(row);
  }
  return rows;
}

inline std::map<std::string, double> inputs(const Row& row) {
  std::map<std::string, double> values;
  for (const std::string& part : splitText(row.at("inputs"), ';')) {
    const auto at = part.find('=');
    if (at == std::string::npos) continue;
    std::istringstream number(part.substr(at + 1));
    double v{};
    if (number >> v) values[part.substr(0, at)] = v;
  }
  return values;
}

inline std::string motionData(const std::string& name) {
  return std::string(CHIPLEDGER_SOURCE_DIR) + "/tests/motion/data/" + name;
}

}  // namespace chipledger::test
