#include <chipledger/report/charts.hpp>
#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/pages.hpp>
#include <chipledger/report/plan_svg.hpp>
#include <chipledger/report/sections.hpp>
#include <chipledger/report/solid_view.hpp>
#include <chipledger/report/wording.hpp>

#include "report/page.hpp"
#include "report/sheet_parts.hpp"

namespace chipledger::report {

namespace {

using estimate::Estimate;

std::string differences(const Estimate& e, const std::vector<estimate::Difference>& price) {
  std::vector<HtmlTable::Head> heads{{"line", ""}};
  for (const estimate::Difference& d : price) heads.push_back({"at " + std::to_string(d.size), e.currency});
  HtmlTable table("With minus without, per piece, line by line", heads);
  for (std::size_t l = 0; l < estimate::kLineCount; ++l) {
    std::vector<std::string> cells{ledger::word(ledger::kLines[l])};
    for (const estimate::Difference& d : price) cells.push_back(moneySigned(d.lines[l]));
    table.row(cells);
  }
  std::vector<std::string> sum{"difference"}, with{"with it"}, without{"without it"};
  for (std::size_t b = 0; b < price.size(); ++b) {
    sum.push_back(moneySigned(price[b].money));
    if (b >= e.batches.size()) continue;
    with.push_back(moneyText(e.batches[b].perPiece));
    without.push_back(moneyText(e.batches[b].perPiece - price[b].money));
  }
  table.foot(sum);
  table.foot(with, " class=\"low\"");
  table.foot(without, " class=\"low\"");
  return table.markup();
}

std::string advice(const Estimate& e, const std::string& name) {
  std::string items;
  for (const estimate::Advice& a : e.advice) {
    const estimate::Difference* saves = differenceAt(a.saves, referenceBatch(e));
    if (a.about != name || saves == nullptr) continue;
    items += "<li>" + escaped(a.change) + ": saves <strong>" + moneyText(saves->money) + "</strong>" +
             (a.why.empty() ? "" : ", " + escaped(a.why)) + "; the buyer " + (a.seen ? "sees it" : "does not see it") +
             ".</li>\n";
  }
  return items.empty() ? "" : "<h3>What would make it cheaper</h3>\n<ul class=\"caution\">\n" + items + "</ul>\n";
}

std::string bookings(const Estimate& e, int index) {
  HtmlTable table(
      "Booked on its own metal: not its price",
      {{"booking", ""}, {"line", "", " class=\"l\""}, {"min", ""}, {"removed", "cm\u00b3"}, {"money", e.currency}});
  table.column(1, " class=\"l\"");
  for (const ledger::Entry& entry : e.ledger.entries()) {
    if (entry.detail != index || (entry.cost.micros == 0 && entry.removed.um3 == 0)) continue;
    table.row({escaped(entry.note), ledger::word(entry.line), minutesText(entry.minutes.likely, 2),
               cm3Text(entry.removed), moneyText(entry.cost)});
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
  page.facts = {e.material, ageWord(e)};
  page.foot = {"part " + e.fingerprint};
  if (!options.shop.empty()) page.foot.push_back("shop " + options.shop);
  page.turns = true;
  const std::string solid = solidView(e, body);
  std::string left = "<dl class=\"answers\">\n<dt>What it costs</dt><dd>";
  if (now != nullptr) {
    left += "<span class=\"cost\">" + moneyText(now->money) + " " + escaped(e.currency) +
            " <small>a piece in a batch of " + std::to_string(now->size) + "</small></span></dd>\n<dt>Why</dt><dd>" +
            escaped(e.detailPrices[index].why.empty() ? "what the table says" : e.detailPrices[index].why);
  } else {
    left += "It cannot be taken away, so it has no price of its own.";
  }
  left += "</dd>\n<dt>What it is</dt><dd>" + escaped(detail::word(d.kind)) + ", " +
          escaped(dimensionsText(d.dimensions)) + "</dd>\n<dt>How sure it is</dt><dd>" + escaped(summarise(e).doubt) +
          "</dd>\n</dl>\n";
  page.main = "<div class=\"first\">\n<div>\n" + left + (price.empty() ? "" : differences(e, price)) +
              "</div>\n<section>\n<h2>" + kWhatYouDrew + "</h2>\n" + solid + "<div class=\"plan\" id=\"plan\">" +
              planSvg(e, body) + "</div>\n</section>\n</div>\n";
  page.main += section(kPriceByDetail,
                       detailChart(e) + advice(e, d.name) + (known ? bookings(e, static_cast<int>(index)) : "")) +
               section(kStillToAnswer, questionsSection(e)) + section(kCautions, cautionsSection(e)) +
               "<section id=\"values\">\n<h2>Values</h2>\n" + assumptionsTable(e) + "</section>\n";
  return pageHtml(page, options);
}

}  // namespace chipledger::report
