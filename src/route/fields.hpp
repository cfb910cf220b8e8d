#pragma once
// One table of a product file, read key by key; the first mistake is kept with its line and its mend.
#include <chipledger/result/nearest.hpp>
#include <chipledger/result/result.hpp>
#include <chipledger/route/routes.hpp>

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <functional>
#include <limits>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace chipledger::route {

/// The first mistake found in a file.
class Mistake {
public:
  explicit Mistake(std::string file) : file_(std::move(file)) {}
  void say(const toml::node& at, std::string what, std::string next) {
    if (!found_) found_ = Fault{FaultCode::BadFile, text(placeOf(at)), std::move(what), std::move(next)};
  }
  void say(const Place& at, std::string what, std::string next) {
    if (!found_) found_ = Fault{FaultCode::BadFile, text(at), std::move(what), std::move(next)};
  }
  Place placeOf(const toml::node& at) const { return {file_, static_cast<int>(at.source().begin.line)}; }
  const std::optional<Fault>& found() const { return found_; }
  const std::string& file() const { return file_; }

private:
  std::string file_;
  std::optional<Fault> found_;
};

/// Reads the keys it is asked for; `finish` complains about those it was not asked for.
class Fields {
public:
  Fields(const toml::table& table, std::string section, Mistake& mistake)
      : table_(table), section_(std::move(section)), mistake_(mistake) {}

  Place place() const { return mistake_.placeOf(table_); }
  bool has(const std::string& key) const { return table_.contains(key); }

  const toml::node* node(const std::string& key) {
    known_.push_back(key);
    return table_.get(key);
  }

  void words(const std::string& key, std::string& into) {
    const toml::node* n = node(key);
    if (n == nullptr) return;
    const auto value = n->value<std::string>();
    if (!n->is_string() || value->empty())
      return mistake_.say(*n, fmt::format("\"{}\" must be a text.", key), "Put it in quotes.");
    into = *value;
  }

  bool needed(const std::string& key) {
    if (has(key)) return true;
    mistake_.say(table_, fmt::format("{} lacks \"{}\".", section_, key), "Add the line.");
    return false;
  }

  std::optional<double> number(const std::string& key, double low, double high) {
    const toml::node* n = node(key);
    if (n == nullptr) return std::nullopt;
    if (!n->is_number()) {
      mistake_.say(*n, fmt::format("\"{}\" must be a number.", key), "Write it without quotes.");
      return std::nullopt;
    }
    const double value = *n->value<double>();
    if (!(value >= low && value <= high)) {
      mistake_.say(*n, fmt::format("{} = {:g} cannot be: it lies from {:g} to {:g}.", key, value, low, high),
                   "Correct the value or its unit.");
      return std::nullopt;
    }
    return value;
  }
  void number(const std::string& key, double low, double high, double& into) {
    if (const auto value = number(key, low, high)) into = *value;
  }

  std::optional<int> whole(const std::string& key, int low, int high) {
    const auto value = number(key, low, high);
    if (!value) return std::nullopt;
    if (*value != static_cast<double>(static_cast<int>(*value))) {
      mistake_.say(*table_.get(key), fmt::format("\"{}\" must be a whole number.", key), "Round it.");
      return std::nullopt;
    }
    return static_cast<int>(*value);
  }
  void whole(const std::string& key, int low, int high, int& into) {
    if (const auto value = whole(key, low, high)) into = *value;
  }

  std::optional<Money> amount(const std::string& key) {
    constexpr double kLargest = 1e9;
    const auto value = number(key, 0.0, kLargest);
    if (!value) return std::nullopt;
    return money(*value);
  }
  void amount(const std::string& key, Money& into) {
    if (const auto value = amount(key)) into = *value;
  }

  void flag(const std::string& key, bool& into) {
    const toml::node* n = node(key);
    if (n == nullptr) return;
    if (!n->is_boolean())
      return mistake_.say(*n, fmt::format("\"{}\" is true or false.", key), "Write it without quotes.");
    into = *n->value<bool>();
  }

  void wordList(const std::string& key, std::vector<std::string>& into) {
    const toml::node* n = node(key);
    if (n == nullptr) return;
    const toml::array* list = n->as_array();
    if (list == nullptr)
      return mistake_.say(*n, fmt::format("\"{}\" is a list of texts.", key),
                          fmt::format("Write {} = [\"...\"].", key));
    for (const toml::node& item : *list) {
      if (!item.is_string())
        return mistake_.say(item, fmt::format("\"{}\" is a list of texts.", key), "Put each in quotes.");
      into.push_back(*item.value<std::string>());
    }
  }

  /// A pair of rising numbers, or one number for both.
  void range(const std::string& key, double low, double high, double& from, double& to) {
    const toml::node* n = node(key);
    if (n == nullptr) return;
    const toml::array* list = n->as_array();
    std::vector<double> values;
    if (n->is_number()) values = {*n->value<double>(), *n->value<double>()};
    if (list != nullptr)
      for (const toml::node& item : *list)
        if (item.is_number()) values.push_back(*item.value<double>());
    const bool sound = values.size() == 2 && values[0] >= low && values[1] <= high && values[0] <= values[1];
    if (!sound)
      return mistake_.say(*n, fmt::format("\"{}\" is a pair of rising numbers.", key),
                          fmt::format("Write {} = [3, 10].", key));
    from = values[0];
    to = values[1];
  }

  template <class T>
  void oneOf(const std::string& key, const std::vector<std::pair<std::string, T>>& choices, std::optional<T>& into) {
    const toml::node* n = node(key);
    if (n == nullptr) return;
    std::vector<std::string> names;
    for (const auto& [name, value] : choices) {
      if (n->value<std::string>() == name) {
        into = value;
        return;
      }
      names.push_back(name);
    }
    mistake_.say(*n, fmt::format("\"{}\" is none of those known.", key),
                 fmt::format("Choose: {}.", fmt::join(names, ", ")));
  }

  void finish() {
    for (const auto& [key, value] : table_) {
      const std::string word(key.str());
      if (std::find(known_.begin(), known_.end(), word) != known_.end()) continue;
      mistake_.say(value, fmt::format("\"{}\" is not known in {}.", word, section_),
                   fmt::format("Did you mean \"{}\"? Known: {}.", nearestOf(word, known_), fmt::join(known_, ", ")));
    }
  }

private:
  const toml::table& table_;
  std::string section_;
  Mistake& mistake_;
  std::vector<std::string> known_;
};

/// Calls `each` for every table of a list of tables; says when it is something else.
void eachTable(const toml::table& root, const std::string& key, Mistake& mistake,
               const std::function<void(const toml::table&)>& each);

/// The [[route]] tables of a file.
std::vector<Route> readRoutes(const toml::table& root, Mistake& mistake);

}  // namespace chipledger::route
