#include <chipledger/report/charts.hpp>
#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/pages.hpp>
#include <chipledger/report/plan_svg.hpp>
#include <chipledger/report/sections.hpp>
#include <chipledger/report/wording.hpp>

#include "report/chart_parts.hpp"
#include "report/page.hpp"
#include "report/sheet_parts.hpp"

#include <algorithm>

namespace chipledger::report {

namespace {

using estimate::Estimate;

// Variants are told apart by a letter, after Z by number.
std::string mark(std::size_t i) {
  constexpr std::size_t kLetters = 26;
  return i < kLetters ? std::string(1, static_cast<char>('A' + i)) : std::to_string(i + 1);
}

std::string sideBySide(const std::vector<Estimate>& variants, const compare::Comparison& comparison) {
  const Estimate& first = variants.front();
  std::vector<HtmlTable::Head> heads{{"variant", ""}, {"plate", "mm"}, {"cut away", ""}, {"machine", "min"}};
  for (const estimate::BatchPrice& b : first.batches) heads.push_back({"at " + std::to_string(b.size), first.currency});
  HtmlTable table("Price of a piece, cheapest at each batch in bold", heads);
  for (std::size_t v = 0; v < variants.size(); ++v) {
    const Estimate& e = variants[v];
    ledger::Minutes machine;
    for (const estimate::SetupResult& s : e.setups) machine += s.machine;
    std::vector<std::string> cells{mark(v) + " " + escaped(partTitle(e)), mmText(e.blank.step),
                                   e.blankVolume.um3 > 0 ? percentText(mm3Of(e.removed) / mm3Of(e.blankVolume)) : "",
                                   minutesText(machine.likely)};
    for (std::size_t b = 0; b < e.batches.size(); ++b) {
      const bool best = b < comparison.cheapest.size() && comparison.cheapest[b] == v;
      const std::string shown = opened(moneyText(e.batches[b].perPiece), "The lines of its price, added up exactly.",
                                       {}, stackList(e.batches[b].lines, e.currency));
      cells.push_back(best ? "<strong>" + shown + "</strong>" : shown);
    }
    table.row(cells);
  }
  return table.markup();
}

std::string changes(const std::vector<Estimate>& variants, const compare::Against& a) {
  std::string out = "<h3>" + mark(a.variant) + " against A: " + escaped(partTitle(variants[a.variant])) + "</h3>\n";
  if (a.sameGeometry) out += "<p class=\"note\">The two files hold the same part.</p>\n";
  const Estimate& e = variants[a.variant];
  if (!a.details.empty()) {
    HtmlTable table("Details", {{"", ""},
                                {"in A", "", " class=\"l\""},
                                {"in " + mark(a.variant), "", " class=\"l\""},
                                {"what", "", " class=\"l\""}});
    table.column(1, " class=\"l\"");
    table.column(2, " class=\"l\"");
    table.column(3, " class=\"wrap\"");
    for (const compare::DetailChange& c : a.details)
      table.row({compare::word(c.fate), escaped(c.before), escaped(c.after), escaped(c.what)});
    out += table.markup();
  }
  HtmlTable lines("Line by line at " + std::to_string(e.batches[referenceBatch(e)].size) + " pieces",
                  {{"line", ""}, {"difference", e.currency}, {"cause", "", " class=\"l\""}});
  lines.column(2, " class=\"wrap\"");
  for (const compare::LineDifference& l : a.lines)
    if (l.money.micros != 0) lines.row({ledger::word(l.line), moneySigned(l.money), escaped(l.cause)});
  std::string each;
  for (const estimate::Difference& d : a.differences)
    each += (each.empty() ? "" : ", ") + moneySigned(d.money) + " at " + std::to_string(d.size);
  return out + "<p class=\"note\">A piece: <strong>" + escaped(each) + "</strong> " + escaped(e.currency) + ".</p>\n" +
         lines.markup();
}

}  // namespace

std::string columnsChart(const std::vector<Estimate>& variants) {
  if (variants.empty() || variants.front().batches.empty()) return "";
  const std::size_t batch = referenceBatch(variants.front());
  double most = 0;
  std::size_t longest = 0;
  for (const Estimate& e : variants) {
    if (batch >= e.batches.size()) return "";
    most = std::max(most, toUnits(e.batches[batch].high));
    longest = std::max(longest, shortened(partTitle(e), 24).size() + 2);
  }
  if (most <= 0) return "";
  const double left = nameRoom(longest), perUnit = (kChartWidth - left - 60) / most;
  std::string out;
  double y = 4;
  for (std::size_t v = 0; v < variants.size(); ++v) {
    const estimate::BatchPrice& b = variants[v].batches[batch];
    out += chartText(left - 8, y + 15, mark(v) + " " + shortened(partTitle(variants[v]), 24), " text-anchor=\"end\"");
    double x = left;
    for (std::size_t l = 0; l < b.lines.size(); ++l) {
      const double width = toUnits(b.lines[l]) * perUnit;
      if (width <= 0) continue;
      out += chartBar(x, y, width, kChartRow - 8, lineColour(ledger::kLines[l]),
                      std::string(ledger::word(ledger::kLines[l])) + " " + moneyText(b.lines[l]));
      x += width;
    }
    out += chartStroke("M" + shortest(left + toUnits(b.low) * perUnit) + " " + shortest(y + 9) + "H" +
                           shortest(left + toUnits(b.high) * perUnit),
                       "stroke-width=\"1.4\"") +
           chartText(left + toUnits(b.high) * perUnit + 6, y + 15, moneyRounded(b.perPiece), " font-weight=\"bold\"");
    y += kChartRow;
  }
  return chartHead(y + 26, "Price of a piece of each variant, by line") + out + lineKey(y + 6) + "</svg>\n";
}

std::string compareHtml(const std::vector<Estimate>& variants, const compare::Comparison& comparison,
                        const std::vector<const part::Body*>& bodies, const SheetOptions& options) {
  Page page;
  page.title = "Variants side by side";
  if (variants.empty()) {
    page.main = "<p>Nothing to compare.</p>\n";
    return pageHtml(page, options);
  }
  const std::size_t batch = referenceBatch(variants.front());
  page.facts = {variants.front().material};
  for (std::size_t v = 0; v < variants.size(); ++v) page.foot.push_back(mark(v) + " part " + variants[v].fingerprint);
  std::string answer = "<dl class=\"answers\">\n<dt>Which is cheapest</dt><dd><ul>";
  for (std::size_t b = 0; b < comparison.cheapest.size() && b < variants.front().batches.size(); ++b) {
    const std::size_t v = comparison.cheapest[b];
    answer += "<li><span>at " + std::to_string(variants.front().batches[b].size) +
              " pieces: " + (b == batch ? "<strong>" : "") + mark(v) + " " + escaped(partTitle(variants[v])) +
              (b == batch ? "</strong>" : "") + "</span><b>" + moneyText(variants[v].batches[b].perPiece) + " " +
              escaped(variants[v].currency) + "</b></li>";
  }
  answer += "</ul></dd>\n<dt>What makes the difference</dt><dd><ul>";
  for (const compare::Against& a : comparison.against) {
    const estimate::Difference* d = differenceAt(a.differences, batch);
    if (d == nullptr) continue;
    std::string cause;
    for (const compare::LineDifference& l : a.lines)
      if (cause.empty() && !l.cause.empty()) cause = l.cause;
    answer += "<li><span>" + mark(a.variant) + " against A" + (cause.empty() ? "" : ": " + escaped(cause)) +
              "</span><b>" + moneySigned(d->money) + "</b></li>";
  }
  answer += "</ul></dd>\n";
  if (!comparison.crossings.empty()) {
    answer += "<dt>Where they cross</dt><dd>";
    for (const compare::Crossing& c : comparison.crossings)
      answer += "From " + std::to_string(c.batch) + " pieces on " + mark(c.cheaper) + " costs less than " +
                mark(c.dearer) + ". ";
    answer += "</dd>\n";
  }
  answer += "<dt>How sure it is</dt><dd>" + escaped(summarise(variants.front()).doubt) + "</dd>\n</dl>\n";
  page.main = "<div class=\"first\">\n<div>\n" + answer + "</div>\n<section>\n<h2>Side by side</h2>\n" +
              columnsChart(variants) + sideBySide(variants, comparison) + "</section>\n</div>\n";
  std::string drawn;
  for (std::size_t v = 0; v < variants.size() && v < bodies.size(); ++v)
    drawn += "<figure><figcaption>" + mark(v) + " " + escaped(partTitle(variants[v])) + "</figcaption>" +
             planSvg(variants[v], *bodies[v], {std::nullopt, false, false}) + "</figure>\n";
  page.main += section(kWhatYouDrew, "<div class=\"maps\">" + drawn + "</div>\n");
  std::string differences;
  for (const compare::Against& a : comparison.against)
    if (a.variant < variants.size()) differences += changes(variants, a);
  page.main += section("Changed", differences) + section(kStillToAnswer, questionsSection(variants.front())) +
               section(kCautions, cautionsSection(variants.front())) + "<section id=\"values\">\n<h2>Values</h2>\n" +
               assumptionsTable(variants.front()) + "</section>\n";
  return pageHtml(page, options);
}

}  // namespace chipledger::report
