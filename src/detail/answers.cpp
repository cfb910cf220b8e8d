#include <fmt/format.h>
#include <chipledger/detail/answers.hpp>

#include <charconv>

#include "detail/answer_keys.hpp"

namespace chipledger::detail {
namespace {

constexpr DetailKind kKinds[] = {
    DetailKind::Outline,    DetailKind::Body,       DetailKind::Island,   DetailKind::Pocket,
    DetailKind::OpenPocket, DetailKind::Window,     DetailKind::Slot,     DetailKind::LockCut,
    DetailKind::Bore,       DetailKind::Step,       DetailKind::Chamfer,  DetailKind::Round,
    DetailKind::Lettering,  DetailKind::CarvedFace, DetailKind::SideFace, DetailKind::Undercut};
constexpr const char* kPartKeys[] = {"tight-bores", "seen-side", "mate"};
constexpr const char* kDetailKeys[] = {"thread", "fit", "finish"};

std::string familyName(DetailKind kind) {
  std::string name = word(kind);
  std::replace(name.begin(), name.end(), ' ', '-');
  return name;
}

/// "bore-2" -> "bore"; "body" -> "body".
std::string familyOf(const std::string& name) {
  const std::size_t dash = name.rfind('-');
  const bool numbered = dash != std::string::npos && dash + 1 < name.size() &&
                        name.find_first_not_of("0123456789", dash + 1) == std::string::npos;
  return numbered ? name.substr(0, dash) : name;
}

/// Edit distance.
std::size_t apart(const std::string& a, const std::string& b) {
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) row[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t corner = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t above = row[j];
      row[j] = std::min({row[j] + 1, row[j - 1] + 1, corner + (a[i - 1] == b[j - 1] ? 0 : 1)});
      corner = above;
    }
  }
  return row[b.size()];
}

std::string nearest(const std::string& word, const std::vector<std::string>& known) {
  return *std::min_element(known.begin(), known.end(),
                           [&](const std::string& a, const std::string& b) { return apart(word, a) < apart(word, b); });
}

std::string number(double v) {
  // Hundredths: enough to tell details apart, and steady under noise of the file.
  v = std::round(v * 100) / 100;
  if (v == 0) v = 0;
  char text[32];
  const auto end = std::to_chars(text, text + sizeof text, v).ptr;
  return {text, end};
}

}  // namespace

bool knownTable(const std::string& about) {
  if (about == "part") return true;
  const std::string family = familyOf(about);
  return std::any_of(std::begin(kKinds), std::end(kKinds), [&](DetailKind k) { return familyName(k) == family; });
}

std::string nearestTable(const std::string& about) {
  std::vector<std::string> known{"part"};
  for (const DetailKind k : kKinds) known.push_back(familyName(k));
  const std::string family = familyOf(about), best = nearest(family, known);
  return fmt::format("Did you mean \"{}\"?", best + about.substr(family.size()));
}

bool knownKey(const std::string& about, const std::string& key) {
  if (about == "part") return std::find(std::begin(kPartKeys), std::end(kPartKeys), key) != std::end(kPartKeys);
  if (key == "thread" && familyOf(about) != "bore") return false;
  return std::find(std::begin(kDetailKeys), std::end(kDetailKeys), key) != std::end(kDetailKeys);
}

std::string nearestKey(const std::string& about, const std::string& key) {
  std::vector<std::string> known;
  if (about == "part")
    known.assign(std::begin(kPartKeys), std::end(kPartKeys));
  else
    known.assign(std::begin(kDetailKeys), std::end(kDetailKeys));
  return fmt::format("Did you mean \"{}\"?", nearest(key, known));
}

std::string wrongValue(const std::string& key, const Answer& answer) {
  const auto oneOf = [&](const std::vector<std::string>& known) -> std::string {
    if (std::find(known.begin(), known.end(), answer.text) != known.end()) return "";
    std::string list;
    for (const std::string& k : known) list += (list.empty() ? "" : ", ") + k;
    return fmt::format("\"{}\" is none of the answers to \"{}\": {}.", answer.text, key, list);
  };
  if (key == "tight-bores") return answer.text.empty() ? "" : fmt::format("\"{}\" is a list of bores.", key);
  if (key == "seen-side") return oneOf({"outer", "back", "both", "none"});
  if (key == "mate") return oneOf({"same", "mirror", "other"});
  if (key == "fit") return oneOf({"tight", "plain"});
  if (key == "finish") return oneOf({"cosmetic", "plain", "leave as rolled"});
  return answer.list.empty() && !answer.text.empty() ? ""
                                                     : fmt::format("\"{}\" is the name of a thread, or \"no\".", key);
}

