// Differences: with minus without, as drawn minus changed.
#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/wording.hpp>

#include "report/formula.hpp"
#include "report/sheet_parts.hpp"

#include <algorithm>

namespace chipledger::report {

namespace {

using estimate::Estimate;

// Words and lines of a difference, with the values of the lines that differ.
std::string body(const Estimate& e, const estimate::Difference& d, const std::string& why) {
  const auto with =
      std::find_if(e.batches.begin(), e.batches.end(), [&](const estimate::BatchPrice& b) { return b.size == d.size; });
  std::string made = "At " + countedText(e, d.size) + ", with minus without";
  Assumptions used;
  if (with != e.batches.end()) {
    made += ": " + moneyText(with->perPiece) + " \u2212 " + moneyText(with->perPiece - d.money) + " = " +
            moneyText(d.money);
    const PriceFacts facts = factsOf(e, static_cast<std::size_t>(with - e.batches.begin()));
    for (std::size_t l = 0; l < d.lines.size(); ++l)
      if (d.lines[l].micros != 0) addOnce(used, lineFormula(facts, ledger::kLines[l]).values);
  }
  return "<p>" + escaped(made + (why.empty() ? "." : ". " + why + ".")) + "</p>" + stackList(d.lines, e.currency) +
         openedValues(used);
}

// What one separate boss may cost before milling from solid is dearer.
std::string bossText(const estimate::Advice& a, std::size_t batch) {
  if (batch >= a.upTo.size()) return "";
  return "<small>boss up to " + moneyText(a.upTo[batch]) + "</small>";
}

std::string buyerText(const estimate::Advice& a) {
  return a.looks.empty() ? std::string(a.seen ? "sees it" : "does not see it") : escaped(a.looks);
}

}  // namespace

std::string ofBatch(std::size_t b) { return attribute("data-b", std::to_string(b)); }

void addBatchHeads(const Estimate& e, std::vector<HtmlTable::Head>& heads) {
  for (std::size_t b = 0; b < e.batches.size(); ++b)
    heads.push_back({"at " + std::to_string(e.batches[b].size), e.currency, ofBatch(b)});
}

std::string perBatch(const Estimate& e, const std::function<std::string(std::size_t)>& make) {
  std::string out;
  for (std::size_t b = 0; b < e.batches.size(); ++b) {
    out += "<div" + attribute("data-only", std::to_string(b)) + (b == referenceBatch(e) ? "" : " hidden") + ">" +
           make(b) + "</div>\n";
  }
  return out;
}

std::string differenceCell(const Estimate& e, const estimate::Difference* d, const std::string& why,
                           const std::string& name) {
  return d == nullptr ? "\u2013" : openedMarkup(moneyText(d->money), body(e, *d, why), name);
}

std::string differenceAtChosen(const Estimate& e, const std::vector<estimate::Difference>& differences,
                               const std::string& why, const std::string& name) {
  const estimate::Difference* now = differenceAt(differences, referenceBatch(e));
  if (now == nullptr) return "\u2013";
  std::string all;
  for (const estimate::Difference& d : differences) all += (all.empty() ? "" : " ") + moneyText(d.money);
  return openedMarkup("<span" + attribute("data-p", all) + ">" + moneyText(now->money) + "</span>",
                      perBatch(e,
                               [&](std::size_t b) {
                                 const estimate::Difference* d = differenceAt(differences, b);
                                 return d == nullptr ? std::string{} : body(e, *d, why);
                               }),
                      name);
}

std::string adviceMarkup(const Estimate& e, const std::string& about) {
  std::vector<HtmlTable::Head> heads{{"change", "", " class=\"l\""}};
  addBatchHeads(e, heads);
  heads.push_back({"buyer", "", " class=\"l\""});
  heads.push_back({"why", "", " class=\"l\""});
  HtmlTable table("Saved per piece: as drawn minus changed, each planned anew", heads);
  table.column(0, " class=\"wrap\"");
  for (std::size_t b = 0; b < e.batches.size(); ++b) table.column(1 + b, ofBatch(b));
  table.column(1 + e.batches.size(), " class=\"wrap\"");
  table.column(2 + e.batches.size(), " class=\"wrap\"");
  std::size_t count = 0;
  for (const estimate::Advice& a : e.advice) {
    const auto touches = [&](int d) { return e.details.list[static_cast<std::size_t>(d)].name == about; };
    if (!about.empty() && a.about != about && std::none_of(a.details.begin(), a.details.end(), touches)) continue;
    ++count;
    std::vector<std::string> cells{escaped(a.change)};
    for (std::size_t b = 0; b < e.batches.size(); ++b)
      cells.push_back(differenceCell(e, differenceAt(a.saves, b), a.why) + bossText(a, b));
    cells.push_back(buyerText(a));
    cells.push_back(escaped(a.why));
    std::string row;
    for (std::size_t d = 0; d < e.details.list.size(); ++d)
      if (e.details.list[d].name == a.about) row = attribute("data-d", std::to_string(d));
    table.row(cells, row);
  }
  return count == 0 ? "" : "<h3>What would make it cheaper</h3>\n" + table.markup();
}

}  // namespace chipledger::report
