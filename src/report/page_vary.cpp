#include <chipledger/report/cautions.hpp>
#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/pages.hpp>
#include <chipledger/report/sections.hpp>
#include <chipledger/report/wording.hpp>

#include "report/anchors.hpp"
#include "report/chart_parts.hpp"
#include "report/page.hpp"
#include "report/page_vary_parts.hpp"
#include "report/sheet_parts.hpp"

#include <algorithm>
#include <cmath>

namespace chipledger::report {

namespace {

using vary::Row;
using vary::Table;

constexpr std::size_t kMostCurves = 6;
// Dashes tell curves apart without colour.
const char* const kDashes[kMostCurves] = {"", "8 3", "2 3", "8 3 2 3", "14 4", "1 5"};

// Rows along the first axis at one choice of all else; without an axis, along the batches.
struct Curve {
  std::string label;
  std::vector<const Row*> rows;
};

std::vector<Curve> curvesOf(const Table& table) {
  std::vector<Curve> curves;
  const std::size_t count = table.axes.empty() ? table.batches.size() : table.axes.front().values.size();
  const std::size_t stride = table.size() / std::max<std::size_t>(1, count);
  for (std::size_t offset = 0; offset < stride; ++offset) {
    Curve curve;
    for (std::size_t k = 0; k < count; ++k)
      if (k * stride + offset < table.rows.size()) curve.rows.push_back(&table.rows[k * stride + offset]);
    if (curve.rows.empty()) continue;
    for (std::size_t a = 1; a < table.axes.size(); ++a)
      curve.label +=
          shortened(table.axes[a].key, kLongestKey) + " " + valueText(table.axes[a], curve.rows.front()->at[a]) + ", ";
    curve.label += "at " + std::to_string(curve.rows.front()->batch);
    curves.push_back(std::move(curve));
  }
  return curves;
}

double placeOf(const Table& table, const Row& row) {
  return table.axes.empty() || row.at.empty() ? row.batch : row.at.front();
}

// A round step that divides the range into about `parts`.
double roundStepOf(double range, double parts) {
  const double unit = std::pow(10.0, std::floor(std::log10(range / parts)));
  for (const double nice : {1.0, 2.0, 5.0})
    if (nice * unit * parts >= range) return nice * unit;
  return 10 * unit;
}

struct Jumped {
  std::size_t number;
  const Row* row;
};

std::string curveChart(const Table& table, const std::vector<Curve>& curves, std::vector<Jumped>& jumps) {
  constexpr double kHeight = 320, kLeft = 62, kRight = 20, kTop = 30, kBottom = 46;
  double lowest = INFINITY, highest = -INFINITY, from = INFINITY, to = -INFINITY;
  const std::size_t shown = std::min(curves.size(), kMostCurves);
  for (std::size_t c = 0; c < shown; ++c) {
    for (const Row* row : curves[c].rows) {
      from = std::min(from, placeOf(table, *row));
      to = std::max(to, placeOf(table, *row));
      if (!row->hole.empty()) continue;
      lowest = std::min(lowest, toUnits(row->perPiece));
      highest = std::max(highest, toUnits(row->perPiece));
    }
  }
  if (!(highest >= lowest) || !(to > from)) return "";
  const double room = std::max(0.08 * (highest - lowest), 0.002 * std::abs(highest) + 1e-9);
  lowest -= room;
  highest += room;
  const auto x = [&](double v) { return kLeft + (kChartWidth - kLeft - kRight) * (v - from) / (to - from); };
  const auto y = [&](double v) {
    return kHeight - kBottom - (kHeight - kTop - kBottom) * (v - lowest) / (highest - lowest);
  };
  std::string out, marks;
  const double stepY = roundStepOf(highest - lowest, 5), stepX = roundStepOf(to - from, 6);
  const int decimals = std::max(0, static_cast<int>(std::ceil(-std::log10(stepY) - 1e-9)));
  for (double v = std::ceil(lowest / stepY) * stepY; v <= highest; v += stepY) {
    out += "<path stroke=\"#ddd\"" +
           attribute("d", "M" + coordinate(kLeft) + " " + coordinate(y(v)) + "H" + coordinate(kChartWidth - kRight)) +
           "/>" +
           chartText(kLeft - 6, y(v) + 4, fixed(v, decimals), " class=\"scale\" text-anchor=\"end\" font-size=\"11\"");
  }
  for (double v = std::ceil(from / stepX - 1e-9) * stepX; v <= to + 1e-9; v += stepX)
    out += chartText(x(v), kHeight - kBottom + 16, trimmed(v, 4),
                     " class=\"scale\" text-anchor=\"middle\" font-size=\"11\"");
  for (std::size_t c = 0; c < shown; ++c) {
    std::string d;
    bool pen = false;
    for (const Row* row : curves[c].rows) {
      const double px = x(placeOf(table, *row));
      if (!row->hole.empty()) {
        pen = false;
        marks += chartText(px, kHeight - kBottom - 4, "\u00d7", " text-anchor=\"middle\" fill=\"#a00000\"");
        continue;
      }
      const double py = y(toUnits(row->perPiece));
      // A jump is a jump: the curve is not drawn through it.
      d += (pen && row->jumps.empty() ? "L" : "M") + coordinate(px) + " " + coordinate(py);
      pen = true;
      marks += chartLink(
          pointAnchor(static_cast<std::size_t>(row - table.rows.data())),
          chartPoint(px, py, 2.6,
                     trimmed(placeOf(table, *row), 4) + ": " + moneyText(row->perPiece) + " " + table.currency));
      if (row->jumps.empty()) continue;
      jumps.push_back({jumps.size() + 1, row});
      marks += "<path stroke=\"#a85a12\" stroke-dasharray=\"3 3\"" +
               attribute("d", "M" + coordinate(px) + " " + coordinate(kTop) + "V" + coordinate(kHeight - kBottom)) +
               "/>" +
               chartText(px, kTop - 6, std::to_string(jumps.size()),
                         " class=\"scale\" text-anchor=\"middle\" font-weight=\"bold\"");
    }
    out += chartStroke(d, std::string("stroke-width=\"1.8\"") +
                              (*kDashes[c] == '\0' ? "" : std::string(" stroke-dasharray=\"") + kDashes[c] + "\""));
  }
  const std::string along = table.axes.empty()
                                ? std::string("batch")
                                : shortened(table.axes.front().key, kLongestKey) +
                                      (table.axes.front().unit.empty() ? "" : ", " + table.axes.front().unit);
  if (!table.axes.empty() && table.axes.front().drawn >= from && table.axes.front().drawn <= to) {
    const double px = x(table.axes.front().drawn);
    out += "<path stroke=\"#0059a8\" stroke-width=\"1.4\"" +
           attribute("d", "M" + coordinate(px) + " " + coordinate(kHeight - kBottom) + "v8") + "/>" +
           chartText(px, kHeight - 14, "as drawn", " text-anchor=\"middle\" font-size=\"11\" fill=\"#0059a8\"");
  }
  // The name of the axis keeps out of the way of the mark under it.
  const bool drawnAtRight = !table.axes.empty() && x(table.axes.front().drawn) > kChartWidth / 2;
  return chartHead(kHeight, "Price of a piece against " + along) + out + marks +
         chartText(drawnAtRight ? kLeft : kChartWidth - kRight, kHeight - 14, along,
                   std::string(drawnAtRight ? "" : " text-anchor=\"end\"") + " font-size=\"11\" fill=\"#444\"") +
         chartText(2, 12, table.currency + " a piece", " font-size=\"11\" fill=\"#444\"") + "</svg>\n";
}

// The row of the part as drawn, in the first batch; null when the sweep does not meet it.
const Row* drawnRow(const Table& table) {
  for (const Row& row : table.rows) {
    if (!row.hole.empty()) continue;
    bool same = true;
    for (std::size_t a = 0; a < table.axes.size() && a < row.at.size(); ++a)
      same = same && std::abs(row.at[a] - table.axes[a].drawn) < 1e-9;
    if (same) return &row;
  }
  return nullptr;
}

std::string line(const std::string& words, const std::string& number) {
  return "<li><span>" + words + "</span><b>" + number + "</b></li>";
}

// Cheaper points than the part as drawn at the same batch, the nearest to the drawing first.
std::string changeAnswer(const Table& table, const Row& least, const estimate::Estimate* drawn) {
  const Row* now = drawnRow(table);
  if (now == nullptr) return "Least at " + escaped(placeText(table, least)) + ".";
  const Row* best = nullptr;
  for (const Row& row : table.rows)
    if (row.hole.empty() && row.batch == now->batch && (best == nullptr || row.perPiece < best->perPiece)) best = &row;
  if (best == nullptr || best->perPiece >= now->perPiece) return "As drawn it costs least of these points.";
  return "<ul>" + line("from " + escaped(placeText(table, *now)), rowPrice(table, *now, drawn)) +
         line("to <strong>" + escaped(placeText(table, *best)) + "</strong>", rowPrice(table, *best, drawn)) +
         line("saves", opened(moneyText(now->perPiece - best->perPiece),
                              moneyText(now->perPiece) + " \u2212 " + moneyText(best->perPiece) + ".")) +
         "</ul>";
}

// Rounded as far as the two ends stay apart.
std::string rangeText(Money least, Money most) {
  const std::string low = moneyRounded(least), high = moneyRounded(most);
  if (low != high) return low + " to " + high;
  return least == most ? low : moneyText(least) + " to " + moneyText(most);
}

std::string answers(const Table& table, const std::vector<Jumped>& jumps, const estimate::Estimate* drawn) {
  const Row *least = nullptr, *most = nullptr;
  std::size_t holes = 0;
  for (const Row& row : table.rows) {
    holes += row.hole.empty() ? 0 : 1;
    if (!row.hole.empty()) continue;
    if (least == nullptr || row.perPiece < least->perPiece) least = &row;
    if (most == nullptr || row.perPiece > most->perPiece) most = &row;
  }
  std::string out = "<dl class=\"answers\">\n<dt>What it costs</dt><dd>";
  out += least == nullptr
             ? std::string("No point could be priced.")
             : "<span class=\"cost\">" + rangeText(least->perPiece, most->perPiece) + " " + escaped(table.currency) +
                   " <small>a piece</small></span><ul>" +
                   line("least: " + escaped(placeText(table, *least)), rowPrice(table, *least, drawn)) +
                   line("most: " + escaped(placeText(table, *most)), rowPrice(table, *most, drawn)) + "</ul>";
  out += "</dd>\n<dt>What makes it jump</dt><dd>";
  out += jumps.empty() ? std::string("Nothing between these points.") : std::string("<ol class=\"jumps\">");
  for (const Jumped& jump : jumps)
    out += "<li>" + escaped(placeText(table, *jump.row)) + ": " + escaped(causesText(table, *jump.row)) + "</li>";
  out += std::string(jumps.empty() ? "" : "</ol>") + "</dd>\n";
  if (least != nullptr) out += "<dt>What to change</dt><dd>" + changeAnswer(table, *least, drawn) + "</dd>\n";
  if (drawn != nullptr && !drawn->batches.empty())
    out += "<dt>How sure it is</dt><dd>" + escaped(bandText(*drawn)) + " each. " + escaped(summarise(*drawn).doubt) +
           "</dd>\n";
  if (holes > 0)
    out += "<dt>Where there is no price</dt><dd>" + std::to_string(holes) +
           " points, marked \u00d7: the table says why.</dd>\n";
  if (table.rows.size() < table.size())
    out +=
        "<dt>Left off</dt><dd>" + std::to_string(table.size() - table.rows.size()) + " points were not reached.</dd>\n";
  return out + "</dl>\n";
}

// Which dashes are which curve.
std::string curveKey(const std::vector<Curve>& curves) {
  std::string key;
  for (std::size_t c = 0; curves.size() > 1 && c < std::min(curves.size(), kMostCurves); ++c)
    key +=
        "<li><svg viewBox=\"0 0 34 10\" aria-hidden=\"true\"><path stroke=\"#111\" stroke-width=\"1.8\" d=\"M0 5H34\"" +
        (*kDashes[c] == '\0' ? std::string{} : std::string(" stroke-dasharray=\"") + kDashes[c] + "\"") + "/></svg>" +
        escaped(curves[c].label) + "</li>";
  if (curves.size() > kMostCurves)
    key += "<li>" + std::to_string(curves.size() - kMostCurves) + " more curves are in the table</li>";
  return key.empty() ? "" : "<ul class=\"key\">" + key + "</ul>\n";
}

}  // namespace

std::string varyHtml(const Table& table, const estimate::Estimate* drawn, const SheetOptions& options) {
  const std::vector<Curve> curves = curvesOf(table);
  std::vector<Jumped> jumps;
  const std::string chart = curveChart(table, curves, jumps);
  Page page;
  page.title = table.file.substr(table.file.find_last_of("/\\") + 1) + ", varied";
  if (drawn != nullptr) {
    page.facts = {drawn->material, ageWords(*drawn, options)};
    page.foot = {"part " + drawn->fingerprint};
  }
  page.foot.push_back("run " + table.run);
  if (!options.shop.empty()) page.foot.push_back("shop " + options.shop);
  page.main = "<div class=\"first\">\n<div>\n" + answers(table, jumps, drawn) +
              "</div>\n<section>\n<h2>The price against it</h2>\n" + chart + curveKey(curves) + "</section>\n</div>\n";
  std::string notes;
  for (const Note& n : table.notes) notes += "<li>" + escaped(noteSentence(n)) + "</li>\n";
  page.main += section("Points", pointsTable(table, drawn));
  if (!notes.empty()) page.main += section(kDoubts, "<ul class=\"caution\">\n" + notes + "</ul>\n");
  std::string questions;
  for (const detail::Question& q : table.questions)
    questions += "<li>" + (q.about.empty() ? "" : escaped(q.about) + ": ") + escaped(q.question) +
                 " Assumed: " + escaped(q.assumed) + ".</li>\n";
  page.main +=
      section(kStillToAnswer,
              questions.empty() ? "<p>Nothing is open.</p>\n" : "<ul class=\"caution\">\n" + questions + "</ul>\n") +
      section(kCautions, drawn != nullptr ? cautionsSection(*drawn)
                                          : std::string("<ul class=\"caution\">\n<li>") + escaped(titaniumCaution()) +
                                                "</li>\n<li>" + escaped(lockCaution()) + "</li>\n<li>" +
                                                escaped(speedsCaution()) + "</li>\n</ul>\n");
  page.main += valuesSection({{"", drawn == nullptr ? Assumptions{} : allValues(*drawn)}});
  return pageHtml(page, options);
}

}  // namespace chipledger::report
