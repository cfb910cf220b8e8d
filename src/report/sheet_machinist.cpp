#include <chipledger/report/cautions.hpp>
#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/plan_svg.hpp>
#include <chipledger/report/sections.hpp>
#include <chipledger/report/wording.hpp>

#include "report/page.hpp"
#include "report/sheet_parts.hpp"
#include "report/sheet_readers.hpp"

#include <algorithm>

namespace chipledger::report {

namespace {

using estimate::Estimate;

std::string fill(const std::string& words) { return words + " <span class=\"fill\">&nbsp;</span>"; }

std::string size(Vec3 mm) {
  return trimmed(mm.x, 2) + " \u00d7 " + trimmed(mm.y, 2) + " \u00d7 " + trimmed(mm.z, 2) + " mm";
}

std::string blank(const Estimate& e) {
  return "<p class=\"note\"><strong>" + mmText(e.blank.step) + " mm plate</strong>, " + escaped(e.material) + ", " +
         escaped(size(e.blank.size_mm)) + ", " + fixed(e.blank.mass_g, 1) + " g. Skim " + mmText(e.blank.skimPerSide) +
         " mm a side. Cut away " + cm3Text(e.removed) + " cm\u00b3.</p>\n<p class=\"note\">" + fill("Heat number") +
         " " + fill("thickness measured") + " " + fill("bow as delivered") + "</p>\n";
}

std::string orderOfWork(const Estimate& e) {
  std::string out;
  for (std::size_t s = 0; s < e.setups.size(); ++s) {
    const estimate::SetupResult& r = e.setups[s];
    out += "<h3>" + std::to_string(s + 1) + ". " + escaped(r.setup.name) + "</h3>\n<p class=\"note\">Spindle along " +
           escaped(directionText(r.setup.direction)) + ", held by " + escaped(setup::word(r.setup.holding)) +
           ". Setting up " + minutesText(r.perBatch, 0) + " min a batch, " + fill("real") +
           "; load, turn over, check " + minutesText(r.people) + " min a piece, " + fill("real") + "</p>\n";
    HtmlTable table("Operations in order, minutes per piece", {{"operation", ""},
                                                               {"cutter", "", " class=\"l\""},
                                                               {"steps", "mm deep"},
                                                               {"path", "m"},
                                                               {"expected", "min"},
                                                               {"at most", "min"},
                                                               {"real", "min"},
                                                               {"pieces", ""},
                                                               {"what happened", "", " class=\"l\""}});
    table.column(1, " class=\"l\"");
    for (const std::size_t c : {6U, 7U, 8U}) table.column(c, " class=\"blank\"");
    for (const estimate::OperationResult& o : e.operations) {
      if (o.operation.setup != static_cast<int>(s)) continue;
      table.row({escaped(o.operation.id), escaped(o.operation.cutter), mmText(o.operation.conditions.axialStep),
                 fixed(o.pathLength_mm / 1000, 2), minutesText(o.minutes.likely, 2), minutesText(o.minutes.upper, 2),
                 "", "", ""});
    }
    table.foot({"all", "", "", "", minutesText(r.machine.likely, 2), minutesText(r.machine.upper, 2), "", "", ""});
    out += table.markup() + "<p class=\"note\">" + fill("Bow after unclamping") + " mm</p>\n";
  }
  return out;
}

std::string cutters(const Estimate& e) {
  HtmlTable table("Cutters to set up", {{"cutter", ""},
                                        {"kind", "", " class=\"l\""},
                                        {"\u00d8", "mm"},
                                        {"corner", "mm"},
                                        {"flutes", ""},
                                        {"flute length", "mm"},
                                        {"stick-out", "mm"},
                                        {"in metal", "min/piece"},
                                        {"pieces per cutter", ""},
                                        {"pocket", ""},
                                        {"changed after", "pieces"}});
  table.column(1, " class=\"l\"");
  for (const std::size_t c : {9U, 10U}) table.column(c, " class=\"blank\"");
  for (const estimate::CutterUse& use : e.cutters) {
    const cutting::Cutter& c = use.cutter;
    table.row({escaped(c.id), escaped(cutting::word(c.kind)), mmText(c.diameter), mmText(c.cornerRadius),
               std::to_string(c.flutes), mmText(c.fluteLength), mmText(c.stickOut), minutesText(use.cutting, 2),
               use.shareUsed > 0 ? fixed(1 / use.shareUsed, 0) : "", "", ""});
  }
  return table.markup();
}

std::string tightOnes(const Estimate& e) {
  std::string rows;
  for (const detail::Detail& d : e.details.list)
    if (!d.hint.empty() || !d.thread.empty())
      rows += "<li>" + escaped(d.name) + ": " + escaped(dimensionsText(d.dimensions)) +
              (d.thread.empty() ? "" : ", " + escaped(d.thread)) + (d.hint.empty() ? "" : ", " + escaped(d.hint)) +
              "</li>\n";
  return rows.empty() ? "" : "<h3>Named in the file</h3>\n<ul class=\"caution\">\n" + rows + "</ul>\n";
}

std::string losses() {
  HtmlTable table("Pieces lost", {{"cause", ""}, {"pieces", ""}, {"at which operation", "", " class=\"l\""}});
  table.column(1, " class=\"blank\"");
  table.column(2, " class=\"blank\"");
  for (const char* cause :
       {"bow over the limit", "bore too large", "broken tap", "island clipped", "gouge in sight", "other"})
    table.row({cause, "", ""});
  return table.markup();
}

}  // namespace

std::string machinistSheet(const Estimate& e, const part::Body& body, const SheetOptions& options) {
  ledger::Minutes all;
  TimeCount hands;
  for (const estimate::SetupResult& s : e.setups) {
    all += s.machine;
    hands += s.people;
  }
  Page page;
  page.title = partTitle(e) + ", for the machinist";
  page.facts = {e.material, "age: " + std::string(word(ageOf(e, options.age)))};
  page.foot = {"part " + e.fingerprint};
  page.main = "<div class=\"first\">\n<div>\n" + section(kTheBlank, blank(e)) +
              section(kMinutes, "<p class=\"note\">Machine " + minutesText(all.likely) + " min a piece (" +
                                    minutesText(all.lower) + " to " + minutesText(all.upper) + "), hands at it " +
                                    minutesText(hands) + " min.</p>\n<p class=\"note\">" + fill("Real, first piece") +
                                    " " + fill("tenth piece") + "</p>\n" + losses()) +
              "</div>\n<section>\n<h2>" + kWhatYouDrew + "</h2>\n<div class=\"plan\" id=\"plan\">" +
              planSvg(e, body, {std::nullopt, false, true}) + "</div>\n" + drawnFacts(e) + tightOnes(e) +
              "</section>\n</div>\n";
  page.main += section(kOrderOfWork, orderOfWork(e)) + section(kCutters, cutters(e)) +
               section(kStillToAnswer, questionsSection(e)) + section(kCautions, cautionsSection(e));
  return pageHtml(page, options);
}

}  // namespace chipledger::report
