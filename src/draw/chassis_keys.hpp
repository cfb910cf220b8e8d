#pragma once
// Reads the keys of one TOML table with their units and expressions, and remembers which were used. The first thing
// wrong is kept with its line; later reads then give nothing. Included by read_chassis.cpp alone.
#include <chipledger/draw/chassis.hpp>
#include <chipledger/result/result.hpp>

#include <fmt/format.h>

#include <toml++/toml.h>
#include <cmath>
#include <initializer_list>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "expression.hpp"

namespace chipledger::draw {

/// What all tables of one file share.
struct ChassisFile {
  std::string name;
  FileUnit unit{FileUnit::Mm};
  NamedValues let;
  std::optional<Fault> bad;  ///< the first fault

  void fail(const toml::node& node, const std::string& what, const std::string& next) {
    if (!bad) bad = Fault{FaultCode::BadFile, fmt::format("{}:{}", name, node.source().begin.line), what, next};
  }
};

class ChassisKeys {
public:
  ChassisKeys(ChassisFile& file, const toml::table& table, std::string title)
      : file_(file), table_(table), title_(std::move(title)) {}

  const toml::table& table() const { return table_; }
  bool has(const std::string& key) const { return table_.contains(key); }
  void fail(const toml::node& node, const std::string& what, const std::string& next) { file_.fail(node, what, next); }

  const toml::node* find(const std::string& key) {
    used_.insert(key);
    return table_.get(key);
  }

  /// key_mm, key_in, or key in the file's unit; `none` when left out.
  std::optional<Length> maybeLength(const std::string& key) {
    const auto [node, factor] = findLength(key);
    if (node == nullptr) return std::nullopt;
    const auto v = number(*node, key);
    return v ? std::optional(mm(*v * factor)) : std::nullopt;
  }
  Length length(const std::string& key) { return maybeLength(key).value_or(Length{}); }
  Length neededLength(const std::string& key) {
    const auto v = maybeLength(key);
    if (!v) missing(key + (file_.unit == FileUnit::Mm ? "_mm" : "_in"));
    return v.value_or(Length{});
  }

  std::optional<Angle> maybeAngle(const std::string& key) {
    const toml::node* node = find(key + "_deg");
    if (node == nullptr) return std::nullopt;
    const auto v = number(*node, key + "_deg");
    return v ? std::optional(degrees(*v)) : std::nullopt;
  }
  Angle angle(const std::string& key) { return maybeAngle(key).value_or(Angle{}); }

  double plain(const std::string& key) {
    const toml::node* node = find(key);
    return node == nullptr ? 0.0 : number(*node, key).value_or(0.0);
  }

  std::string text(const std::string& key) {
    const toml::node* node = find(key);
    if (node == nullptr) return {};
    if (!node->is_string()) fail(*node, fmt::format("{} is not a text.", key), "Write it between quotation marks.");
    return node->value<std::string>().value_or("");
  }
  std::string neededText(const std::string& key) {
    if (!has(key)) missing(key);
    return text(key);
  }

  bool flag(const std::string& key) {
    const toml::node* node = find(key);
    if (node == nullptr) return false;
    if (!node->is_boolean()) fail(*node, fmt::format("{} is neither true nor false.", key), "Write true or false.");
    return node->value<bool>().value_or(false);
  }

  /// One of the words; `fallback` when left out.
  template <class T>
  T choice(const std::string& key, std::initializer_list<std::pair<const char*, T>> words, T fallback) {
    const toml::node* node = find(key);
    if (node == nullptr) return fallback;
    const std::string word = text(key);
    std::string all;
    for (const auto& [name, value] : words) {
      if (word == name) return value;
      all += (all.empty() ? "" : ", ") + std::string(name);
    }
    fail(*node, fmt::format("{} is \"{}\".", key, word), "Choose one of: " + all + ".");
    return fallback;
  }

  std::optional<part::Hint> hint(const std::string& key) {
    const toml::node* node = find(key);
    if (node == nullptr) return std::nullopt;
    const auto found = part::hintOf(std::string_view(text(key)));
    if (!found)
      fail(*node, fmt::format("{} is \"{}\".", key, text(key)),
           "Choose one of: tight, thread, cosmetic, leave as rolled.");
    return found;
  }

  std::optional<Vec2> maybePoint(const std::string& key) {
    const auto [node, factor] = findLength(key);
    return node == nullptr ? std::nullopt : point(*node, key, factor);
  }
  Vec2 neededPoint(const std::string& key) {
    const auto p = maybePoint(key);
    if (!p) missing(key + (file_.unit == FileUnit::Mm ? "_mm" : "_in"));
    return p.value_or(Vec2{});
  }

