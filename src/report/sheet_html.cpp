#include <chipledger/report/markup.hpp>
#include <chipledger/report/minutes_chart.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/plan_svg.hpp>
#include <chipledger/report/sections.hpp>
#include <chipledger/report/sheet_html.hpp>
#include <chipledger/report/solid_view.hpp>
#include <chipledger/report/wording.hpp>

#include "report/page.hpp"
#include "report/sheet_parts.hpp"
#include "report/sheet_readers.hpp"

namespace chipledger::report {

namespace {

using estimate::Estimate;

std::string drawing(const Estimate& e, const part::Body& body) {
  const std::string solid = solidView(e, body);
  return "<section>\n<h2>" + std::string(kWhatYouDrew) + "</h2>\n" + solid + "<div class=\"plan\" id=\"plan\">" +
         planSvg(e, body, {std::nullopt, true, true, [&](std::size_t d) { return labelAnchor(e, d); }}) + "</div>\n" +
         (solid.empty() ? "" : solidKey(e)) + cutAwayMarkup(e) + drawnFacts(e) + "</section>\n";
}

}  // namespace

const char* word(Reader reader) {
  switch (reader) {
    case Reader::Owner:
      return "owner";
    case Reader::Machinist:
      return "machinist";
    case Reader::Client:
      return "client";
  }
  return "owner";
}

Result<Reader> readReader(const std::string& text) {
  for (const Reader reader : {Reader::Owner, Reader::Machinist, Reader::Client})
    if (text == word(reader)) return reader;
  return fault(FaultCode::Usage, "--sheet " + text, "There is no sheet for this reader.",
               "There are: owner, machinist, client.");
}

std::string sheetHtml(const Estimate& e, const part::Body& body, const SheetOptions& options) {
  if (options.reader == Reader::Machinist) return machinistSheet(e, body, options);
  if (options.reader == Reader::Client) return clientSheet(e, body, options);
  Page page;
  page.title = partTitle(e);
  page.facts = {e.material, ageWords(e, options)};
  page.foot = {"part " + e.fingerprint};
  if (!options.shop.empty()) page.foot.push_back("shop " + options.shop);
  page.turns = true;
  const std::string ladder = ladderMarkup(e);
  page.main = "<div class=\"first" + std::string(ladder.empty() ? "" : " three") + "\">\n<div>\n" + answersMarkup(e) +
              "</div>\n" + drawing(e, body) + ladder + "</div>\n";
  page.main += section(kTheBlank, blankSection(e)) + section(kOrderOfWork, orderSection(e)) +
               section(kCutters, cuttersSection(e)) +
               section(kMinutes, minutesSection(e) + minutesCharts(e, body, options.maps)) +
               section(kPriceByDetail, detailSection(e)) + section(kSharedCost, sharedSection(e)) +
               section(kByBatch, batchSection(e)) + section(kDoubts, doubtsSection(e)) +
               section(kStillToAnswer, questionsSection(e)) + section(kCautions, cautionsSection(e));
  page.main += valuesSection({{"", allValues(e)}});
  return pageHtml(page, options);
}

}  // namespace chipledger::report
