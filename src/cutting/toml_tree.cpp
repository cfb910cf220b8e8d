#include "cutting/toml_tree.hpp"

#include <fmt/format.h>

#include <toml++/toml.h>
#include <algorithm>

namespace chipledger::cutting {
namespace {

TreeValue valueOf(const toml::node& node);

std::vector<TreeField> fieldsOf(const toml::table& table) {
  std::vector<TreeField> fields;
  for (const auto& [key, node] : table) fields.push_back({std::string(key.str()), valueOf(node)});
  std::stable_sort(fields.begin(), fields.end(),
                   [](const TreeField& a, const TreeField& b) { return a.value.line < b.value.line; });
  return fields;
}

TreeValue valueOf(const toml::node& node) {
  TreeValue value;
  value.line = static_cast<int>(node.source().begin.line);
  if (const auto* group = node.as_table()) {
    value.kind = TreeValue::Kind::Group;
    value.group = fieldsOf(*group);
  } else if (const auto* list = node.as_array()) {
    value.kind = TreeValue::Kind::List;
    for (const auto& item : *list) value.list.push_back(valueOf(item));
    // An array of tables has no place of its own: it begins with its first table.
    if (value.line == 0 && !value.list.empty()) value.line = value.list.front().line;
  } else if (node.is_number()) {
    value.kind = TreeValue::Kind::Number;
    value.number = node.value<double>().value_or(0);
  } else if (const auto* text = node.as_string()) {
    value.kind = TreeValue::Kind::Text;
    value.text = text->get();
  } else if (const auto* flag = node.as_boolean()) {
    value.kind = TreeValue::Kind::Flag;
    value.flag = flag->get();
  }
  return value;
}

}  // namespace

Result<std::vector<TreeField>> parseTree(const std::string& text, const std::string& fileName) {
  try {
    return fieldsOf(toml::parse(text, fileName));
  } catch (const toml::parse_error& error) {
    const auto& place = error.source().begin;
    return fault(FaultCode::BadFile, fmt::format("{} line {}", fileName, place.line),
                 fmt::format("This is not TOML from column {} on: {}.", place.column, error.description()),
                 "Mend the line; texts stand in double quotes, rows begin with [[name]].");
  }
}

}  // namespace chipledger::cutting
