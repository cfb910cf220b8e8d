#include <chipledger/report/number.hpp>
#include <chipledger/report/terminal.hpp>
#include <chipledger/report/wording.hpp>

#include "report/terminal_parts.hpp"

namespace chipledger::report {

std::string renderShop(const std::string& title, const Assumptions& values, const TerminalOptions& options) {
  std::string out = titleText(title, std::to_string(values.size()) + " values: " + fromWords(values), options);
  // Groups follow the first word of the name, in the order in which they first appear.
  std::vector<std::string> groups;
  const auto groupOf = [](const Assumption& a) { return a.name.substr(0, a.name.find('.')); };
  for (const Assumption& a : values) {
    const std::string group = groupOf(a);
    if (std::find(groups.begin(), groups.end(), group) == groups.end()) groups.push_back(group);
  }
  for (const std::string& group : groups) {
    Table table({{"value", "", Align::Left, 0, true},
                 {"is", ""},
                 {"unit", "", Align::Left},
                 {"from", "", Align::Left, 1},
                 {"source", "", Align::Left, 2}});
    for (const Assumption& a : values) {
      if (groupOf(a) != group) continue;
      const std::string key = a.name.size() > group.size() ? a.name.substr(group.size() + 1) : a.name;
      table.add({plain(key), trimmed(a.value, 6), plain(a.unit), word(a.from), plain(a.source)});
    }
    out += headingText(plain(group), options) + table.text(options);
  }
  return out;
}

}  // namespace chipledger::report
