#include <chipledger/result/nearest.hpp>
#include <chipledger/route/what_if.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>

namespace chipledger::route {

const std::vector<LeverRow>& levers() {
  static const char* const kCommon = "common practice, no source";
  static const std::vector<LeverRow> rows{
      {Lever::Metal, "metal", "metal price", Set::Nothing, 0.8, 1.3, kCommon},
      {Lever::Machine, "machine", "machine rate", Set::Nothing, 0.75, 1.5, "productive hours a year, 1200 to 600"},
      {Lever::Wages, "wages", "wages", Set::Nothing, 0.93, 1.15, kCommon},
      {Lever::Minutes, "minutes", "machine minutes", Set::Nothing, 0.85, 1.3, kCommon},
      {Lever::HandWork, "hand work", "minutes of hand work", Set::Nothing, 0.8, 1.4, kCommon},
      {Lever::Cutters, "cutters", "wear of cutters", Set::Nothing, 0.5, 2.0, "published cutter life differs by two"},
      {Lever::Scrap, "scrap", "share lost", Set::Share, 0.5, 2.0, kCommon},
      {Lever::Bought, "bought", "parts bought", Set::Nothing, 0.9, 1.15, kCommon},
      {Lever::Outside, "outside", "work sent out", Set::Nothing, 0.9, 1.25, kCommon},
      {Lever::Once, "once", "paid once per design", Set::Nothing, 0.8, 1.5, kCommon},
      {Lever::Overhead, "overhead", "overhead", Set::Share, 0.7, 1.4, "12 to 25 %, common practice"},
      {Lever::OwnerHours, "owner hours", "the owner's hours", Set::Nothing, 0.8, 1.4, kCommon},
      {Lever::List, "list", "list price", Set::Money, 0.95, 1.05, kCommon},
      {Lever::Discount, "discount", "dealer discount", Set::Share, 0.8, 1.15, "25 to 40 % off list, common practice"},
      {Lever::Fees, "fees", "fees and warranty", Set::Nothing, 0.7, 1.4, "2 to 4 % each, common practice"},
  };
  return rows;
}

namespace {

std::string trimmed(const std::string& text) {
  const std::size_t from = text.find_first_not_of(" \t");
  if (from == std::string::npos) return {};
  return text.substr(from, text.find_last_not_of(" \t") - from + 1);
}

std::vector<std::string> names() {
  std::vector<std::string> all;
  for (const LeverRow& row : levers()) all.emplace_back(row.name);
  return all;
}

tl::unexpected<Fault> wrong(const std::string& words, const std::string& what, const std::string& next) {
  return fault(FaultCode::Usage, fmt::format("--what \"{}\"", words), what, next);
}

const char* const kForms = "Write \"metal +20%\", \"scrap = 12%\" or \"list = 750\".";

/// "20%", "20 %", "750": the number, and whether a percent sign ends it.
struct Number {
  double value{};
  bool percent{};
};
std::optional<Number> numberOf(std::string text) {
  Number n;
  text = trimmed(text);
  if (!text.empty() && text.back() == '%') {
    n.percent = true;
    text = trimmed(text.substr(0, text.size() - 1));
  }
  const auto end = text.data() + text.size();
  const auto read = std::from_chars(text.data(), end, n.value, std::chars_format::fixed);
  if (text.empty() || read.ec != std::errc{} || read.ptr != end || !std::isfinite(n.value)) return std::nullopt;
  return n;
}

Result<Change> readChange(const std::string& words) {
  const std::size_t mark = words.find_first_of("+-=");
  const std::string name = trimmed(words.substr(0, mark));
  const auto& rows = levers();
  const auto row = std::find_if(rows.begin(), rows.end(), [&](const LeverRow& r) { return name == r.name; });
  if (row == rows.end()) {
    if (name.empty()) return wrong(words, "It does not say what changes.", kForms);
    return wrong(words, fmt::format("\"{}\" is nothing that can be changed here.", name),
                 fmt::format("Did you mean \"{}\"? Known: {}.", nearestOf(name, names()), fmt::join(names(), ", ")));
  }
  if (mark == std::string::npos) return wrong(words, "It does not say by how much.", kForms);
  const auto number = numberOf(words.substr(mark + 1));
  if (!number) return wrong(words, "The number cannot be read.", kForms);
  Change change;
  change.lever = row->lever;
  change.words = words;
  if (words[mark] != '=') {
    if (!number->percent) return wrong(words, "A change up or down is given in percent.", kForms);
    change.factor = 1.0 + (words[mark] == '+' ? 1.0 : -1.0) * number->value / 100.0;
    if (!(change.factor >= 0.0)) return wrong(words, "Nothing can fall by more than all of it.", kForms);
    return change;
  }
  change.absolute = true;
  switch (row->set) {
    case Set::Nothing:
      return wrong(words, fmt::format("\"{}\" can go up or down by percent only.", row->name),
                   fmt::format("Write \"{} +20%\".", row->name));
    case Set::Share:
      change.value = number->percent ? number->value / 100.0 : number->value;
      if (!(change.value >= 0.0 && change.value < 1.0))
        return wrong(words, "A share lies from 0 % to below 100 %.", kForms);
      return change;
    case Set::Money:
      change.value = number->value;
      if (number->percent || !(change.value >= 0.0)) return wrong(words, "This is set to an amount of money.", kForms);
      return change;
  }
  return change;
}

}  // namespace

Result<std::vector<Change>> readChanges(const std::string& text) {
  std::vector<Change> changes;
  std::size_t from = 0;
  while (from <= text.size()) {
    const std::size_t comma = std::min(text.find(',', from), text.size());
    auto change = readChange(trimmed(text.substr(from, comma - from)));
    if (!change) return tl::make_unexpected(change.error());
    changes.push_back(std::move(*change));
    from = comma + 1;
  }
  return changes;
}

}  // namespace chipledger::route
