#include <fmt/format.h>
#include <toml++/toml.h>
#include <chipledger/detail/answers.hpp>

#include <fstream>
#include <sstream>

#include "detail/answer_keys.hpp"

namespace chipledger::detail {
namespace {

Fault bad(const std::string& file, const toml::source_region& at, std::string what, std::string next) {
  return {FaultCode::BadFile, fmt::format("{}:{}", file, at.begin.line), std::move(what), std::move(next)};
}

Result<Answer> answer(const std::string& file, const std::string& key, const toml::node& node) {
  Answer a;
  a.line = static_cast<int>(node.source().begin.line);
  if (const auto* text = node.as_string()) {
    a.text = text->get();
  } else if (const auto* flag = node.as_boolean()) {
    a.text = flag->get() ? "yes" : "no";
  } else if (const auto* list = node.as_array()) {
    for (const toml::node& item : *list) {
      const auto* name = item.as_string();
      if (!name)
        return tl::make_unexpected(bad(file, item.source(), fmt::format("\"{}\" lists something that is no name.", key),
                                       "Write the names of details in quotes."));
      a.list.push_back(name->get());
    }
  } else {
    return tl::make_unexpected(bad(file, node.source(),
                                   fmt::format("\"{}\" is neither text, true, false nor a list.", key),
                                   "Write the answer in quotes."));
  }
  if (const std::string wrong = wrongValue(key, a); !wrong.empty())
    return tl::make_unexpected(bad(file, node.source(), wrong, "Choose one of those."));
  return a;
}

}  // namespace

Result<Answers> readAnswersText(std::string_view text, const std::string& file) {
  toml::table root;
  try {
    root = toml::parse(text, file);
  } catch (const toml::parse_error& error) {
    return tl::make_unexpected(
        bad(file, error.source(), fmt::format("This is no TOML: {}.", error.description()), "Mend the line."));
  }
  Answers answers;
  answers.file = file;
  for (const auto& [name, node] : root) {
    const std::string about(name.str());
    const toml::table* table = node.as_table();
    if (!table || !knownTable(about)) {
      return tl::make_unexpected(
          bad(file, node.source(), fmt::format("\"{}\" is no detail and not \"part\".", about), nearestTable(about)));
    }
    AnswersFor& entry = answers.about[about];
    entry.line = static_cast<int>(node.source().begin.line);
    for (const auto& [keyName, value] : *table) {
      const std::string key(keyName.str());
      if (key == "at" && about != "part") {
        const toml::array* place = value.as_array();
        if (!place || place->size() != 3)
          return tl::make_unexpected(
              bad(file, value.source(), "\"at\" is no place.", "Write three numbers: [x, y, z] in mm."));
        double xyz[3];
        for (std::size_t i = 0; i < 3; ++i) {
          const auto number = place->get(i)->value<double>();
          if (!number)
            return tl::make_unexpected(
                bad(file, value.source(), "\"at\" is no place.", "Write three numbers: [x, y, z] in mm."));
          xyz[i] = *number;
        }
        entry.at_mm = Vec3{xyz[0], xyz[1], xyz[2]};
        continue;
      }
      if (!knownKey(about, key)) {
        return tl::make_unexpected(bad(file, value.source(), fmt::format("No question is named \"{}.{}\".", about, key),
                                       nearestKey(about, key)));
      }
      auto a = answer(file, key, value);
      if (!a) return tl::make_unexpected(a.error());
      entry.values[key] = *a;
    }
  }
  return answers;
}

Result<Answers> readAnswers(const std::string& path) {
  std::ifstream in(path);
  if (!in)
    return fault(FaultCode::BadFile, path, "The answers file cannot be opened.",
                 "Write one with \"look --write-answers\" or check the path.");
  std::ostringstream text;
  text << in.rdbuf();
  return readAnswersText(text.str(), path);
}

}  // namespace chipledger::detail
