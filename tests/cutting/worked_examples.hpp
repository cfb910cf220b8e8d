#pragma once
// Rows of tests/cutting/data/worked_examples.tsv: published examples with their source and tolerance.
#include <fstream>
#include <map>
#include <ostream>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

namespace chipledger::test {

struct WorkedExample {
  std::string id, topic, quantity, unit, source;
  std::map<std::string, double> inputs;
  double published{}, tolerance{};

  double operator()(const std::string& name) const {
    const auto found = inputs.find(name);
    if (found == inputs.end()) throw std::runtime_error(id + " has no input " + name);
    return found->second;
  }
  bool has(const std::string& name) const { return inputs.count(name) > 0; }
};
inline std::ostream& operator<<(std::ostream& out, const WorkedExample& e) { return out << e.id << " " << e.quantity; }

inline std::vector<std::string> splitAt(const std::string& text, char mark) {
  std::vector<std::string> parts;
  std::stringstream stream(text);
  for (std::string part; std::getline(stream, part, mark);) parts.push_back(part);
  return parts;
}

inline std::vector<WorkedExample> readWorkedExamples(const std::string& file) {
  std::vector<WorkedExample> examples;
  std::ifstream in(file);
  std::string line;
  std::getline(in, line);  // headings
  while (std::getline(in, line)) {
    const auto cells = splitAt(line, '\t');
    if (cells.size() < 8) continue;
    WorkedExample e{
        .id = cells[0], .topic = cells[1], .quantity = cells[3], .unit = cells[5], .source = cells[7], .inputs = {}};
    for (const auto& input : splitAt(cells[2], ';')) {
      const auto equals = input.find('=');
      e.inputs[input.substr(0, equals)] = std::stod(input.substr(equals + 1));
    }
    e.published = std::stod(cells[4]);
    e.tolerance = std::stod(cells[6]);
    examples.push_back(e);
  }
  return examples;
}

}  // namespace chipledger::test