  std::vector<Vec2> points(const std::string& key) {
    std::vector<Vec2> out;
    const auto [node, factor] = findLength(key);
    if (node == nullptr) return out;
    if (!node->is_array()) {
      fail(*node, fmt::format("{} is not a list of points.", key), "Write [[x, y], [x, y], ...].");
      return out;
    }
    for (const toml::node& one : *node->as_array())
      if (const auto p = point(one, key, factor)) out.push_back(*p);
    return out;
  }

  /// Tables of a list of tables; a fault when the key holds something else.
  std::vector<const toml::table*> tables(const std::string& key) {
    std::vector<const toml::table*> out;
    const toml::node* node = find(key);
    if (node == nullptr) return out;
    if (!node->is_array()) {
      fail(*node, fmt::format("{} is not a list of tables.", key), fmt::format("Write [[{}]] above each.", key));
      return out;
    }
    for (const toml::node& one : *node->as_array()) {
      if (one.is_table())
        out.push_back(one.as_table());
      else
        fail(one, fmt::format("{} holds something that is not a table.", key),
             fmt::format("Write [[{}]] above each.", key));
    }
    return out;
  }
  const toml::table* subTable(const std::string& key) {
    const toml::node* node = find(key);
    if (node == nullptr) return nullptr;
    if (!node->is_table())
      fail(*node, fmt::format("{} is not a table.", key), fmt::format("Write [{}] above its keys.", key));
    return node->as_table();
  }

  /// Call last: a key nobody asked for is a fault.
  void finish() {
    const toml::node* worst = nullptr;
    std::string name;
    for (const auto& [key, node] : table_) {
      if (used_.count(std::string(key.str())) != 0) continue;
      if (worst == nullptr || node.source().begin.line < worst->source().begin.line) {
        worst = &node;
        name = key.str();
      }
    }
    if (worst != nullptr)
      fail(*worst, fmt::format("{} has no key \"{}\".", title_, name), "Check its spelling and unit.");
  }

  void missing(const std::string& key) { fail(table_, fmt::format("{} has no {}.", title_, key), "Add it."); }

  std::optional<double> number(const toml::node& node, const std::string& key) {
    if (node.is_string()) {
      const std::string words = node.value<std::string>().value_or("");
      const auto v = evaluate(words, file_.let);
      if (v) return sane(node, key, *v);
      fail(node, fmt::format("{} = \"{}\" cannot be worked out: {}.", key, words, v.error()),
           "Check the expression and [let].");
      return std::nullopt;
    }
    if (!node.is_number()) {
      fail(node, fmt::format("{} is not a number.", key), "Write a number, or an expression between quotation marks.");
      return std::nullopt;
    }
    return sane(node, key, node.value<double>().value_or(0.0));
  }

private:
  static constexpr double kMost = 1e6;  // a kilometre in mm: contours of more have no countable corners

  std::optional<double> sane(const toml::node& node, const std::string& key, double v) {
    if (std::abs(v) <= kMost) return v;
    fail(node,
         std::isfinite(v) ? fmt::format("{} is {:.3g}, more than any chassis has.", key, v)
                          : fmt::format("{} is not a finite number.", key),
         "Write an ordinary number.");
    return std::nullopt;
  }

  static constexpr double kInch_mm = 25.4;

  std::pair<const toml::node*, double> findLength(const std::string& key) {
    const std::pair<std::string, double> spellings[] = {
        {key + "_mm", 1.0}, {key + "_in", kInch_mm}, {key, file_.unit == FileUnit::Inch ? kInch_mm : 1.0}};
    std::pair<const toml::node*, double> found{nullptr, 1.0};
    for (const auto& [spelling, factor] : spellings) {
      const toml::node* node = find(spelling);
      if (node == nullptr) continue;
      if (found.first != nullptr) fail(*node, fmt::format("{} is given twice.", key), "Leave one of the two.");
      found = {node, factor};
    }
    return found;
  }

  std::optional<Vec2> point(const toml::node& node, const std::string& key, double factor) {
    const toml::array* pair = node.as_array();
    if (pair == nullptr || pair->size() != 2) {
      fail(node, fmt::format("{} is not a point.", key), "Write [x, y].");
      return std::nullopt;
    }
    const auto x = number(*pair->get(0), key), y = number(*pair->get(1), key);
    if (!x || !y) return std::nullopt;
    return Vec2{*x * factor, *y * factor};
  }

  ChassisFile& file_;
  const toml::table& table_;
  std::string title_;
  std::set<std::string> used_;
};

}  // namespace chipledger::draw
