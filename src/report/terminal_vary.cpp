#include <chipledger/report/number.hpp>
#include <chipledger/report/sections.hpp>
#include <chipledger/report/vary.hpp>
#include <chipledger/report/wording.hpp>

#include "report/terminal_parts.hpp"

#include <algorithm>
#include <cmath>

namespace chipledger::report {

namespace {

using vary::Row;

constexpr std::size_t kMostLines = 12;  // of sparklines; the table has the rest
constexpr const char* kBars[] = {"▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"};

std::string valueText(const vary::TableAxis& axis, double value) {
  return trimmed(value) + (axis.unit == "mm" ? " mm" : "");
}

/// The rows along the first axis at one choice of all else: a line of the curve.
struct Curve {
  std::string label;
  std::vector<const Row*> rows;
};

std::vector<Curve> curvesOf(const vary::Table& table) {
  std::vector<Curve> curves;
  // Without another axis than the batch the curve runs through the batches.
  const std::size_t count = table.axes.empty() ? table.batches.size() : table.axes.front().values.size();
  const std::size_t stride = table.size() / std::max<std::size_t>(1, count);
  for (std::size_t offset = 0; offset < stride; ++offset) {
    Curve curve;
    for (std::size_t k = 0; k < count; ++k)
      if (k * stride + offset < table.rows.size()) curve.rows.push_back(&table.rows[k * stride + offset]);
    if (curve.rows.empty()) continue;
    for (std::size_t a = 1; a < table.axes.size(); ++a)
      curve.label += (curve.label.empty() ? "" : ", ") + plain(table.axes[a].key) + " " +
                     valueText(table.axes[a], curve.rows.front()->at[a]);
    if (!table.axes.empty())
      curve.label += (curve.label.empty() ? "" : ", ") + std::string("at ") + std::to_string(curve.rows.front()->batch);
    curves.push_back(std::move(curve));
  }
  return curves;
}

std::string placeText(const vary::Table& table, const Row& row) {
  std::string text;
  for (std::size_t a = 0; a < table.axes.size(); ++a)
    text += (text.empty() ? "" : ", ") + plain(table.axes[a].key) + " " + valueText(table.axes[a], row.at[a]);
  if (table.axes.empty() || table.batches.size() > 1)
    text += (text.empty() ? "" : ", ") + std::string("batch ") + std::to_string(row.batch);
  return text;
}

/// Under each bar that jumps a mark.
std::string marks(const std::vector<const Row*>& rows) {
  std::string text;
  for (const Row* row : rows) text += row->jumps.empty() ? ' ' : '^';
  while (!text.empty() && text.back() == ' ') text.pop_back();
  return text;
}

/// `count` bars of a sparkline from bar `from` on.
std::string barsOf(const std::string& bars, std::size_t from, std::size_t count) {
  std::string out;
  std::size_t bar = 0;
  for (const char c : bars) {
    constexpr unsigned kFollowing = 0xC0, kFollows = 0x80;
    if ((static_cast<unsigned char>(c) & kFollowing) != kFollows) ++bar;
    if (bar > from && bar <= from + count) out += c;
  }
  return out;
}

std::string curvesText(const vary::Table& table, const TerminalOptions& options) {
  std::string out;
  const std::vector<Curve> curves = curvesOf(table);
  for (std::size_t c = 0; c < std::min(curves.size(), kMostLines); ++c) {
    const Curve& curve = curves[c];
    const Row *least = nullptr, *most = nullptr;
    for (const Row* row : curve.rows) {
      if (!row->hole.empty()) continue;
      if (least == nullptr || row->perPiece < least->perPiece) least = row;
      if (most == nullptr || row->perPiece > most->perPiece) most = row;
    }
    const std::string range =
        least == nullptr ? "no price"
                         : moneyText(least->perPiece) + " to " + moneyText(most->perPiece) + " " + table.currency;
    if (!curve.label.empty())
      out += "  " + curve.label + ": " + range + '\n';
    else
      out += "  " + range + '\n';
    const std::string bars = sparkline(curve.rows);
    // A curve wider than the terminal goes on in the next line; bars take three bytes, a dot two.
    const std::size_t width = static_cast<std::size_t>(std::max(10, options.width - 4));
    for (std::size_t from = 0; from < curve.rows.size(); from += width) {
      const std::vector<const Row*> piece(
          curve.rows.begin() + static_cast<std::ptrdiff_t>(from),
          curve.rows.begin() + static_cast<std::ptrdiff_t>(std::min(from + width, curve.rows.size())));
      out += "    " + barsOf(bars, from, piece.size()) + '\n';
      if (const std::string under = marks(piece); !under.empty()) out += "    " + under + '\n';
    }
  }
  if (curves.size() > kMostLines)
    out += paragraph(std::to_string(curves.size() - kMostLines) + " more curves are in the table.", options);
  return out;
}

const Row* before(const vary::Table& table, std::size_t index) {
  const std::size_t count = table.axes.empty() ? table.batches.size() : table.axes.front().values.size();
  const std::size_t stride = table.size() / std::max<std::size_t>(1, count);
  for (std::size_t at = index; at >= stride;) {
    at -= stride;
    if (table.rows[at].hole.empty()) return &table.rows[at];
  }
  return nullptr;
}

std::string causesText(const Row& row, const vary::Table& table) {
  std::string text;
  for (const vary::Jump& jump : row.jumps) {
    if (!text.empty()) text += "; ";
    if (table.axes.size() > 1) text += plain(jump.along) + ": ";
    text += plain(jump.why);
  }
  return text;
}

std::string answers(const vary::Table& table, const TerminalOptions& options) {
  const Row *least = nullptr, *most = nullptr;
  std::size_t holes = 0, steepest = 0;
  double steep = 0;
  for (std::size_t r = 0; r < table.rows.size(); ++r) {
    const Row& row = table.rows[r];
    if (!row.hole.empty()) {
      ++holes;
      continue;
    }
    if (least == nullptr || row.perPiece < least->perPiece) least = &row;
    if (most == nullptr || row.perPiece > most->perPiece) most = &row;
    const Row* last = before(table, r);
    if (last == nullptr || row.jumps.empty()) continue;
    const double step = std::abs(toUnits(row.perPiece) - toUnits(last->perPiece));
    if (step > steep) steep = step, steepest = r;
  }
  std::string out;
  for (const vary::TableAxis& axis : table.axes) {
    const std::string unit = axis.unit.empty() ? "" : " " + axis.unit;
    out += labelled("varied", plain(axis.key) + ", now " + trimmed(axis.drawn) + unit, options);
  }
  if (least == nullptr)
    return out + labelled("no price", "No point of the curve can be made; see the reasons.", options);
  out += labelled("cheapest", moneyText(least->perPiece) + " at " + placeText(table, *least), options, Tone::Strong);
  out += labelled("dearest", moneyText(most->perPiece) + " at " + placeText(table, *most), options);
  if (steep > 0) {
    const Row &to = table.rows[steepest], &from = *before(table, steepest);
    out += labelled("largest jump",
                    moneySigned(to.perPiece - from.perPiece) + " from " + placeText(table, from) + " to " +
                        placeText(table, to) + ": " + causesText(to, table),
                    options);
  }
  if (holes > 0)
    out += labelled("not possible", std::to_string(holes) + " of " + std::to_string(table.rows.size()) + " points",
                    options);
  if (table.rows.size() < table.size())
    out += labelled("not finished",
                    std::to_string(table.rows.size()) + " of " + std::to_string(table.size()) + " points were priced.",
                    options, Tone::Alert);
  return out;
}

}  // namespace

std::string sparkline(const std::vector<const Row*>& rows) {
  Money least, most;
  bool any = false;
  for (const Row* row : rows) {
    if (!row->hole.empty()) continue;
    least = any ? std::min(least, row->perPiece) : row->perPiece;
    most = any ? std::max(most, row->perPiece) : row->perPiece;
    any = true;
  }
  std::string bars;
  const double span = toUnits(most - least);
  for (const Row* row : rows) {
    if (!row->hole.empty()) {
      bars += "·";
      continue;
    }
    const double share = span > 0 ? toUnits(row->perPiece - least) / span : 0.0;
    bars += kBars[std::min<std::size_t>(7, static_cast<std::size_t>(share * 8))];
  }
  return bars;
}

std::string renderVary(const vary::Table& table, const TerminalOptions& options) {
  std::string out = titleText("The price when something varies: " + plain(table.body), kEstimateNotQuote, options);
  out += answers(table, options) + '\n' + curvesText(table, options) + '\n';
  std::vector<Column> columns;
  for (const vary::TableAxis& axis : table.axes) columns.push_back({plain(axis.key), axis.unit, Align::Right});
  const bool batches = table.batches.size() > 1 || table.axes.empty();
  if (batches) columns.push_back({"batch", "", Align::Right});
  columns.push_back({"each", table.currency, Align::Right});
  columns.push_back({"step", table.currency, Align::Right, 2});
  columns.push_back({"plate", "mm", Align::Right, 3});
  columns.push_back({"left", "mm", Align::Right, 5});
  columns.push_back({"machine", "min", Align::Right, 1});
  columns.push_back({"hands and bench", "min", Align::Right, 4});
  columns.push_back({"what changes", "", Align::Left, 0, true});
  Table rows(columns);
  for (std::size_t r = 0; r < table.rows.size(); ++r) {
    const Row& row = table.rows[r];
    std::vector<std::string> cells;
    for (const double v : row.at) cells.push_back(trimmed(v));
    if (batches) cells.push_back(std::to_string(row.batch));
    if (!row.hole.empty()) {
      cells.insert(cells.end(), {"-", "", "", "", "", "", plain(row.hole)});
      rows.add(std::move(cells), Tone::Faint);
      continue;
    }
    const Row* last = before(table, r);
    cells.push_back(moneyText(row.perPiece));
    cells.push_back(last == nullptr ? "" : moneySigned(row.perPiece - last->perPiece));
    cells.push_back(mmText(row.plate));
    cells.push_back(fixed(toMm(row.leftBeforeNextStep), 2));
    cells.push_back(minutesText(row.machine));
    cells.push_back(minutesText(row.hands));
    cells.push_back(causesText(row, table));
    rows.add(std::move(cells), row.jumps.empty() ? Tone::Plain : Tone::Strong);
  }
  return out + rows.text(options);
}

}  // namespace chipledger::report
