#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/plan_svg.hpp>
#include <chipledger/report/sections.hpp>
#include <chipledger/report/sheet_html.hpp>
#include <chipledger/report/solid_view.hpp>
#include <chipledger/report/wording.hpp>

#include "report/page.hpp"
#include "report/sheet_parts.hpp"

namespace chipledger::report {

namespace {

using estimate::Estimate;

std::string drawing(const Estimate& e, const part::Body& body) {
  const std::string solid = solidView(e, body);
  return "<section>\n<h2>" + std::string(kWhatYouDrew) + "</h2>\n" + solid + "<div class=\"plan\" id=\"plan\">" +
         planSvg(e, body) + "</div>\n" + (solid.empty() ? "" : solidKey(e)) + cutAwayMarkup(e) + drawnFacts(e) +
         "</section>\n";
}

}  // namespace

std::string sheetHtml(const Estimate& e, const part::Body& body, const SheetOptions& options) {
  Page page;
  page.title = partTitle(e);
  page.facts = {e.material, ageWord(e) + (bandText(e).empty() ? "" : ", " + bandText(e))};
  page.foot = {"part " + e.fingerprint};
  if (!options.shop.empty()) page.foot.push_back("shop " + options.shop);
  page.turns = true;
  const std::string ladder = ladderMarkup(e);
  page.main = "<div class=\"first" + std::string(ladder.empty() ? "" : " three") + "\">\n<div>\n" + answersMarkup(e) +
              "</div>\n" + drawing(e, body) + ladder + "</div>\n";
  page.main += section(kTheBlank, blankSection(e)) + section(kOrderOfWork, orderSection(e)) +
               section(kCutters, cuttersSection(e)) + section(kMinutes, minutesSection(e)) +
               section(kPriceByDetail, detailSection(e)) + section(kSharedCost, sharedSection(e)) +
               section(kByBatch, batchSection(e)) + section(kDoubts, doubtsSection(e)) +
               section(kStillToAnswer, questionsSection(e)) + section(kCautions, cautionsSection(e));
  page.main += "<section id=\"values\">\n<h2>Values</h2>\n" + assumptionsTable(e) + "</section>\n";
  return pageHtml(page, options);
}

}  // namespace chipledger::report
