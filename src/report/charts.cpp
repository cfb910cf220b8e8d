#include <chipledger/report/charts.hpp>
#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/wording.hpp>

#include "report/anchors.hpp"
#include "report/chart_parts.hpp"

#include <algorithm>
#include <cmath>

namespace chipledger::report {

namespace {

using estimate::Estimate;

}  // namespace

std::string lineTextures() {
  // Strokes lie on the colour: white on the dark ones, black on the light ones; metal and overhead are bare.
  const auto pattern = [](ledger::Line line, const char* turned, const char* marks) {
    return std::string("<pattern id=\"cl-l") + std::to_string(static_cast<int>(line)) +
           "\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\"" + turned + ">" + marks + "</pattern>";
  };
  const char* const bar = "<path d=\"M0 0V6\" stroke=\"#fff\" stroke-width=\"1.6\"/>";
  using ledger::Line;
  return "<svg class=\"defs\" width=\"0\" height=\"0\" aria-hidden=\"true\"><defs>" +
         pattern(Line::Machine, " patternTransform=\"rotate(45)\"", bar) +
         pattern(Line::People, "", "<circle cx=\"3\" cy=\"3\" r=\"1\" fill=\"#111\"/>") +
         pattern(Line::Cutters, " patternTransform=\"rotate(-45)\"", bar) +
         pattern(Line::Setup, "", "<path d=\"M0 3H6\" stroke=\"#111\" stroke-width=\"1\"/>") +
         pattern(Line::Fixture, "", "<path d=\"M3 0V6\" stroke=\"#fff\" stroke-width=\"1.4\"/>") +
         pattern(Line::Scrap, " patternTransform=\"rotate(45)\"",
                 "<path d=\"M0 0V6M0 0H6\" stroke=\"#111\" stroke-width=\"1\"/>") +
         "</defs></svg>\n";
}

std::string lineBar(double x, double y, double width, double height, ledger::Line line, const std::string& title) {
  std::string out = chartBar(x, y, width, height, lineColour(line), title);
  if (line == ledger::Line::Metal || line == ledger::Line::Overhead) return out;
  return out + "<rect pointer-events=\"none\" fill-opacity=\"0.75\"" + attribute("x", x) + attribute("y", y) +
         attribute("width", std::max(0.0, width)) + attribute("height", height) +
         attribute("fill", "url(#cl-l" + std::to_string(static_cast<int>(line)) + ")") + "/>\n";
}

std::string lineSwatch(ledger::Line line) {
  return "<svg class=\"swatch\" viewBox=\"0 0 12 12\" aria-hidden=\"true\">" +
         lineBar(0, 0, 12, 12, line, ledger::word(line)) + "</svg>";
}

const char* lineColour(ledger::Line line) {
  using ledger::Line;
  switch (line) {
    case Line::Metal:
      return "#999999";
    case Line::Machine:
      return "#0072b2";
    case Line::People:
      return "#e69f00";
    case Line::Cutters:
      return "#d55e00";
    case Line::Setup:
      return "#56b4e9";
    case Line::Fixture:
      return "#009e73";
    case Line::Scrap:
      return "#cc79a7";
    case Line::Overhead:
      return "#f0e442";
  }
  return "#999999";
}

std::string lineKey(double y) {
  std::string out;
  double x = 4;
  for (const ledger::Line line : ledger::kLines) {
    const std::string word = ledger::word(line);
    const double room = 28 + static_cast<double>(word.size()) * kChartGlyph;
    if (x + room > kChartWidth) {
      x = 4;
      y += 20;
    }
    out += lineBar(x, y, 12, 12, line, word) + chartText(x + 17, y + 11, word);
    x += room;
  }
  return out;
}

std::string batchChart(const Estimate& e) {
  constexpr double kHeight = 250, kLeft = 20, kRight = 50, kTop = 24, kBottom = 36;
  double lowest = INFINITY, highest = 0, fewest = INFINITY, most = 0;
  for (const estimate::BatchPrice& b : e.batches) {
    if (b.low.micros <= 0 || b.size <= 0) return "";
    lowest = std::min(lowest, toUnits(b.low));
    highest = std::max(highest, toUnits(b.high));
    fewest = std::min(fewest, static_cast<double>(b.size));
    most = std::max(most, static_cast<double>(b.size));
  }
  if (e.batches.size() < 2 || most <= fewest || highest <= lowest) return "";
  const auto x = [&](double n) {
    return kLeft + 30 + (kChartWidth - kLeft - kRight - 30) * std::log(n / fewest) / std::log(most / fewest);
  };
  const auto y = [&](double v) {
    return kHeight - kBottom - (kHeight - kTop - kBottom) * std::log(v / lowest) / std::log(highest / lowest);
  };
  std::string band, back, likely, marks;
  for (std::size_t i = 0; i < e.batches.size(); ++i) {
    const estimate::BatchPrice& b = e.batches[i];
    const double px = x(b.size), py = y(toUnits(b.perPiece));
    const std::string step = i == 0 ? "M" : "L";
    band += step + coordinate(px) + " " + coordinate(y(toUnits(b.high)));
    back = "L" + coordinate(px) + " " + coordinate(y(toUnits(b.low))) + back;
    likely += step + coordinate(px) + " " + coordinate(py);
    marks += chartLink(priceAnchor(i, "each"),
                       chartPoint(px, py, 3.5,
                                  countedText(e, b.size) + ": " + moneyText(b.perPiece) + " " + e.currency + ", " +
                                      moneyText(b.low) + " to " + moneyText(b.high)) +
                           chartText(px + 6, py - 7, moneyRounded(b.perPiece), " font-weight=\"bold\"")) +
             chartText(px, kHeight - 14, std::to_string(b.size), " class=\"scale\" text-anchor=\"middle\"");
  }
  return chartHead(kHeight, "Price of a piece by batch") + "<path fill=\"#e4e0d8\"" +
         attribute("d", band + back + "Z") + "><title>low to high</title></path>\n" +
         chartStroke(likely, "stroke-width=\"2\"") + marks +
         chartText(kLeft, kHeight - 14, countedIn(e),
                   " text-anchor=\"start\" font-size=\"11\" fill=\"#444\" dx=\"-18\"") +
         chartText(2, 14, e.currency + " a piece; the grey band runs from low to high",
                   " font-size=\"11\" fill=\"#444\"") +
         "</svg>\n";
}

std::string detailChart(const Estimate& e) {
  struct Row {
    std::string name, mark, opens;
    const estimate::Difference* difference;
  };
  const std::size_t batch = referenceBatch(e);
  std::vector<Row> rows;
  for (std::size_t g = 0; g < e.groups.size(); ++g)
    rows.push_back({e.groups[g].name, "", groupAnchor(g), differenceAt(e.groups[g].withMinusWithout, batch)});
  for (const std::size_t i : dearestFirst(e)) {
    const estimate::DetailPrice& p = e.detailPrices[i];
    rows.push_back({e.details.list[static_cast<std::size_t>(p.detail)].name,
                    attribute("data-d", std::to_string(p.detail)), detailAnchor(p.detail), differenceAt(p, batch)});
  }
  rows.erase(std::remove_if(rows.begin(), rows.end(), [](const Row& row) { return row.difference == nullptr; }),
             rows.end());
  std::stable_sort(rows.begin(), rows.end(),
                   [](const Row& a, const Row& b) { return a.difference->money > b.difference->money; });
  std::size_t longest = 0;
  double most = 0, least = 0;
  for (const Row& row : rows) {
    longest = std::max(longest, row.name.size());
    double up = 0, down = 0;
    for (const Money& line : row.difference->lines) (line.micros >= 0 ? up : down) += toUnits(line);
    most = std::max(most, up);
    least = std::min(least, down);
  }
  if (rows.empty() || most - least <= 0) return "";
  const double left = nameRoom(longest), perUnit = (kChartWidth - left - 70) / (most - least),
               zero = left - least * perUnit;
  std::string out;
  double y = 4;
  for (const Row& row : rows) {
    out += "<g class=\"cl-bar\"" + row.mark + ">" + chartText(left - 8, y + 15, row.name, " text-anchor=\"end\"");
    double up = zero, down = zero;
    for (std::size_t l = 0; l < row.difference->lines.size(); ++l) {
      const Money money = row.difference->lines[l];
      const double width = toUnits(money) * perUnit;
      const std::string title =
          row.name + ", " + ledger::word(ledger::kLines[l]) + ": " + moneySigned(money) + " " + e.currency;
      const double from = width >= 0 ? up : down + width;
      (width >= 0 ? up : down) += width;
      if (width != 0) out += lineBar(from, y, std::abs(width), kChartRow - 8, ledger::kLines[l], title);
    }
    out += chartLink(row.opens, chartText(up + 6, y + 15, moneyText(row.difference->money), " font-weight=\"bold\"")) +
           "</g>\n";
    y += kChartRow;
  }
  out += chartStroke("M" + coordinate(zero) + " 0V" + coordinate(y - 4), "stroke-width=\"1\"");
  return chartHead(y + 46, "Price of each detail, with minus without, by line") + out + lineKey(y + 8) + "</svg>\n";
}

std::string thicknessChart(const Estimate& e) {
  const double step = toMm(e.blank.step), needed = toMm(e.blank.needed), skim = toMm(e.blank.skimPerSide),
               part = e.size_mm.z, thin = needed - part - 2 * skim;
  if (step <= 0 || part <= 0) return "";
  struct Piece {
    const char* name;
    double mm;
    const char* fill;
    const char* opens;
  };
  const Piece pieces[] = {{"skim, back", skim, "#cfcac0", "skim"},
                          {"finished part", part, "#8f8676", "part"},
                          {"skim, outer", skim, "#cfcac0", "skim"},
                          {"for thin plate", thin > kNoThickness ? thin : 0, "#e9e5dc", "thin"},
                          {"left before the next plate",
                           e.blank.listed ? std::max(0.0, toMm(e.blank.leftBeforeNextStep)) : 0, "#ffffff", "left"}};
  const double perMm = (kChartWidth - 40) / std::max(step, needed + pieces[4].mm);
  std::string out;
  double x = 10, words = 62;
  for (const Piece& piece : pieces) {
    if (piece.mm <= 0) continue;
    const double width = piece.mm * perMm;
    out += "<rect stroke=\"#111\" stroke-width=\"1\"" + attribute("x", x) + " y=\"8\"" + attribute("width", width) +
           " height=\"30\"" + attribute("fill", piece.fill) + "/>\n" +
           chartStroke("M" + coordinate(x + width / 2) + " 38V" + coordinate(words - 10), "stroke-width=\"0.7\"");
    const bool toTheLeft = x + width / 2 > kChartWidth * 0.6;
    out += chartLink(thicknessAnchor(piece.opens), chartText(x + width / 2 + (toTheLeft ? -4 : 4), words,
                                                             std::string(piece.name) + " " + trimmed(piece.mm) + " mm",
                                                             toTheLeft ? " text-anchor=\"end\"" : ""));
    words += 19;
    x += width;
  }
  return chartHead(words + 2, "How the plate thickness is used") + out +
         chartLink(thicknessAnchor("plate"),
                   chartText(10, words - 4, trimmed(step) + " mm plate", " font-weight=\"bold\"")) +
         "</svg>\n";
}

std::string doubtChart(const Estimate& e) {
  if (e.doubts.empty() || e.batches.empty()) return "";
  const double likely = toUnits(e.batches[referenceBatch(e)].perPiece);
  double lowest = likely, highest = likely;
  std::size_t longest = 0;
  for (const estimate::Doubt& d : e.doubts) {
    lowest = std::min(lowest, toUnits(d.low));
    highest = std::max(highest, toUnits(d.high));
    longest = std::max(longest, d.name.size());
  }
  if (highest <= lowest) return "";
  const double left = nameRoom(longest) + 60, perUnit = (kChartWidth - left - 70) / (highest - lowest);
  const auto x = [&](double v) { return left + (v - lowest) * perUnit; };
  std::string out;
  double y = 22;
  for (std::size_t i = 0; i < e.doubts.size(); ++i) {
    const estimate::Doubt& d = e.doubts[i];
    const double a = std::min(toUnits(d.low), toUnits(d.high)), b = std::max(toUnits(d.low), toUnits(d.high));
    out += chartText(left - 66, y + 14, d.name, " text-anchor=\"end\"") +
           chartBar(x(a), y, (b - a) * perUnit, kChartRow - 8, "#b9ae98", d.name + ", " + d.range) +
           chartLink(doubtAnchor(i, d.low <= d.high),
                     chartText(x(a) - 5, y + 14, fixed(a, 1), " text-anchor=\"end\" font-size=\"12\"")) +
           chartLink(doubtAnchor(i, d.low > d.high), chartText(x(b) + 5, y + 14, fixed(b, 1), " font-size=\"12\""));
    y += kChartRow;
  }
  out += chartStroke("M" + coordinate(x(likely)) + " 16V" + coordinate(y - 4), "stroke-width=\"1.6\"") +
         chartLink(priceAnchor(referenceBatch(e), "each"), chartText(x(likely), 12, fixed(likely, 2) + " likely",
                                                                     " text-anchor=\"middle\" font-weight=\"bold\""));
  return chartHead(y + 2, "How far the price moves with each doubt") + out + "</svg>\n";
}

}  // namespace chipledger::report
