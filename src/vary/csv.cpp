#include <fmt/format.h>
#include <chipledger/vary/csv.hpp>

#include <charconv>
#include <cmath>

namespace chipledger::vary {
namespace {

constexpr double kNsPerMinute = 6e10;

std::string shortest(double value) {
  char text[32];
  const auto end = std::to_chars(text, text + sizeof text, value).ptr;
  return {text, end};
}

std::string cell(std::string text) {
  if (!text.empty() && std::string("=+-@").find(text.front()) != std::string::npos) text.insert(text.begin(), '\'');
  if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
  std::string out(1, '"');
  for (const char c : text) {
    if (c == '"') out += '"';
    out += c;
  }
  return out + '"';
}

void put(std::string& line, const std::string& cell) {
  line += ',';
  line += cell;
}

std::string words(const std::vector<std::string>& list) {
  std::string text;
  for (const std::string& w : list) text += (text.empty() ? "" : " ") + w;
  return text;
}

/// Cells of the line at `at`; moves behind it. Empty when the line has no end.
std::vector<std::string> lineAt(std::string_view text, std::size_t& at) {
  std::vector<std::string> cells{""};
  bool quoted = false;
  for (std::size_t k = at; k < text.size(); ++k) {
    const char c = text[k];
    if (quoted) {
      if (c != '"') {
        cells.back() += c;
      } else if (k + 1 < text.size() && text[k + 1] == '"') {
        cells.back() += text[++k];
      } else {
        quoted = false;
      }
    } else if (c == '"') {
      quoted = true;
    } else if (c == ',') {
      cells.emplace_back();
    } else if (c == '\n') {
      at = k + 1;
      return cells;
    } else if (c != '\r') {
      cells.back() += c;
    }
  }
  at = text.size();
  return {};
}

class Cells {
public:
  explicit Cells(const std::vector<std::string>& cells) : cells_(cells) {}
  const std::string& text() { return cells_[next_++]; }
  double number() {
    const std::string& t = text();
    double value = 0.0;
    const auto [end, error] = std::from_chars(t.data(), t.data() + t.size(), value);
    good_ = good_ && error == std::errc{} && end == t.data() + t.size();
    return value;
  }
  Money money() { return chipledger::money(number()); }
  bool good() const { return good_; }

private:
  const std::vector<std::string>& cells_;
  std::size_t next_{0};
  bool good_{true};
};

std::string headOf(const TableAxis& axis) { return axis.unit == "mm" ? axis.key + "_mm" : axis.key; }

}  // namespace

std::string csvHead(const Table& table) {
  std::string out = "run";
  for (const TableAxis& axis : table.axes) put(out, cell(headOf(axis)));
  out += ",batch,currency,per_piece,low,high";
  for (const ledger::Line line : ledger::kLines) put(out, ledger::word(line));
  return out + ",machine_min,hands_min,plate_mm,left_before_next_step_mm,removed_mm3,setups,cutters,jumps,hole\n";
}

std::string csvRow(const Table& table, std::size_t index) {
  const Row& row = table.rows[index];
  std::string out = table.run;
  for (const double value : row.at) put(out, shortest(value));
  put(out, std::to_string(row.batch));
  put(out, cell(table.currency));
  if (!row.hole.empty()) {
    // per piece, low, high, the lines, nine more up to the reason
    out.append(3 + estimate::kLineCount + 9, ',');
    return out + cell(row.hole) + '\n';
  }
  for (const Money m : {row.perPiece, row.low, row.high}) put(out, shortest(toUnits(m)));
  for (const Money m : row.lines) put(out, shortest(toUnits(m)));
  for (const TimeCount t : {row.machine, row.hands}) put(out, shortest(static_cast<double>(t.ns) / kNsPerMinute));
  put(out, shortest(toMm(row.plate)));
  put(out, shortest(toMm(row.leftBeforeNextStep)));
  put(out, shortest(static_cast<double>(row.removed.um3) / 1e9));
  put(out, std::to_string(row.setups));
  put(out, cell(words(row.cutters)));
  std::string jumps;
  for (const Jump& jump : row.jumps) jumps += (jumps.empty() ? "" : " | ") + jump.along + ": " + jump.why;
  put(out, cell(jumps));
  return out + ",\n";
}

Result<std::vector<Row>> readCsv(const Table& table, std::string_view text, const std::string& file) {
  std::vector<Row> rows;
  std::size_t at = 0;
  if (text.empty()) return rows;
  const std::string head = csvHead(table);
  const std::string_view first =
      text.substr(0, text.find('\n') == std::string_view::npos ? text.size() : text.find('\n') + 1);
  if (first != head) {
    if (head.starts_with(first)) return rows;
    const bool ours = first.starts_with("run,");
    return fault(ours ? FaultCode::Usage : FaultCode::BadFile, file,
                 ours ? "The file holds a table with other columns." : "The file is no table of a sweep.",
                 "Name another file with --csv, or leave --resume out to start anew.");
  }
  at = head.size();
  const std::size_t columns = 1 + table.axes.size() + 5 + estimate::kLineCount + 9;
  for (int line = 2; at < text.size(); ++line) {
    const std::vector<std::string> found = lineAt(text, at);
    if (found.empty()) break;
    const std::string where = fmt::format("{}:{}", file, line);
    if (found.size() != columns || rows.size() >= table.size())
      return fault(FaultCode::BadFile, where, "The line does not belong to this table.",
                   "Leave --resume out to start anew.");
    if (found.front() != table.run)
      return fault(FaultCode::Usage, where, "The file holds prices of another part, shop, material or range.",
                   "Run with what it was started with, or leave --resume out to start anew.");
    Cells cells(found);
    cells.text();
    Row row;
    for (std::size_t a = 0; a < table.axes.size(); ++a) row.at.push_back(cells.number());
    row.batch = static_cast<int>(cells.number());
    cells.text();
    row.hole = found.back();
    if (row.hole.empty()) {
      row.perPiece = cells.money();
      row.low = cells.money();
      row.high = cells.money();
      for (Money& m : row.lines) m = cells.money();
      row.machine = {std::llround(cells.number() * kNsPerMinute)};
      row.hands = {std::llround(cells.number() * kNsPerMinute)};
      row.plate = mm(cells.number());
      row.leftBeforeNextStep = mm(cells.number());
      row.removed = {std::llround(cells.number() * 1e9)};
      row.setups = static_cast<int>(cells.number());
      std::string id;
      for (const char c : cells.text() + " ") {
        if (c != ' ') {
          id += c;
        } else if (!id.empty()) {
          row.cutters.push_back(id);
          id.clear();
        }
      }
    }
    if (!cells.good())
      return fault(FaultCode::BadFile, where, "A number in this line cannot be read.",
                   "Leave --resume out to start anew.");
    rows.push_back(std::move(row));
  }
  return rows;
}

}  // namespace chipledger::vary