std::string answersTemplate(const Details& details) {
  std::string text =
      "# Answers to what the drawing cannot say. Take the # off a line to answer it; what is assumed until then stands "
      "above.\n";
  std::string about;
  std::vector<const Question*> ordered;
  for (const Question& q : details.questions) {
    if (q.about.empty()) ordered.push_back(&q);
  }
  for (const Question& q : details.questions) {
    if (!q.about.empty()) ordered.push_back(&q);
  }
  for (const Question* q : ordered) {
    const std::size_t dot = q->key.find('.');
    const std::string table = q->key.substr(0, dot), key = q->key.substr(dot + 1);
    if (table != about) {
      text += fmt::format("\n[{}]\n", table);
      about = table;
      for (const Detail& d : details.list) {
        if (d.name != table || !d.dimensions.centre) continue;
        const Vec3 at = *d.dimensions.centre;
        text += fmt::format("at = [{}, {}, {}]  # mm\n", number(at.x), number(at.y), number(at.z));
      }
    }
    std::string example = "\"no\"";
    if (key == "thread") {
      for (const Detail& d : details.list) {
        if (d.name == table && !d.thread.empty()) example = fmt::format("\"{}\"", d.thread);
      }
    }
    if (key == "tight-bores") example = "[]";
    if (key == "seen-side") example = "\"outer\"";
    if (key == "mate") example = "\"mirror\"";
    text += fmt::format("# {}\n# assumed: {}\n# {} = {}\n", q->question, q->assumed, key, example);
  }
  return text;
}

Details withAnswers(Details details, const Answers& answers) {
  const auto find = [&](const std::string& table, const AnswersFor& entry) -> Detail* {
    const std::string family = familyOf(table);
    Detail* best = nullptr;
    double least = kAnswerReach;
    if (entry.at_mm) {
      for (Detail& d : details.list) {
        if (familyOf(d.name) != family || !d.dimensions.centre) continue;
        const double away = norm(*d.dimensions.centre - *entry.at_mm);
        if (away < least) {
          least = away;
          best = &d;
        }
      }
      return best;  // a place that holds nothing any more is not given to whoever has the name now
    }
    for (Detail& d : details.list) {
      if (d.name == table) return &d;
    }
    return nullptr;
  };
  const auto answered = [&](const std::string& key) {
    std::erase_if(details.questions, [&](const Question& q) { return q.key == key; });
  };
  const auto lost = [&](const std::string& table, int line) {
    details.notes.push_back(
        {NoteSeverity::Doubt, "answer-lost",
         fmt::format("{}:{}: the drawing has no {} there any more; the answer is not used.", answers.file, line, table),
         table});
  };
  for (const auto& [table, entry] : answers.about) {
    if (table == "part") continue;
    Detail* d = find(table, entry);
    if (!d) {
      lost(table, entry.line);
      continue;
    }
    for (const auto& [key, a] : entry.values) {
      if (key == "thread") {
        d->kind = a.text == "no" ? DetailKind::Bore : DetailKind::Thread;
        d->thread = a.text == "no" ? "" : a.text;
      } else if (key == "fit") {
        d->hint = a.text == "plain" ? "" : a.text;
      } else {
        d->hint = a.text == "plain" ? "" : a.text;
      }
      answered(d->name + "." + key);
    }
  }
  if (const auto part = answers.about.find("part"); part != answers.about.end()) {
    for (const auto& [key, a] : part->second.values) {
      if (key == "tight-bores") {
        for (const std::string& name : a.list) {
          // A bore named here may have its place in a table of its own.
          const auto own = answers.about.find(name);
          Detail* d = find(name, own == answers.about.end() ? AnswersFor{} : own->second);
          if (d)
            d->hint = "tight";
          else
            lost(name, a.line);
        }
      }
      if (key == "seen-side") details.seenSide = a.text;
      if (key == "mate") details.mate = a.text;
      answered("part." + key);
    }
  }
  return details;
}

}  // namespace chipledger::detail
