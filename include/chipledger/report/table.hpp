#pragma once
// Text for a terminal of a given width: wrapped paragraphs and aligned tables with the unit under each head.
#include <string>
#include <vector>

namespace chipledger::report {

struct TerminalOptions {
  int width{100};      ///< columns; at least 40 is assumed
  bool colour{false};  ///< the caller honours NO_COLOR and asks whether it writes to a terminal
};

/// Columns a text takes: one per UTF-8 code point (the report prints no wide or combining characters of its own).
int columnsOf(const std::string& text);
/// Control characters (escape sequences, tabs, line ends) from a foreign file become '?': they could drive the
/// terminal.
std::string plain(const std::string& foreign);
/// Breaks at spaces, words longer than the line anywhere. Never returns an empty list.
std::vector<std::string> wrap(const std::string& text, int width);
/// Paragraph indented by `indent`, following lines by `hang` more.
std::string paragraph(const std::string& text, const TerminalOptions& options, int indent = 2, int hang = 0);

enum class Tone { Plain, Strong, Faint, Alert };
std::string tinted(const std::string& text, Tone tone, const TerminalOptions& options);

enum class Align { Left, Right };

struct Column {
  std::string head;
  std::string unit;
  Align align{Align::Right};
  int dropOrder{0};   ///< 0: never; the highest goes first when the line is too long
  bool wraps{false};  ///< takes the room that is left and wraps inside it
};

class Table {
public:
  explicit Table(std::vector<Column> columns) : columns_(std::move(columns)) {}
  void add(std::vector<std::string> cells, Tone tone = Tone::Plain);
  void note(std::string text);  ///< a wrapped line under the last row
  void rule();                  ///< a line before the next row
  bool empty() const { return rows_.empty(); }
  /// No line is wider than options.width when the undroppable columns fit.
  std::string text(const TerminalOptions& options, int indent = 2) const;

private:
  struct Row {
    std::vector<std::string> cells;
    Tone tone{Tone::Plain};
    bool ruleBefore{};
    std::vector<std::string> notes;
  };
  std::vector<int> widths(const std::vector<bool>& shown) const;

  std::vector<Column> columns_;
  std::vector<Row> rows_;
  bool ruleNext_{false};
};

}  // namespace chipledger::report
