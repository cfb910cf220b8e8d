#include <chipledger/report/cautions.hpp>
#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/plan_svg.hpp>
#include <chipledger/report/sections.hpp>
#include <chipledger/report/wording.hpp>
#include <chipledger/route/client.hpp>

#include "report/page.hpp"
#include "report/sheet_parts.hpp"
#include "report/sheet_readers.hpp"

#include <algorithm>
#include <cmath>

namespace chipledger::report {

namespace {

using estimate::Estimate;

// A price as a client sees it: with the terms of sale on it, or the cost in round steps.
struct Asking {
  const SheetOptions& options;

  Money of(Money cost) const {
    if (!options.terms) return roundedForClient(cost);
    return route::askedFor(money(toUnits(cost) * (1 + options.overhead)), *options.terms).value_or(Money{});
  }
  std::string text(Money cost, const std::string& currency) const {
    return trimmed(toUnits(of(cost)), 2) + " " + escaped(currency);
  }
};

std::string optionsTable(const Estimate& e, const Asking& asking) {
  std::vector<HtmlTable::Head> heads{{"option", ""}};
  for (const estimate::BatchPrice& b : e.batches) heads.push_back({std::to_string(b.size), countedIn(e)});
  HtmlTable table(asking.options.terms ? "Price of a piece, before sales tax" : "Price of a piece, in round steps",
                  heads);
  table.column(0, " class=\"wrap\"");
  std::vector<std::string> drawn{"<strong>As drawn</strong>"};
  for (const estimate::BatchPrice& b : e.batches)
    drawn.push_back("<strong>" + asking.text(b.perPiece, e.currency) + "</strong>");
  table.row(drawn);
  const auto option = [&](const std::string& words, const std::vector<estimate::Difference>& saved) {
    if (saved.size() != e.batches.size()) return;
    std::vector<std::string> cells{escaped(words)};
    for (std::size_t b = 0; b < saved.size(); ++b)
      cells.push_back(asking.text(e.batches[b].perPiece - saved[b].money, e.currency));
    const Money now = e.batches[referenceBatch(e)].perPiece;
    if (asking.of(now - saved[referenceBatch(e)].money) < asking.of(now))
      table.row(cells);  // an option that moves no price step is no option
  };
  const auto kindOf = [&](int index) { return e.details.list[static_cast<std::size_t>(index)].kind; };
  for (const estimate::GroupPrice& g : e.groups)
    if (std::all_of(g.details.begin(), g.details.end(), [&](int i) { return canBeLeftOut(kindOf(i)); }))
      option("Without any " + (g.name.starts_with("all ") ? g.name.substr(4) : g.name), g.withMinusWithout);
  for (const std::size_t i : dearestFirst(e)) {
    const estimate::DetailPrice& p = e.detailPrices[i];
    if (canBeLeftOut(kindOf(p.detail)))
      option("Without " + e.details.list[static_cast<std::size_t>(p.detail)].name, p.withMinusWithout);
  }
  for (const estimate::Advice& a : e.advice)
    if (a.seen) option(a.change, a.saves);
  return table.markup();
}

}  // namespace

double roundStep(double price) {
  constexpr double kShare = 1.0 / 40;
  constexpr double kNice[] = {1, 2, 5, 10, 25, 50};
  for (double unit = 1;; unit *= 100)
    for (const double nice : kNice)
      if (nice * unit >= price * kShare || !std::isfinite(price)) return nice * unit;
}

Money roundedForClient(Money price) {
  const double units = toUnits(price), step = roundStep(units);
  constexpr double kHair = 1e-9;  // 105.000000 is on its step
  return units <= 0 ? Money{} : money(std::ceil(units / step - kHair) * step);
}

std::string clientSheet(const Estimate& e, const part::Body& body, const SheetOptions& options) {
  Page page;
  page.title = partTitle(e);
  page.facts = {e.material};
  page.main = "<div class=\"first below\">\n<section>\n<h2>Options</h2>\n" +
              (e.batches.empty() ? std::string("<p>No batch was priced.</p>\n") : optionsTable(e, {options})) +
              "<p class=\"note\">An estimate, not a quote: what a piece may come to once drawing, finish and quantity "
              "are settled. Ready in <span class=\"fill\">&nbsp;</span></p>\n</section>\n<section>\n<h2>" +
              kWhatYouDrew + "</h2>\n<div class=\"plan\" id=\"plan\">" + planSvg(e, body, {std::nullopt, false, true}) +
              "</div>\n</section>\n</div>\n";
  page.main +=
      section(kStillToAnswer, questionsSection(e, Keys::Hidden)) +
      section(kCautions, std::string("<ul class=\"caution\">\n<li>") + escaped(lockCaution()) + "</li>\n</ul>\n");
  return pageHtml(page, options);
}

}  // namespace chipledger::report
