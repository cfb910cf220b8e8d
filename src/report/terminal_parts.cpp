#include "report/terminal_parts.hpp"

#include <chipledger/report/number.hpp>
#include <chipledger/report/wording.hpp>

#include <algorithm>

namespace chipledger::report {

namespace {
constexpr int kLabelColumns = 20;
}

std::string titleText(const std::string& name, const std::string& remark, const TerminalOptions& options) {
  const std::string head = plain(name), tail = plain(remark);
  if (columnsOf(head) + 2 + columnsOf(tail) <= options.width) {
    return tinted(head, Tone::Strong, options) + "  " + tinted(tail, Tone::Faint, options) + "\n\n";
  }
  std::string out;
  for (const std::string& line : wrap(head, options.width)) out += tinted(line, Tone::Strong, options) + '\n';
  for (const std::string& line : wrap(tail, options.width)) out += tinted(line, Tone::Faint, options) + '\n';
  return out + '\n';
}

std::string headingText(const std::string& words, const TerminalOptions& options) {
  return '\n' + tinted(words, Tone::Strong, options) + '\n';
}

std::string labelled(const std::string& label, const std::string& text, const TerminalOptions& options, Tone tone) {
  constexpr int kIndent = 2;
  const auto lines = wrap(plain(text), options.width - kIndent - kLabelColumns);
  std::string out;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    std::string head = i == 0 ? label : std::string{};
    head.resize(head.size() + static_cast<std::size_t>(std::max(0, kLabelColumns - columnsOf(head))), ' ');
    out += std::string(kIndent, ' ') + tinted(head, Tone::Faint, options) + tinted(lines[i], tone, options) + '\n';
  }
  return out;
}

std::string notesText(const Notes& notes, NoteSeverity severity, const std::string& lead,
                      const TerminalOptions& options) {
  std::string out;
  for (const Note& note : notes) {
    if (note.severity != severity) continue;
    out += paragraph(lead + plain(noteSentence(note)), options, 2, 2);
  }
  return out;
}

std::string questionsText(const std::vector<detail::Question>& questions, const TerminalOptions& options) {
  if (questions.empty()) return paragraph("Nothing is open.", options);
  std::string out;
  for (const detail::Question& q : questions) {
    const std::string about = q.about.empty() ? "" : plain(q.about) + ": ";
    out += paragraph(
        about + plain(q.question) + " Assumed until then: " + plain(q.assumed) + ". Answer under " + plain(q.key) + ".",
        options, 2, 2);
  }
  return out;
}

std::string kindsText(const detail::Details& details) {
  std::vector<std::pair<std::string, int>> counts;
  for (const detail::Detail& d : details.list) {
    const std::string kind = detail::word(d.kind);
    const auto at = std::find_if(counts.begin(), counts.end(), [&](const auto& c) { return c.first == kind; });
    if (at == counts.end()) {
      counts.emplace_back(kind, 1);
    } else {
      ++at->second;
    }
  }
  std::string out;
  for (const auto& [kind, count] : counts) out += (out.empty() ? "" : ", ") + std::to_string(count) + " x " + kind;
  return out.empty() ? "no details found" : out;
}

std::string adviceText(const estimate::Estimate& e, const std::string& about, const TerminalOptions& options) {
  std::vector<Column> columns{{"change", "", Align::Left, 0, true}};
  const std::size_t reference = referenceBatch(e);
  for (std::size_t b = 0; b < e.batches.size(); ++b) {
    columns.push_back({batchHead(e.batches[b].size), e.currency, Align::Right, b == reference ? 0 : 2});
  }
  columns.push_back({"buyer", "", Align::Left, 1});
  Table table(columns);
  for (const estimate::Advice& advice : e.advice) {
    const bool named = std::any_of(advice.details.begin(), advice.details.end(),
                                   [&](int i) { return e.details.list[static_cast<std::size_t>(i)].name == about; });
    if (!about.empty() && advice.about != about && !named) continue;
    std::vector<std::string> cells{plain(advice.change)};
    for (std::size_t b = 0; b < e.batches.size(); ++b) {
      const estimate::Difference* saves = differenceAt(advice.saves, b);
      cells.push_back(saves == nullptr ? "-" : moneyText(saves->money));
    }
    cells.push_back(advice.seen ? "sees it" : "does not see it");
    table.add(cells);
    table.note(plain(advice.why));
    if (!advice.looks.empty()) table.note(plain(advice.looks));
  }
  return table.empty() ? ""
                       : '\n' + paragraph("What would make it cheaper: as drawn minus changed, a piece.", options) +
                             table.text(options);
}

std::string batchHead(int size) { return "at " + std::to_string(size); }

}  // namespace chipledger::report
