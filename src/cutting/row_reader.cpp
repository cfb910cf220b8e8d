#include "cutting/row_reader.hpp"

#include <chipledger/result/nearest.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace chipledger::cutting {
namespace {

/// Unit endings a key may carry, longest first where one ends another.
constexpr std::array kUnitEndings{"_mm_min", "_in_min", "_ft_min", "_m_min", "_g_cm3", "_kg_m3", "_lb_in3", "_n_mm2",
                                  "_w_mk",   "_per_kg", "_per_lb", "_gpa",   "_mpa",   "_ksi",   "_psi",    "_sfm",
                                  "_mm",     "_um",     "_cm",     "_inch",  "_in",    "_deg",   "_rad",    "_min",
                                  "_h",      "_s",      "_hb",     "_hrc",   "_hv",    "_m",     "_g",      "_kg"};

std::pair<std::string, std::string> splitUnit(const std::string& key) {
  for (const char* ending : kUnitEndings) {
    if (key.ends_with(ending)) return {key.substr(0, key.size() - std::string(ending).size()), ending};
  }
  return {key, ""};
}

std::string unitName(const std::string& ending) {
  if (ending.empty()) return "no unit";
  std::string name = ending.substr(1);
  if (name == "m_min") return "m/min";
  if (name == "mm_min") return "mm/min";
  if (name == "g_cm3") return "g/cm3";
  if (name == "n_mm2" || name == "mpa") return "N/mm2";
  if (name == "gpa") return "GPa";
  if (name == "w_mk") return "W/(m K)";
  if (name == "per_kg") return "money per kg";
  if (name == "hb") return "Brinell";
  return name;
}

std::string join(const std::vector<std::string>& words) { return fmt::format("{}", fmt::join(words, ", ")); }

}  // namespace

std::string meant(const std::string& word, const std::vector<std::string>& words) {
  const std::string near = nearestOf(word, words);
  return editDistance(word, near) > std::max<std::size_t>(word.size() / 2, 1) ? std::string() : near;
}

RowReader::RowReader(const TreeValue& row, std::string section, std::string fileName, bool builtIn,
                     std::vector<LinedFault>& faults)
    : row_(row), section_(std::move(section)), fileName_(std::move(fileName)), builtIn_(builtIn), faults_(faults) {}

std::string RowReader::place(int line) const { return fmt::format("{} line {} [[{}]]", fileName_, line, section_); }

void RowReader::complain(int line, std::string what, std::string next) {
  ok_ = false;
  faults_.push_back({line, {FaultCode::BadFile, place(line), std::move(what), std::move(next)}});
}

const TreeValue* RowReader::find(const char* key) {
  if (std::find(known_.begin(), known_.end(), key) == known_.end()) known_.emplace_back(key);
  for (const auto& field : row_.group) {
    if (field.key == key) {
      given_.emplace_back(key);
      return &field.value;
    }
  }
  return nullptr;
}

bool RowReader::checkRange(const char* key, int line, double value, Range range) {
  if (std::isfinite(value) && value >= range.least && value <= range.most) return true;
  const auto [stem, ending] = splitUnit(key);
  complain(line, fmt::format("{} = {:g} cannot be.", key, value),
           fmt::format("Give a value from {:g} to {:g}{}.", range.least, range.most,
                       ending.empty() ? std::string() : fmt::format(" {}", unitName(ending))));
  return false;
}

void RowReader::text(const char* key, std::string& into, bool required) {
  const TreeValue* value = find(key);
  if (!value) {
    if (required) complain(row_.line, fmt::format("A new row needs {}.", key), fmt::format("Add {} = \"...\".", key));
    return;
  }
  if (value->kind != TreeValue::Kind::Text || value->text.empty()) {
    complain(value->line, fmt::format("{} must be a text.", key), "Put it in double quotes and do not leave it empty.");
    return;
  }
  into = value->text;
}

std::vector<std::string> RowReader::texts(const char* key, bool required) {
  const TreeValue* value = find(key);
  std::vector<std::string> result;
  if (!value) {
    if (required) complain(row_.line, fmt::format("The row needs {}.", key), fmt::format("Add {} = \"...\".", key));
    return result;
  }
  if (value->kind == TreeValue::Kind::Text) return {value->text};
  if (value->kind == TreeValue::Kind::List) {
    for (const auto& item : value->list) {
      if (item.kind == TreeValue::Kind::Text) result.push_back(item.text);
    }
    if (!result.empty() && result.size() == value->list.size()) return result;
  }
  complain(value->line, fmt::format("{} must be a text or a list of texts.", key), "Put each in double quotes.");
  return {};
}

bool RowReader::flag(const char* key) {
  const TreeValue* value = find(key);
  if (!value) return false;
  if (value->kind != TreeValue::Kind::Flag)
    complain(value->line, fmt::format("{} must be true or false.", key), "Write one of them without quotes.");
  return value->flag;
}

void RowReader::number(const char* key, Range range, double& into, bool required) {
  const TreeValue* value = find(key);
  if (!value) {
    missing_.emplace_back(key);
    if (required) complain(row_.line, fmt::format("A new row needs {}.", key), fmt::format("Add {} = a number.", key));
    return;
  }
  if (value->kind != TreeValue::Kind::Number) {
    complain(value->line, fmt::format("{} must be a number.", key), "Write it without quotes and without its unit.");
    return;
  }
  if (checkRange(key, value->line, value->number, range)) into = value->number;
}

