#include <chipledger/report/markup.hpp>
#include <chipledger/report/table.hpp>

#include <algorithm>
#include <numeric>
#include <utility>

namespace chipledger::report {

namespace {

constexpr int kGap = 2;             // blanks between columns
constexpr int kNarrowestWrap = 24;  // a wrapping column narrower than this reads badly: drop others first

std::string blanks(int count) { return std::string(static_cast<std::size_t>(std::max(0, count)), ' '); }

// Byte length of the first `columns` code points.
std::size_t bytesOf(const std::string& text, int columns) {
  std::size_t i = 0;
  while (i < text.size() && columns > 0) {
    ++i;
    while (i < text.size() && (static_cast<unsigned char>(text[i]) & 0xC0U) == 0x80U) ++i;
    --columns;
  }
  return i;
}

std::string padded(const std::string& text, int width, Align align) {
  const std::string fill = blanks(width - columnsOf(text));
  return align == Align::Right ? fill + text : text + fill;
}

void trimRight(std::string& line) { line.erase(line.find_last_not_of(' ') + 1); }

}  // namespace

int columnsOf(const std::string& text) {
  return static_cast<int>(
      std::count_if(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

std::string plain(const std::string& foreign) {
  std::string out;
  for (std::size_t i = 0; i < foreign.size(); ++i) {
    const auto c = static_cast<unsigned char>(foreign[i]);
    // C1 controls arrive as C2 80 .. C2 9F in UTF-8.
    const bool c1 = c == 0xC2 && i + 1 < foreign.size() && static_cast<unsigned char>(foreign[i + 1]) < 0xA0;
    // So do marks, embeddings, overrides and isolates of writing direction, which would turn a whole line round.
    const bool turns = turnsWriting(foreign, i);
    if (c1) ++i;
    if (turns) i += 2;
    out += (c < 0x20 || c == 0x7F || c1 || turns) ? '?' : foreign[i];
  }
  return out;
}

std::vector<std::string> wrap(const std::string& text, int width) {
  width = std::max(1, width);
  std::vector<std::string> lines;
  std::string line;
  std::size_t at = 0;
  while (at < text.size()) {
    if (text[at] == ' ') {
      ++at;
      continue;
    }
    const std::size_t end = std::min(text.find(' ', at), text.size());
    std::string word = text.substr(at, end - at);
    at = end;
    if (!line.empty() && columnsOf(line) + 1 + columnsOf(word) <= width) {
      line += ' ' + word;
      continue;
    }
    if (!line.empty()) lines.push_back(std::exchange(line, {}));
    while (columnsOf(word) > width) {
      const std::size_t cut = bytesOf(word, width);
      lines.push_back(word.substr(0, cut));
      word.erase(0, cut);
    }
    line = word;
  }
  if (!line.empty() || lines.empty()) lines.push_back(line);
  return lines;
}

std::string paragraph(const std::string& text, const TerminalOptions& options, int indent, int hang) {
  std::string out;
  int first = indent;
  // The first line is shorter by nothing, the others by the hang: wrap for the narrower one.
  for (const std::string& line : wrap(text, options.width - indent - hang)) {
    out += blanks(first) + line + '\n';
    first = indent + hang;
  }
  return out;
}

std::string tinted(const std::string& text, Tone tone, const TerminalOptions& options) {
  if (!options.colour || text.empty()) return text;
  switch (tone) {
    case Tone::Plain:
      return text;
    case Tone::Strong:
      return "\x1b[1m" + text + "\x1b[0m";
    case Tone::Faint:
      return "\x1b[2m" + text + "\x1b[0m";
    case Tone::Alert:
      return "\x1b[1;33m" + text + "\x1b[0m";
  }
  return text;
}

void Table::add(std::vector<std::string> cells, Tone tone) {
  cells.resize(columns_.size());
  rows_.push_back({std::move(cells), tone, std::exchange(ruleNext_, false), {}});
}

void Table::note(std::string text) {
  if (!rows_.empty() && !text.empty()) rows_.back().notes.push_back(std::move(text));
}

void Table::rule() { ruleNext_ = true; }

std::vector<int> Table::widths(const std::vector<bool>& shown) const {
  std::vector<int> widths(columns_.size(), 0);
  for (std::size_t c = 0; c < columns_.size(); ++c) {
    if (!shown[c]) continue;
    widths[c] = std::max(columnsOf(columns_[c].head), columnsOf(columns_[c].unit));
    for (const Row& row : rows_) widths[c] = std::max(widths[c], columnsOf(row.cells[c]));
  }
  return widths;
}

std::string Table::text(const TerminalOptions& options, int indent) const {
  std::vector<bool> shown(columns_.size(), true);
  std::vector<int> width;
  while (true) {
    width = widths(shown);
    const auto count = static_cast<int>(std::count(shown.begin(), shown.end(), true));
    const int all = indent + std::accumulate(width.begin(), width.end(), 0) + kGap * (count - 1);
    if (all <= options.width) break;
    int wrapping = -1, drop = -1;
    for (std::size_t c = 0; c < columns_.size(); ++c) {
      if (!shown[c]) continue;
      if (columns_[c].wraps) wrapping = static_cast<int>(c);
      if (columns_[c].dropOrder > 0 &&
          (drop < 0 || columns_[c].dropOrder > columns_[static_cast<std::size_t>(drop)].dropOrder)) {
        drop = static_cast<int>(c);
      }
    }
    if (wrapping >= 0) {
      const int room = width[static_cast<std::size_t>(wrapping)] - (all - options.width);
      if (room >= kNarrowestWrap || drop < 0) {
        width[static_cast<std::size_t>(wrapping)] = std::max(room, kNarrowestWrap);
        break;
      }
    }
    if (drop < 0) break;
    shown[static_cast<std::size_t>(drop)] = false;
  }

  const auto line = [&](const std::vector<std::string>& cells) {
    std::string out = blanks(indent);
    bool first = true;
    for (std::size_t c = 0; c < columns_.size(); ++c) {
      if (!shown[c]) continue;
      if (!first) out += blanks(kGap);
      first = false;
      out += padded(cells[c], width[c], columns_[c].align);
    }
    trimRight(out);
    return out;
  };

  std::string out;
  std::vector<std::string> heads, units, rules;
  bool anyUnit = false;
  for (std::size_t c = 0; c < columns_.size(); ++c) {
    heads.push_back(columns_[c].head);
    units.push_back(columns_[c].unit);
    anyUnit = anyUnit || (shown[c] && !columns_[c].unit.empty());
    rules.push_back(std::string(static_cast<std::size_t>(std::max(0, width[c])), '-'));
  }
  out += tinted(line(heads), Tone::Strong, options) + '\n';
  if (anyUnit) out += tinted(line(units), Tone::Faint, options) + '\n';
  out += tinted(line(rules), Tone::Faint, options) + '\n';
  for (const Row& row : rows_) {
    if (row.ruleBefore) out += tinted(line(rules), Tone::Faint, options) + '\n';
    std::vector<std::vector<std::string>> cells;
    std::size_t lines = 1;
    for (std::size_t c = 0; c < columns_.size(); ++c) {
      cells.push_back(columns_[c].wraps && shown[c] ? wrap(row.cells[c], width[c])
                                                    : std::vector<std::string>{row.cells[c]});
      lines = std::max(lines, cells.back().size());
    }
    for (std::size_t l = 0; l < lines; ++l) {
      std::vector<std::string> part;
      for (const auto& cell : cells) part.push_back(l < cell.size() ? cell[l] : std::string{});
      out += tinted(line(part), row.tone, options) + '\n';
    }
    for (const std::string& note : row.notes) out += paragraph(note, options, indent + kGap);
  }
  return out;
}

}  // namespace chipledger::report
