#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/plan_svg.hpp>
#include <chipledger/report/sections.hpp>
#include <chipledger/report/sheet_html.hpp>
#include <chipledger/report/wording.hpp>

#include "report/sheet_parts.hpp"
#include "report/sheet_style.hpp"

namespace chipledger::report {

namespace {

using estimate::Estimate;

// A text that changes with the chosen batch: the values of all batches, separated by blanks.
std::string switching(const Estimate& e, Money estimate::BatchPrice::*which, bool rounded) {
  std::string all;
  for (const estimate::BatchPrice& b : e.batches) {
    if (!all.empty()) all += ' ';
    all += rounded ? moneyRounded(b.*which) : moneyText(b.*which);
  }
  const Money now = e.batches[referenceBatch(e)].*which;
  return "<span" + attribute("data-p", all) + ">" + (rounded ? moneyRounded(now) : moneyText(now)) + "</span>";
}

std::string batchChoice(const Estimate& e) {
  std::string out = "<select id=\"batch\" disabled aria-label=\"batch\">";
  for (std::size_t b = 0; b < e.batches.size(); ++b) {
    out += "<option" + attribute("value", std::to_string(b)) + (b == referenceBatch(e) ? " selected" : "") + ">" +
           std::to_string(e.batches[b].size) + "</option>";
  }
  return out + "</select>";
}

// The next after the dearest, each lighting its place in the drawing.
std::string runnersUp(const Estimate& e) {
  constexpr std::size_t kNamed = 6;
  std::string out;
  const std::vector<std::size_t> order = dearestFirst(e);
  for (std::size_t i = 1; i < std::min(kNamed, order.size()); ++i) {
    const estimate::DetailPrice& p = e.detailPrices[order[i]];
    const estimate::Difference* d = differenceAt(p, referenceBatch(e));
    if (d == nullptr) break;
    std::string all;
    for (const estimate::Difference& at : p.withMinusWithout) all += (all.empty() ? "" : " ") + moneyText(at.money);
    out += (out.empty() ? "<br>Then " : ", ") + std::string("<span class=\"next\"") +
           attribute("data-d", std::to_string(p.detail)) + ">" +
           escaped(e.details.list[static_cast<std::size_t>(p.detail)].name) + " <span" + attribute("data-p", all) +
           ">" + moneyText(d->money) + "</span></span>";
  }
  return out;
}

std::string answers(const Estimate& e) {
  const Summary s = summarise(e);
  std::string out = "<dl class=\"answers\">\n<dt>What it costs</dt><dd>";
  if (e.batches.empty()) {
    out += escaped(s.cost);
  } else {
    out += "<span class=\"cost\">" + switching(e, &estimate::BatchPrice::perPiece, true) + " " + escaped(e.currency) +
           " <small>a piece in a batch of " + batchChoice(e) + ", between " +
           switching(e, &estimate::BatchPrice::low, true) + " and " + switching(e, &estimate::BatchPrice::high, true) +
           "</small></span>";
    std::string heads, cells;
    for (std::size_t b = 0; b < e.batches.size(); ++b) {
      const std::string mark = attribute("data-b", std::to_string(b)) + (b == referenceBatch(e) ? " class=\"on\"" : "");
      heads += "<th scope=\"col\"" + mark + ">" + std::to_string(e.batches[b].size) + "</th>";
      cells += "<td" + mark + ">" + moneyRounded(e.batches[b].perPiece) + "</td>";
    }
    out += "<div class=\"scroll\"><table><tr><th scope=\"row\">pieces</th>" + heads + "</tr><tr><td>" +
           escaped(e.currency) + " a piece</td>" + cells + "</tr></table></div>";
  }
  out += "</dd>\n<dt>What makes it cost that</dt><dd>" + escaped(s.because) +
         "</dd>\n<dt>The dearest detail</dt><dd><strong>" + escaped(s.dearest) + "</strong>" + runnersUp(e) +
         "</dd>\n<dt>What to change</dt><dd>" + escaped(s.change) + "</dd>\n<dt>How sure it is</dt><dd>" +
         escaped(s.sure) + "</dd>\n</dl>\n";
  return out;
}

std::string section(const char* heading, const std::string& markup) {
  return "<section>\n<h2>" + std::string(heading) + "</h2>\n" + markup + "</section>\n";
}

}  // namespace

std::string sheetHtml(const Estimate& e, const part::Body& body, const SheetOptions& options) {
  std::string out =
      "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
      "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; "
      "script-src 'unsafe-inline'; img-src data:\">\n<title>" +
      escaped(partTitle(e)) + "</title>\n<style>" + kSheetStyle + "</style>\n</head>\n<body>\n<div class=\"sheet\">\n";
  out += "<header><h1>" + escaped(partTitle(e)) + "</h1><p>" + escaped(e.material) + "</p><p>" + escaped(options.date) +
         "</p><p class=\"quote\">" + kEstimateNotQuote + "</p></header>\n<main>\n<div class=\"first\">\n<div>\n" +
         answers(e) + "</div>\n<section>\n<h2>" + kWhatYouDrew + "</h2>\n<div class=\"plan\">" + planSvg(e, body) +
         "</div>\n" + drawnFacts(e) + "</section>\n</div>\n";
  out += section(kTheBlank, blankSection(e)) + section(kOrderOfWork, orderSection(e)) +
         section(kCutters, cuttersSection(e)) + section(kMinutes, minutesSection(e)) +
         section(kPriceByDetail, detailSection(e)) + section(kSharedCost, sharedSection(e)) +
         section(kByBatch, batchSection(e)) + section(kDoubts, doubtsSection(e)) +
         section(kStillToAnswer, questionsSection(e)) + section(kCautions, cautionsSection(e));
  out += "<section id=\"values\">\n<h2>Values</h2>\n" + assumptionsTable(e) + "</section>\n</main>\n";
  out += "<footer><span>" + escaped(options.date) + "</span><span>chipledger " + escaped(options.version) +
         "</span><span class=\"print\">part " + escaped(e.fingerprint) + "</span><span>" + kEstimateNotQuote +
         "</span></footer>\n";
  return out + "</div>\n<script>" + kSheetScript + "</script>\n</body>\n</html>\n";
}

}  // namespace chipledger::report
