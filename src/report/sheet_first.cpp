// The first screen: the five answers at the left, the part in the middle, the dearest details at the right.
#include <chipledger/report/charts.hpp>
#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/wording.hpp>

#include "report/anchors.hpp"
#include "report/chart_parts.hpp"
#include "report/formula.hpp"
#include "report/plan_tint.hpp"
#include "report/sheet_parts.hpp"

#include <algorithm>

namespace chipledger::report {

namespace {

using estimate::Estimate;

constexpr std::size_t kLadderRows = 13;
constexpr std::size_t kLongestName = 60;  // the whole stands in the tables further down

// A text that changes with the chosen batch: the values of all batches, separated by blanks.
std::string switching(const Estimate& e, Money estimate::BatchPrice::*which) {
  std::string all;
  for (const estimate::BatchPrice& b : e.batches) all += (all.empty() ? "" : " ") + moneyRounded(b.*which);
  return "<span" + attribute("data-p", all) + ">" + moneyRounded(e.batches[referenceBatch(e)].*which) + "</span>";
}

std::string batchChoice(const Estimate& e) {
  std::string out = "<select id=\"batch\" disabled aria-label=\"batch\">";
  for (std::size_t b = 0; b < e.batches.size(); ++b) {
    out += "<option" + attribute("value", std::to_string(b)) + (b == referenceBatch(e) ? " selected" : "") + ">" +
           std::to_string(e.batches[b].size) + "</option>";
  }
  return out + "</select>";
}

std::string costAnswer(const Estimate& e) {
  std::string heads, cells, sets;
  for (std::size_t b = 0; b < e.batches.size(); ++b) {
    const std::string mark = ofBatch(b) + (b == referenceBatch(e) ? " class=\"on\"" : "");
    heads += "<th scope=\"col\"" + mark + ">" + std::to_string(e.batches[b].size) + "</th>";
    cells += "<td" + mark + ">" +
             openedMarkup(moneyRounded(e.batches[b].perPiece),
                          "<p>The lines of its price, added up exactly.</p>" + lineByLine(factsOf(e, b))) +
             "</td>";
    sets += "<td" + mark + ">" +
            opened(setText(e, e.batches[b].perPiece),
                   "Pieces of a set \u00d7 the price of a piece: " + std::to_string(e.piecesPerSet) + " \u00d7 " +
                       moneyText(e.batches[b].perPiece) + ".") +
            "</td>";
  }
  const bool several = e.piecesPerSet > 1;
  return "<span class=\"cost\">" + switching(e, &estimate::BatchPrice::perPiece) + " " + escaped(e.currency) +
         " <small>a piece in a batch of " + batchChoice(e) +
         (several ? " sets of " + std::to_string(e.piecesPerSet) : std::string{}) +
         "</small></span><div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"Price by "
         "batch\"><table><caption class=\"aside\">Price by batch</caption><tr><th "
         "scope=\"row\">" +
         countedIn(e) + "</th>" + heads + "</tr><tr><th scope=\"row\">" + escaped(e.currency) + " a piece</th>" +
         cells + "</tr>" +
         (several ? "<tr><th scope=\"row\">" + escaped(e.currency) + " a set</th>" + sets + "</tr>" : std::string{}) +
         "</table></div>";
}

// The first causes of several; a click on the number shows them all.
std::string firstCauses(const std::string& why, std::size_t most) {
  std::size_t at = 0;
  for (std::size_t i = 0; i < most && at != std::string::npos; ++i) at = why.find(';', at == 0 ? 0 : at + 1);
  return at == std::string::npos ? why : why.substr(0, at) + "; \u2026";
}

std::string dearestAnswer(const Estimate& e, const Summary& s) {
  const std::size_t batch = referenceBatch(e);
  struct Named {
    std::string name, mark, why;
    const std::vector<estimate::Difference>* prices;
  };
  // The dearest of all, and what is dearer together.
  std::vector<Named> named;
  const std::vector<std::size_t> order = dearestFirst(e);
  if (!order.empty() && differenceAt(e.detailPrices[order.front()], batch) != nullptr) {
    const estimate::DetailPrice& p = e.detailPrices[order.front()];
    named.push_back({e.details.list[static_cast<std::size_t>(p.detail)].name,
                     attribute("data-d", std::to_string(p.detail)), p.why, &p.withMinusWithout});
  }
  const std::vector<std::size_t> groups = groupsDearestFirst(e);
  if (!groups.empty()) {
    const estimate::GroupPrice& g = e.groups[groups.front()];
    const bool dearer = named.empty() || g.withMinusWithout[batch].money > (*named.front().prices)[batch].money;
    if (dearer) named.insert(named.begin(), {g.name, "", g.why, &g.withMinusWithout});
  }
  if (named.empty()) return escaped(s.dearest);
  std::string out = "<ul class=\"causes\">";
  for (std::size_t i = 0; i < named.size(); ++i) {
    out += "<li" + named[i].mark + "><span><strong>" + escaped(shortened(named[i].name, kLongestName)) + "</strong>" +
           (named[i].why.empty() ? "" : ": " + escaped(firstCauses(named[i].why, i == 0 ? 3 : 2))) + "</span><b>" +
           differenceAtChosen(e, *named[i].prices, named[i].why) + "</b></li>";
  }
  return out + "</ul>";
}

std::string changeAnswer(const Estimate& e, const Summary& s) {
  constexpr std::size_t kNamed = 3;
  const std::size_t batch = referenceBatch(e);
  std::string items;
  std::size_t count = 0;
  for (const estimate::Advice& a : e.advice) {
    const estimate::Difference* saves = differenceAt(a.saves, batch);
    if (saves == nullptr || saves->money.micros <= 0) continue;
    if (++count > kNamed) break;
    items += "<li><span>" + escaped(a.change) + " <small>(" + (a.seen ? "seen" : "hidden") +
             ")</small></span><b>saves " + differenceAtChosen(e, a.saves, a.why) + "</b></li>";
  }
  // Without advice: what leaving out the dearest would bring.
  for (const std::size_t i : dearestFirst(e)) {
    if (!e.advice.empty() || count == kNamed) break;
    const estimate::DetailPrice& p = e.detailPrices[i];
    const estimate::Difference* d = differenceAt(p, batch);
    const detail::Detail& left = e.details.list[static_cast<std::size_t>(p.detail)];
    if (d == nullptr || d->money.micros <= 0 || !canBeLeftOut(left.kind)) continue;
    ++count;
    items += "<li><span>leave out " + escaped(shortened(left.name, kLongestName)) + "</span><b>saves " +
             differenceAtChosen(e, p.withMinusWithout, p.why) + "</b></li>";
  }
  if (items.empty()) return escaped(s.change);
  if (!e.blank.listed) return "<ul class=\"changes\">" + items + "</ul>" + leftBeforeNextText(e.blank) + ".";
  return "<ul class=\"changes\">" + items + "</ul>" +
         chartLink(thicknessAnchor("left"), mmText(e.blank.leftBeforeNextStep) + " mm") +
         " of height left before the next plate.";
}

std::string tintKey(const Estimate& e) {
  const std::size_t batch = referenceBatch(e);
  Money dearest;
  for (const estimate::DetailPrice& p : e.detailPrices)
    if (const estimate::Difference* d = differenceAt(p, batch)) dearest = std::max(dearest, d->money);
  if (dearest.micros <= 0) return "";
  std::string out = "<ul class=\"key no-print\"><li>With minus without, " + escaped(e.currency) + " a piece:</li>";
  for (int step = 0; step < kTintSteps; ++step) {
    const Money from = money(tintFrom(std::max(1, step)) * toUnits(dearest));
    out += std::string(
               "<li><svg viewBox=\"0 0 22 12\" aria-hidden=\"true\"><rect width=\"22\" height=\"12\" "
               "stroke=\"#111\" fill=\"") +
           tintColour(step) + "\"/></svg>" + (step == 0 ? "below " : "from ") + moneyRounded(from) + "</li>";
  }
  return out + "</ul>\n";
}

}  // namespace

std::string answersMarkup(const Estimate& e) {
  const Summary s = summarise(e);
  const bool priced = !e.batches.empty();
  return "<dl class=\"answers\">\n<dt>What it costs</dt><dd>" + (priced ? costAnswer(e) : escaped(s.cost)) +
         "</dd>\n<dt>What makes it cost that</dt><dd>" +
         (priced ? perBatch(e, [&](std::size_t b) { return costBar(e, b); }) : escaped(s.because)) +
         "</dd>\n<dt>The dearest detail</dt><dd>" + dearestAnswer(e, s) + "</dd>\n<dt>What to change</dt><dd>" +
         changeAnswer(e, s) + "</dd>\n<dt>How sure it is</dt><dd>" +
         (priced ? perBatch(e, [&](std::size_t b) { return bandBar(e, b); }) : "") + escaped(s.doubt) +
         "</dd>\n</dl>\n";
}

std::string labelAnchor(const Estimate& e, std::size_t detail) {
  const std::vector<std::size_t> order = dearestFirst(e);
  const auto holds = [&](std::size_t p) { return e.detailPrices[p].detail == static_cast<int>(detail); };
  const auto at = std::find_if(order.begin(), order.end(), holds) - order.begin();
  const bool onLadder = groupsDearestFirst(e).size() + static_cast<std::size_t>(at) < kLadderRows;
  return onLadder ? ladderAnchor(static_cast<int>(detail)) : detailAnchor(static_cast<int>(detail));
}

std::string ladderMarkup(const Estimate& e) {
  const std::size_t batch = referenceBatch(e);
  std::string rows;
  std::size_t count = 0, more = 0;
  const auto add = [&](const std::string& name, const std::string& words, const std::string& marks,
                       const std::vector<estimate::Difference>& prices, const std::string& why,
                       const std::string& opens) {
    if (differenceAt(prices, batch) == nullptr) return;
    if (count++ >= kLadderRows) {
      ++more;
      return;
    }
    rows += "<tr" + marks + "><th scope=\"row\" class=\"wrap\"" +
            (name.size() > kLongestName ? attribute("title", name) : std::string{}) + ">" +
            escaped(shortened(name, kLongestName)) + (words.empty() ? "" : "<small>" + escaped(words) + "</small>") +
            "</th><td>" + differenceAtChosen(e, prices, why, opens) + "</td></tr>\n";
  };
  for (const std::size_t k : groupsDearestFirst(e)) {
    const estimate::GroupPrice& g = e.groups[k];
    add(g.name, std::to_string(g.details.size()) + " details together", " class=\"group\"", g.withMinusWithout, g.why,
        "");
  }
  for (const std::size_t i : dearestFirst(e)) {
    const estimate::DetailPrice& p = e.detailPrices[i];
    const detail::Detail& d = e.details.list[static_cast<std::size_t>(p.detail)];
    add(d.name, dimensionsText(d.dimensions), attribute("data-d", std::to_string(p.detail)), p.withMinusWithout, p.why,
        ladderAnchor(p.detail));
  }
  if (rows.empty()) return "";
  return "<div class=\"ladder\">\n<table><caption>Dearest first: the whole part with it minus without it</caption>"
         "<thead><tr><th scope=\"col\">detail</th><th scope=\"col\">" +
         escaped(e.currency) + "<small>a piece</small></th></tr></thead>\n<tbody>\n" + rows + "</tbody></table>\n" +
         (more > 0 ? "<p class=\"note\">" + std::to_string(more) + " more further down.</p>\n" : "") + "</div>\n";
}

std::string solidKey(const Estimate& e) { return tintKey(e); }

}  // namespace chipledger::report