std::vector<double> RowReader::numbers(const char* key, Range range, bool required) {
  const TreeValue* value = find(key);
  if (!value) {
    missing_.emplace_back(key);
    if (required)
      complain(row_.line, fmt::format("A new row needs {}.", key), fmt::format("Add {} = a number or a list.", key));
    return {};
  }
  std::vector<double> result;
  const std::vector<TreeValue> single{*value};
  for (const auto& item : value->kind == TreeValue::Kind::List ? value->list : single) {
    if (item.kind != TreeValue::Kind::Number) {
      complain(item.line, fmt::format("{} must be a number or a list of numbers.", key),
               "Write them without quotes and without their unit.");
      return {};
    }
    if (!checkRange(key, item.line, item.number, range)) return {};
    result.push_back(item.number);
  }
  if (result.empty()) complain(value->line, fmt::format("{} is an empty list.", key), "Give at least one number.");
  return result;
}

std::vector<CutKind> RowReader::kinds(const char* key) {
  std::vector<CutKind> result;
  for (const auto& text : texts(key, true)) {
    if (const auto kind = cutKindFromWord(text)) {
      result.push_back(*kind);
    } else {
      complain(row_.line, fmt::format("There is no kind of cut called \"{}\".", text),
               fmt::format("Use one of: {}.", cutKindWords()));
    }
  }
  return result;
}

Origin RowReader::readOrigin(const std::vector<TreeField>& fields, const Origin* fallback) {
  Origin origin;
  if (!builtIn_) origin = {From::Entered, Grade::Own, place(row_.line)};
  if (fallback) origin = *fallback;
  bool graded = false;
  for (const auto& field : fields) {
    if (field.key == "source") {
      if (field.value.kind == TreeValue::Kind::Text && !field.value.text.empty()) {
        origin.source = field.value.text;
      } else {
        complain(field.value.line, "source must be a text.", "Say where the value is from, in double quotes.");
      }
    } else if (field.key == "grade") {
      const auto grade = gradeFromWord(field.value.text);
      if (grade) {
        origin.grade = *grade;
        origin.from = fromOf(*grade);
        graded = true;
      } else {
        complain(field.value.line, fmt::format("There is no grade called \"{}\".", field.value.text),
                 "Use one of: seen, reworked, common practice, memory, own.");
      }
    } else if (field.key == "from") {
      if (field.value.text == "clocked") {
        origin.from = From::Clocked;
      } else if (field.value.text == "entered") {
        origin.from = From::Entered;
      } else if (field.value.text == "guessed") {
        origin.from = From::Guessed;
      } else {
        complain(field.value.line, fmt::format("A shop row cannot be from \"{}\".", field.value.text),
                 "Use one of: entered, clocked, guessed.");
      }
    }
  }
  if (builtIn_ && (origin.source.empty() || !graded) && !fallback) {
    complain(row_.line, "A built-in row needs its source and grade.", "Add source = \"...\" and grade = \"...\".");
  }
  return origin;
}

Origin RowReader::origin(const Origin* base) {
  for (const char* key : {"source", "grade", "from"}) known_.emplace_back(key);
  Origin origin = readOrigin(row_.group, nullptr);
  if (base && !missing_.empty()) {
    std::vector<std::string> changed;
    for (const auto& key : given_) {
      if (std::find(known_.begin(), known_.end(), key) != known_.end()) changed.push_back(key);
    }
    origin.source = fmt::format("{} ({}); the rest of the row: {}", origin.source, join(changed), base->source);
  }
  return origin;
}

void RowReader::sourced(const char* key, Range range, double& into, Origin& origin, bool required,
                        const Origin& ofRow) {
  const TreeValue* value = find(key);
  if (!value) {
    missing_.emplace_back(key);
    if (required) complain(row_.line, fmt::format("A new row needs {}.", key), fmt::format("Add {} = a number.", key));
    return;
  }
  if (value->kind == TreeValue::Kind::Number) {
    if (checkRange(key, value->line, value->number, range)) {
      into = value->number;
      origin = ofRow;
    }
    return;
  }
  if (value->kind == TreeValue::Kind::Group) {
    for (const auto& field : value->group) {
      if (field.key == "value" && field.value.kind == TreeValue::Kind::Number) {
        if (checkRange(key, field.value.line, field.value.number, range)) {
          into = field.value.number;
          origin = readOrigin(value->group, &ofRow);
        }
        return;
      }
    }
  }
  complain(value->line, fmt::format("{} must be a number or {{ value = ..., source = \"...\" }}.", key),
           "Write the number without quotes and without its unit.");
}

void RowReader::close() {
  for (const auto& field : row_.group) {
    if (std::find(known_.begin(), known_.end(), field.key) != known_.end()) continue;
    const auto [stem, ending] = splitUnit(field.key);
    std::string sameStem;
    for (const auto& key : known_) {
      if (splitUnit(key).first == stem) sameStem = key;
    }
    if (!sameStem.empty()) {
      const std::string unit = unitName(splitUnit(sameStem).second);
      complain(field.value.line, fmt::format("{} has the wrong unit: this value is in {}.", field.key, unit),
               fmt::format("Write {} and give it in {}.", sameStem, unit));
      continue;
    }
    const std::string near = meant(field.key, known_);
    complain(field.value.line, fmt::format("[[{}]] knows no {}.", section_, field.key),
             near.empty() ? fmt::format("Known keys: {}.", join(known_)) : fmt::format("Did you mean {}?", near));
  }
}

}  // namespace chipledger::cutting
