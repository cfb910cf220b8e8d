#include <chipledger/report/charts.hpp>
#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/pages.hpp>
#include <chipledger/report/plan_svg.hpp>
#include <chipledger/report/sections.hpp>
#include <chipledger/report/solid_view.hpp>
#include <chipledger/report/wording.hpp>

#include "report/anchors.hpp"
#include "report/formula.hpp"
#include "report/page.hpp"
#include "report/sheet_parts.hpp"

#include <algorithm>

namespace chipledger::report {

namespace {

using estimate::Estimate;

// One line of the difference, with what it is in the price of the part.
std::string lineCell(const Estimate& e, std::size_t b, std::size_t l, const estimate::Difference& d) {
  if (d.lines[l].micros == 0) return "\u2013";
  const ledger::Line line = ledger::kLines[l];
  if (b >= e.batches.size()) return opened(moneySigned(d.lines[l]), "With minus without.");
  const Formula with = lineFormula(factsOf(e, b), line);
  const Money now = e.batches[b].lines[l];
  return opened(moneySigned(d.lines[l]),
                std::string(ledger::word(line)) + " with it " + moneyText(now) + " \u2212 without it " +
                    moneyText(now - d.lines[l]) + " = " + moneySigned(d.lines[l]) + ". With it: " + with.words,
                with.values);
}

std::string differences(const Estimate& e, const std::vector<estimate::Difference>& price, const std::string& why) {
  std::vector<HtmlTable::Head> heads{{"line", ""}};
  for (const estimate::Difference& d : price) heads.push_back({"at " + std::to_string(d.size), e.currency});
  HtmlTable table("With minus without, per piece, line by line", heads);
  for (std::size_t l = 0; l < estimate::kLineCount; ++l) {
    std::vector<std::string> cells{lineSwatch(ledger::kLines[l]) + " " + ledger::word(ledger::kLines[l])};
    for (std::size_t b = 0; b < price.size(); ++b) cells.push_back(lineCell(e, b, l, price[b]));
    table.row(cells);
  }
  std::vector<std::string> sum{"difference"}, with{"with it"}, without{"without it"};
  for (std::size_t b = 0; b < price.size(); ++b) {
    sum.push_back(differenceCell(e, &price[b], why));
    if (b >= e.batches.size()) continue;
    with.push_back(openedMarkup(moneyText(e.batches[b].perPiece),
                                "<p>The lines of its price, added up exactly.</p>" + lineByLine(factsOf(e, b))));
    without.push_back(opened(moneyText(e.batches[b].perPiece - price[b].money),
                             "The same part without it, planned anew in full: with it minus the difference."));
  }
  table.foot(sum);
  table.foot(with, " class=\"low\"");
  table.foot(without, " class=\"low\"");
  return table.markup();
}

// What it costs together with its like.
std::string together(const Estimate& e, std::size_t index) {
  std::string out;
  for (const estimate::GroupPrice& g : e.groups) {
    const estimate::Difference* d = differenceAt(g.withMinusWithout, referenceBatch(e));
    const bool among = std::find(g.details.begin(), g.details.end(), static_cast<int>(index)) != g.details.end();
    if (among && d != nullptr && g.details.size() > 1)
      out += "<li><span>" + escaped(g.name) + " together" + (g.why.empty() ? "" : ": " + escaped(g.why)) +
             "</span><b>" + differenceCell(e, d, g.why) + "</b></li>";
  }
  return out.empty() ? "" : "<ul>" + out + "</ul>";
}

// All details beside it, dearest first: the figures of the bars.
std::string besideOthers(const Estimate& e) {
  const std::size_t batch = referenceBatch(e);
  struct Row {
    std::string name, marks, anchor, why;
    const estimate::Difference* price;
  };
  std::vector<Row> rows;
  for (const std::size_t g : groupsDearestFirst(e))
    rows.push_back({e.groups[g].name, " class=\"group\"", groupAnchor(g), e.groups[g].why,
                    differenceAt(e.groups[g].withMinusWithout, batch)});
  for (const std::size_t i : dearestFirst(e)) {
    const estimate::DetailPrice& p = e.detailPrices[i];
    rows.push_back({e.details.list[static_cast<std::size_t>(p.detail)].name,
                    attribute("data-d", std::to_string(p.detail)), detailAnchor(p.detail), p.why,
                    differenceAt(p, batch)});
  }
  if (batch >= e.batches.size() || std::none_of(rows.begin(), rows.end(), [](const Row& r) { return r.price; }))
    return "";
  HtmlTable table("Every detail, with minus without, at " + countedText(e, e.batches[batch].size),
                  {{"detail", ""}, {"costs", e.currency + " a piece"}});
  for (const Row& r : rows)
    if (r.price != nullptr) table.row({escaped(r.name), differenceCell(e, r.price, r.why, r.anchor)}, r.marks);
  return table.markup();
}

// The change that touches it and saves most; else what leaving it out brings.
std::string changeAnswer(const Estimate& e, std::size_t index, const estimate::Difference* now) {
  const std::string& name = e.details.list[index].name;
  for (const estimate::Advice& a : e.advice) {
    const estimate::Difference* saves = differenceAt(a.saves, referenceBatch(e));
    const bool touches =
        a.about == name || std::find(a.details.begin(), a.details.end(), static_cast<int>(index)) != a.details.end();
    if (!touches || saves == nullptr || saves->money.micros <= 0) continue;
    return "<ul><li><span>" + escaped(a.change) + "</span><b>saves " + differenceCell(e, saves, a.why) +
           "</b></li></ul>";
  }
  if (now == nullptr) return "Nothing that keeps the part.";
  return "Nothing was found that keeps it and saves. Without it a piece costs " +
         moneyText(e.batches[referenceBatch(e)].perPiece - now->money) + ".";
}

std::string bookings(const Estimate& e, int index) {
  HtmlTable table(
      "Booked on its own metal: not its price",
      {{"booking", ""}, {"line", "", " class=\"l\""}, {"min", ""}, {"removed", "cm\u00b3"}, {"money", e.currency}});
  table.column(1, " class=\"l\"");
  for (const ledger::Entry& entry : e.ledger.entries()) {
    if (entry.detail != index || (entry.cost.micros == 0 && entry.removed.um3 == 0)) continue;
    const auto open = [&](const std::string& shown, bool there) {
      return there
                 ? opened(shown,
                          "Booked to it by the share of the cells or of the path that are its own: " + entry.note + ".")
                 : std::string("\u2013");
    };
    table.row({escaped(entry.note), ledger::word(entry.line),
               open(minutesText(entry.minutes.likely, 2), entry.minutes.likely.ns != 0),
               open(cm3Text(entry.removed), entry.removed.um3 != 0),
               open(moneyText(entry.cost), entry.cost.micros != 0)});
  }
  return table.markup();
}

}  // namespace

std::string detailHtml(const Estimate& e, const part::Body& body, std::size_t index, const SheetOptions& options) {
  const detail::Detail& d = e.details.list[index];
  const bool known = index < e.detailPrices.size();
  const std::vector<estimate::Difference> none;
  const std::vector<estimate::Difference>& price = known ? e.detailPrices[index].withMinusWithout : none;
  const estimate::Difference* now = differenceAt(price, referenceBatch(e));
  Page page;
  page.title = d.name + " of " + partTitle(e);
  page.facts = {e.material, ageWords(e, options)};
  page.foot = {"part " + e.fingerprint};
  if (!options.shop.empty()) page.foot.push_back("shop " + options.shop);
  page.turns = true;
  const std::string solid = solidView(e, body);
  std::string left = "<dl class=\"answers\">\n<dt>What it costs</dt><dd>";
  if (now != nullptr) {
    left += "<span class=\"cost\">" + differenceCell(e, now, e.detailPrices[index].why) + " " + escaped(e.currency) +
            " <small>a piece in a batch of " + std::to_string(now->size) + (e.piecesPerSet > 1 ? " sets" : "") +
            "</small></span>" + together(e, index) + "</dd>\n<dt>What makes it cost that</dt><dd>" +
            escaped(e.detailPrices[index].why.empty() ? "what the table says" : e.detailPrices[index].why);
  } else {
    left += "It cannot be taken away, so it has no price of its own.";
  }
  left += "</dd>\n<dt>What it is</dt><dd>" + escaped(detail::word(d.kind)) + ", " +
          escaped(dimensionsText(d.dimensions)) + "</dd>\n<dt>What to change</dt><dd>" + changeAnswer(e, index, now) +
          "</dd>\n<dt>How sure it is</dt><dd>" + escaped(bandText(e)) +
          (bandText(e).empty() ? "" : " for the piece. ") + escaped(summarise(e).doubt) + "</dd>\n</dl>\n";
  page.main =
      "<div class=\"first\">\n<div>\n" + left +
      (price.empty() ? "" : differences(e, price, known ? e.detailPrices[index].why : "")) + "</div>\n<section>\n<h2>" +
      kWhatYouDrew + "</h2>\n" + solid + "<div class=\"plan\" id=\"plan\">" +
      planSvg(e, body, {std::nullopt, true, true, [](std::size_t i) { return detailAnchor(static_cast<int>(i)); }}) +
      "</div>\n</section>\n</div>\n";
  page.main += section(kPriceByDetail, detailChart(e) + besideOthers(e) + adviceMarkup(e, d.name) +
                                           (known ? bookings(e, static_cast<int>(index)) : "")) +
               section(kStillToAnswer, questionsSection(e)) + section(kCautions, cautionsSection(e)) +
               valuesSection({{"", allValues(e)}});
  return pageHtml(page, options);
}

}  // namespace chipledger::report
