#include <chipledger/report/cautions.hpp>
#include <chipledger/report/charts.hpp>
#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/pages.hpp>
#include <chipledger/report/plan_svg.hpp>
#include <chipledger/report/sections.hpp>
#include <chipledger/report/wording.hpp>

#include "report/anchors.hpp"
#include "report/chart_parts.hpp"
#include "report/formula.hpp"
#include "report/page.hpp"
#include "report/sheet_parts.hpp"

#include <algorithm>

namespace chipledger::report {

namespace {

using estimate::Estimate;

constexpr std::size_t kLongestName = 60;

// Variants are told apart by a letter, after Z by number.
std::string mark(std::size_t i) {
  constexpr std::size_t kLetters = 26;
  return i < kLetters ? std::string(1, static_cast<char>('A' + i)) : std::to_string(i + 1);
}

std::string priceOpened(const Estimate& e, std::size_t b, const std::string& name = "") {
  return openedMarkup(moneyText(e.batches[b].perPiece),
                      "<p>The lines of its price, added up exactly.</p>" + lineByLine(factsOf(e, b)), name);
}

// The difference of two prices: both prices, and the difference line by line.
std::string differenceOpened(const std::vector<Estimate>& variants, std::size_t v, std::size_t b,
                             const estimate::Difference& d) {
  const Estimate& e = variants[v];
  Assumptions used;
  for (std::size_t l = 0; l < d.lines.size(); ++l)
    if (d.lines[l].micros != 0) addOnce(used, lineFormula(factsOf(e, b), ledger::kLines[l]).values);
  return opened(moneySigned(d.money),
                "At " + countedText(e, d.size) + ", " + mark(v) + " minus A: " + moneyText(e.batches[b].perPiece) +
                    " \u2212 " + moneyText(variants.front().batches[b].perPiece) + " = " + moneySigned(d.money) + ".",
                used, stackList(d.lines, e.currency));
}

std::string machineOpened(const Estimate& e) {
  ledger::Minutes machine;
  std::string items;
  for (const estimate::SetupResult& s : e.setups) {
    machine += s.machine;
    items += "<li>" + escaped(s.setup.name) + " " + minutesText(s.machine.likely, 2) + "</li>";
  }
  return opened(minutesText(machine.likely),
                "Likely minutes of its setups, tool changes in them; between " + minutesText(machine.lower) + " and " +
                    minutesText(machine.upper) + ".",
                startingWith(e.assumptions, {"machine."}), "<ul>" + items + "</ul>");
}

std::string sideBySide(const std::vector<Estimate>& variants, const compare::Comparison& comparison) {
  const Estimate& first = variants.front();
  std::vector<HtmlTable::Head> heads{{"variant", ""}, {"plate", "mm"}, {"cut away", ""}, {"machine", "min"}};
  for (const estimate::BatchPrice& b : first.batches) heads.push_back({"at " + std::to_string(b.size), first.currency});
  HtmlTable table("Price of a piece, cheapest at each batch in bold", heads);
  table.column(0, " class=\"wrap\"");
  for (std::size_t v = 0; v < variants.size(); ++v) {
    const Estimate& e = variants[v];
    std::vector<std::string> cells{mark(v) + " " + escaped(partTitle(e)), plateOpened(e), cutAwayOpened(e, e.removed),
                                   machineOpened(e)};
    for (std::size_t b = 0; b < e.batches.size(); ++b) {
      const bool best = b < comparison.cheapest.size() && comparison.cheapest[b] == v;
      const std::string price = priceOpened(e, b, variantAnchor(v, b));
      cells.push_back(best ? "<strong>" + price + "</strong>" : price);
    }
    table.row(cells);
  }
  return table.markup();
}

// One line of the price in both variants, with the formula of each.
std::string lineOpened(const std::vector<Estimate>& variants, std::size_t v, std::size_t batch,
                       const compare::LineDifference& l) {
  const Formula before = lineFormula(factsOf(variants.front(), batch), l.line),
                after = lineFormula(factsOf(variants[v], batch), l.line);
  Assumptions used = before.values;
  addOnce(used, after.values);
  return opened(
      moneySigned(l.money), std::string(ledger::word(l.line)) + ", " + mark(v) + " minus A.", used,
      "<ul><li>" + mark(v) + ": " + escaped(after.words) + "</li><li>A: " + escaped(before.words) + "</li></ul>");
}

// With minus without of a named detail in one variant.
std::string costOf(const Estimate& e, const std::string& name, std::size_t batch, const std::optional<Money>& money) {
  if (!money) return "\u2013";
  for (const estimate::DetailPrice& p : e.detailPrices)
    if (e.details.list[static_cast<std::size_t>(p.detail)].name == name)
      if (const estimate::Difference* d = differenceAt(p, batch)) return differenceCell(e, d, p.why);
  return opened(moneyText(*money), "With minus without, planned anew.");
}

std::string detailChanges(const std::vector<Estimate>& variants, const compare::Against& a, std::size_t batch) {
  const Estimate &first = variants.front(), &e = variants[a.variant];
  const bool priced =
      std::any_of(a.details.begin(), a.details.end(), [](const auto& c) { return c.beforePrice || c.afterPrice; });
  std::vector<HtmlTable::Head> heads{{"fate", ""}, {"in A", "", " class=\"l\""}};
  if (priced) heads.push_back({"costs", e.currency});
  heads.push_back({"in " + mark(a.variant), "", " class=\"l\""});
  if (priced) heads.push_back({"costs", e.currency});
  heads.push_back({"what", "", " class=\"l\""});
  HtmlTable table(priced ? "Details, with what each costs at " + countedText(e, e.batches[batch].size) : "Details",
                  heads);
  table.column(1, " class=\"l\"");
  table.column(priced ? 3 : 2, " class=\"l\"");
  table.column(heads.size() - 1, " class=\"wrap\"");
  for (const compare::DetailChange& c : a.details) {
    std::vector<std::string> cells{compare::word(c.fate), escaped(c.before)};
    if (priced) cells.push_back(costOf(first, c.before, batch, c.beforePrice));
    cells.push_back(escaped(c.after));
    if (priced) cells.push_back(costOf(e, c.after, batch, c.afterPrice));
    cells.push_back(escaped(c.what));
    table.row(cells);
  }
  return table.markup();
}

// Of a group, or of the detail that stands for one.
std::string togetherCell(const Estimate& e, const std::string& name, std::size_t batch) {
  if (name.empty()) return "\u2013";
  for (const estimate::GroupPrice& g : e.groups)
    if (g.name == name) return differenceCell(e, differenceAt(g.withMinusWithout, batch), g.why);
  for (const estimate::DetailPrice& p : e.detailPrices)
    if (e.details.list[static_cast<std::size_t>(p.detail)].name == name)
      return differenceCell(e, differenceAt(p, batch), p.why);
  return "\u2013";
}

// What goes together, in every variant.
std::string together(const std::vector<Estimate>& variants, const compare::Comparison& comparison, std::size_t batch) {
  struct Row {
    std::string name;
    std::vector<std::string> in;  ///< what it is called in each variant; empty where it is not
  };
  std::vector<Row> rows;
  for (const compare::Against& a : comparison.against)
    for (const compare::GroupChange& g : a.groups) {
      const std::string& name = g.before.empty() ? g.after : g.before;
      auto row = std::find_if(rows.begin(), rows.end(),
                              [&](const Row& r) { return r.name == name && r.in.front() == g.before; });
      if (row == rows.end()) {
        row = rows.insert(rows.end(), {name, std::vector<std::string>(variants.size())});
        row->in.front() = g.before;
      }
      if (a.variant < row->in.size()) row->in[a.variant] = g.after;
    }
  if (rows.empty()) return "";
  const Estimate& first = variants.front();
  std::vector<HtmlTable::Head> heads{{"together", ""}};
  for (std::size_t v = 0; v < variants.size(); ++v) heads.push_back({"in " + mark(v), first.currency});
  HtmlTable table("Together, with minus without, at " + countedText(first, first.batches[batch].size), heads);
  for (const Row& row : rows) {
    std::vector<std::string> cells{escaped(row.name)};
    for (std::size_t v = 0; v < variants.size(); ++v) {
      const std::string& called = row.in[v];
      cells.push_back(togetherCell(variants[v], called, batch) +
                      (called.empty() || called == row.name ? "" : "<small>" + escaped(called) + "</small>"));
    }
    table.row(cells);
  }
  return table.markup();
}

std::string changes(const std::vector<Estimate>& variants, const compare::Against& a) {
  std::string out = "<h3>" + mark(a.variant) + " against A: " + escaped(partTitle(variants[a.variant])) + "</h3>\n";
  if (a.sameGeometry) out += "<p class=\"note\">The two files hold the same part.</p>\n";
  const Estimate& e = variants[a.variant];
  const std::size_t batch = referenceBatch(e);
  if (a.turnedOver) out += "<p class=\"note\">It lies the other way up: its outer side is the back of A.</p>\n";
  if (!a.details.empty()) out += detailChanges(variants, a, batch);
  HtmlTable lines("Line by line at " + countedText(e, e.batches[batch].size) + ", per piece",
                  {{"line", ""}, {"difference", e.currency}, {"cause", "", " class=\"l\""}});
  lines.column(2, " class=\"wrap\"");
  for (const compare::LineDifference& l : a.lines)
    if (l.money.micros != 0)
      lines.row({ledger::word(l.line), lineOpened(variants, a.variant, batch, l), escaped(l.cause)});
  std::string each;
  for (std::size_t b = 0; b < a.differences.size() && b < e.batches.size(); ++b)
    each += (b == 0 ? "" : ", ") + differenceOpened(variants, a.variant, b, a.differences[b]) + " at " +
            std::to_string(a.differences[b].size);
  return out + "<div class=\"note\">A piece: <strong>" + each + "</strong> " + escaped(e.currency) + ".</div>\n" +
         lines.markup();
}

// What is open on each variant: the same question once, with the variants that ask it.
std::string questions(const std::vector<Estimate>& variants) {
  std::vector<std::pair<const detail::Question*, std::string>> all;
  for (std::size_t v = 0; v < variants.size(); ++v)
    for (const detail::Question& q : variants[v].details.questions) {
      const auto same = std::find_if(all.begin(), all.end(), [&](const auto& known) {
        return known.first->about == q.about && known.first->question == q.question;
      });
      if (same == all.end())
        all.emplace_back(&q, mark(v));
      else
        same->second += " " + mark(v);
    }
  if (all.empty()) return "<p>Nothing is open.</p>\n";
  HtmlTable table("Open questions", {{"in", ""},
                                     {"about", "", " class=\"l\""},
                                     {"question", "", " class=\"l\""},
                                     {"assumed until then", "", " class=\"l\""}});
  table.column(1, " class=\"l\"");
  table.column(2, " class=\"wrap\"");
  table.column(3, " class=\"wrap\"");
  for (const auto& [q, where] : all) table.row({where, escaped(q->about), escaped(q->question), escaped(q->assumed)});
  return table.markup();
}

// Cautions of every variant, each once.
std::string cautions(const std::vector<Estimate>& variants) {
  std::vector<std::string> all;
  for (const Estimate& e : variants)
    for (const std::string& caution : cautionsFor(e))
      if (std::find(all.begin(), all.end(), caution) == all.end()) all.push_back(caution);
  std::string out;
  for (const std::string& caution : all) out += "<li>" + escaped(caution) + "</li>\n";
  return "<ul class=\"caution\">\n" + out + "</ul>\n";
}

// "with island-1, island-2; without pocket-1; others: floor-1".
std::string whatDiffers(const compare::Against& a) {
  constexpr std::size_t kNamed = 4;
  std::string out;
  const auto add = [&](const char* words, const std::vector<std::string>& names) {
    if (names.empty()) return;
    out += std::string(out.empty() ? "" : "; ") + words + " ";
    for (std::size_t i = 0; i < std::min(kNamed, names.size()); ++i) out += (i == 0 ? "" : ", ") + names[i];
    if (names.size() > kNamed) out += " and " + std::to_string(names.size() - kNamed) + " more";
  };
  std::vector<std::string> added, gone, changed;
  for (const compare::DetailChange& c : a.details) {
    if (c.fate == compare::Fate::Added) added.push_back(shortened(c.after, kLongestName));
    if (c.fate == compare::Fate::Gone) gone.push_back(shortened(c.before, kLongestName));
    if (c.fate == compare::Fate::Changed) changed.push_back(shortened(c.after, kLongestName));
  }
  add("with", added);
  add("without", gone);
  add("changed:", changed);
  return out.empty() ? std::string(a.sameGeometry ? "the same part" : "the same details") : out;
}

// The dearest detail of each variant, where details were priced.
std::string dearestAnswer(const std::vector<Estimate>& variants, std::size_t batch) {
  std::string out;
  for (std::size_t v = 0; v < variants.size(); ++v) {
    const Estimate& e = variants[v];
    const std::vector<std::size_t> order = dearestFirst(e);
    const estimate::Difference* d = order.empty() ? nullptr : differenceAt(e.detailPrices[order.front()], batch);
    if (d == nullptr) continue;
    const estimate::DetailPrice& p = e.detailPrices[order.front()];
    out += "<li><span>in " + mark(v) + ": " +
           escaped(shortened(e.details.list[static_cast<std::size_t>(p.detail)].name, kLongestName)) + "</span><b>" +
           differenceCell(e, d, p.why) + "</b></li>";
  }
  return out.empty() ? "" : "<ul>" + out + "</ul>";
}

// From the dearest variant to the cheapest at the reference batch.
std::string changeAnswer(const std::vector<Estimate>& variants, const compare::Comparison& comparison,
                         std::size_t batch) {
  if (batch >= comparison.order.size() || comparison.order[batch].size() < 2) return "Nothing stands out.";
  const std::size_t best = comparison.order[batch].front(), worst = comparison.order[batch].back();
  const Money low = variants[best].batches[batch].perPiece, high = variants[worst].batches[batch].perPiece;
  return "<ul><li><span><strong>" + mark(best) + "</strong> instead of " + mark(worst) + "</span><b>saves " +
         opened(moneyText(high - low),
                moneyText(high) + " \u2212 " + moneyText(low) + " = " + moneyText(high - low) + ".") +
         "</b></li></ul>";
}

std::string answers(const std::vector<Estimate>& variants, const compare::Comparison& comparison, std::size_t batch) {
  const Estimate& first = variants.front();
  std::string out = "<dl class=\"answers\">\n<dt>What it costs, and which is cheapest</dt><dd><ul>";
  for (std::size_t b = 0; b < comparison.cheapest.size() && b < first.batches.size(); ++b) {
    const std::size_t v = comparison.cheapest[b];
    out += "<li><span>at " + countedText(first, first.batches[b].size) + ": " + (b == batch ? "<strong>" : "") +
           mark(v) + " " + escaped(shortened(partTitle(variants[v]), kLongestName)) + (b == batch ? "</strong>" : "") +
           "</span><b>" + priceOpened(variants[v], b) + " " + escaped(first.currency) + "</b></li>";
  }
  out += "</ul></dd>\n<dt>What makes the difference, a piece at " + countedText(first, first.batches[batch].size) +
         "</dt><dd><ul>";
  for (const compare::Against& a : comparison.against) {
    const estimate::Difference* d = differenceAt(a.differences, batch);
    if (d == nullptr) continue;
    std::string cause;
    for (const compare::LineDifference& l : a.lines)
      if (cause.empty() && !l.cause.empty()) cause = l.cause;
    out += "<li><span>" + mark(a.variant) + " against A: " + escaped(whatDiffers(a)) +
           (cause.empty() ? "" : "<small class=\"more\">" + escaped(cause) + "</small>") + "</span><b>" +
           differenceOpened(variants, a.variant, batch, *d) + "</b></li>";
  }
  out += "</ul></dd>\n";
  if (!comparison.crossings.empty()) {
    out += "<dt>Where they cross</dt><dd>";
    for (const compare::Crossing& c : comparison.crossings)
      out += "From " + countedText(first, c.batch) + " on " + mark(c.cheaper) + " costs less than " + mark(c.dearer) +
             ". ";
    out += "</dd>\n";
  }
  const std::string dearest = dearestAnswer(variants, batch);
  if (!dearest.empty()) out += "<dt>The dearest detail</dt><dd>" + dearest + "</dd>\n";
  out += "<dt>What to change</dt><dd>" + changeAnswer(variants, comparison, batch) + "</dd>\n";
  return out + "<dt>How sure it is</dt><dd>" + escaped(bandText(first)) + (bandText(first).empty() ? "" : " each. ") +
         escaped(summarise(first).doubt) + "</dd>\n</dl>\n";
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
      out += lineBar(x, y, width, kChartRow - 8, ledger::kLines[l],
                     std::string(ledger::word(ledger::kLines[l])) + " " + moneyText(b.lines[l]));
      x += width;
    }
    out += chartStroke("M" + shortest(left + toUnits(b.low) * perUnit) + " " + shortest(y + 9) + "H" +
                           shortest(left + toUnits(b.high) * perUnit),
                       "stroke-width=\"1.4\"") +
           chartLink(variantAnchor(v, batch), chartText(left + toUnits(b.high) * perUnit + 6, y + 15,
                                                        moneyRounded(b.perPiece), " font-weight=\"bold\""));
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
  const Estimate& first = variants.front();
  const std::size_t batch = referenceBatch(first);
  page.facts = {first.material, ageWords(first, options)};
  for (std::size_t v = 0; v < variants.size(); ++v) page.foot.push_back(mark(v) + " part " + variants[v].fingerprint);
  if (!options.shop.empty()) page.foot.push_back("shop " + options.shop);
  page.main = "<div class=\"first\">\n<div>\n" + answers(variants, comparison, batch) +
              "</div>\n<section>\n<h2>Side by side</h2>\n" + columnsChart(variants) + sideBySide(variants, comparison) +
              together(variants, comparison, batch) + "</section>\n</div>\n";
  std::string drawn;
  for (std::size_t v = 0; v < variants.size() && v < bodies.size(); ++v)
    drawn += "<figure><figcaption>" + mark(v) + " " + escaped(partTitle(variants[v])) + "</figcaption>" +
             planSvg(variants[v], *bodies[v], {std::nullopt, false, false}) + "</figure>\n";
  page.main += section(kWhatYouDrew, "<div class=\"maps\">" + drawn + "</div>\n");
  std::string differences;
  for (const compare::Against& a : comparison.against)
    if (a.variant < variants.size()) differences += changes(variants, a);
  std::vector<ValuesOf> values;
  for (std::size_t v = 0; v < variants.size(); ++v) values.push_back({mark(v), allValues(variants[v])});
  page.main += section("Changed", differences) + section(kStillToAnswer, questions(variants)) +
               section(kCautions, cautions(variants)) + valuesSection(values);
  return pageHtml(page, options);
}

}  // namespace chipledger::report
