#pragma once
// The text of a STEP file with one entity a line, so that tests can find and damage entities by their text.
#include <fstream>
#include <iterator>
#include <string>

namespace chipledger::part {

inline std::string stepLines(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  const std::string text{std::istreambuf_iterator<char>(in), {}};
  std::string out;
  bool broken = false;  // just behind a line end inside an entity
  for (const char c : text) {
    const bool inside = !out.empty() && out.back() != ';' && out.back() != '\n';
    if (c == '\r' || (c == '\n' && inside) || (c == ' ' && broken)) {
      broken = broken || c == '\n';
      continue;
    }
    broken = false;
    out += c;
  }
  return out;
}

}  // namespace chipledger::part
