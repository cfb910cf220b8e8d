// Sections on the part, the blank and the work.
#include <chipledger/report/charts.hpp>
#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/wording.hpp>

#include "report/sheet_parts.hpp"

namespace chipledger::report {

namespace {

using estimate::Estimate;

std::string sizeText(Vec3 size) {
  return trimmed(size.x, 2) + " \u00d7 " + trimmed(size.y, 2) + " \u00d7 " + trimmed(size.z, 2) + " mm";
}

// Tabs and a scratch are thousandths of a cubic centimetre.
std::string cm3Fine(VolumeCount volume) { return fixed(mm3Of(volume) / 1000.0, 4); }

std::string threeMinutes(const ledger::Minutes& m) {
  return minutesText(m.lower, 2) + " / " + minutesText(m.likely, 2) + " / " + minutesText(m.upper, 2) +
         " min (lower / likely / upper)";
}

std::string conditionsText(const cutting::Conditions& c) {
  std::string out = "Spindle " + fixed(c.spindle.rpm, 0) + " rpm, surface speed " + trimmed(toMPerMin(c.surface), 1) +
                    " m/min, feed " + fixed(toMmPerMin(c.feed), 0) + " mm/min, chip load " +
                    trimmed(toMm(c.chipLoad), 4) + " mm, steps " + trimmed(toMm(c.axialStep)) + " mm deep, " +
                    trimmed(toMm(c.radialStep)) + " mm wide";
  if (!c.heldBackBy.empty()) out += "; held back by " + c.heldBackBy;
  return out + ".";
}

}  // namespace

std::string drawnFacts(const Estimate& e) {
  std::string out = "<p class=\"note\">" + escaped(sizeText(e.size_mm)) + ", " + fixed(toMm3(e.partVolume) / 1000, 3) +
                    " cm\u00b3, " + fixed(toMm2(e.partArea), 0) + " mm\u00b2. " +
                    std::to_string(e.details.list.size()) + " details, " + std::to_string(e.faces) + " faces, " +
                    std::to_string(e.bodies) + (e.bodies == 1 ? " body" : " bodies") + " in the file; unit " +
                    (e.unit.empty() ? "not stated, read as mm" : escaped(e.unit)) + ". Reckoned on cells of " +
                    trimmed(e.cell_um / 1000.0) + " mm.</p>\n";
  return out;
}

std::string blankSection(const Estimate& e) {
  const Assumptions plate = startingWith(e.assumptions, {"plate", "blank"});
  HtmlTable table("Metal", {{"metal", ""}, {"volume", "cm\u00b3"}, {"of the blank", ""}});
  const auto share = [&](VolumeCount v) {
    return e.blankVolume.um3 > 0 ? percentText(mm3Of(v) / mm3Of(e.blankVolume)) : "";
  };
  table.row({"blank",
             opened(cm3Fine(e.blankVolume),
                    sizeText(e.blank.size_mm) + ", on cells of " + trimmed(e.cell_um / 1000.0) + " mm."),
             share(e.blankVolume)});
  table.row(
      {"cut away",
       opened(cm3Fine(e.removed), "Counted cell by cell along the paths; blank = cut away + part + left standing."),
       share(e.removed)});
  table.row({"part", opened(cm3Fine(countVolume(e.partVolume)), "Exact volume of the solid in the file."),
             share(countVolume(e.partVolume))});
  table.row({"left standing",
             opened(cm3Fine(e.left), "Outside the part: tabs, allowance, corners that no cutter reaches."),
             share(e.left)});
  if (e.gouged.um3 > 0) table.row({"cut too deep", cm3Fine(e.gouged), share(e.gouged)});
  std::string out =
      "<p class=\"note\">" +
      opened(mmText(e.blank.step) + " mm plate",
             "The thinnest step at or above " + mmText(e.blank.needed) + " mm = " + trimmed(e.size_mm.z) +
                 " finished + 2 \u00d7 " + mmText(e.blank.skimPerSide) + " skim + allowance for thin plate.",
             plate) +
      " " + escaped(e.material) + ", " + escaped(sizeText(e.blank.size_mm)) + ", " + fixed(e.blank.mass_g, 1) + " g, " +
      opened(moneyText(e.blank.price) + " " + e.currency,
             "Mass of the blank \u00d7 price per kg \u00d7 (1 + handling).", plate) +
      ". <strong>" + mmText(e.blank.leftBeforeNextStep) + " mm left before the next plate.</strong></p>\n";
  out += "<div class=\"pair\"><div>" + table.markup() + "</div><div>" + thicknessChart(e) + "</div></div>\n";
  return out;
}

std::string orderSection(const Estimate& e) {
  std::string out;
  for (std::size_t s = 0; s < e.setups.size(); ++s) {
    const estimate::SetupResult& r = e.setups[s];
    out += "<h3>" + std::to_string(s + 1) + ". " + escaped(r.setup.name) + "</h3>\n<p class=\"note\">Spindle along " +
           escaped(directionText(r.setup.direction)) + ", held by " + escaped(setup::word(r.setup.holding)) + ".</p>\n";
    HtmlTable table("Operations, minutes and metal per piece", {{"operation", ""},
                                                                {"cutter", "", " class=\"l\""},
                                                                {"removed", "cm\u00b3"},
                                                                {"path", "m"},
                                                                {"feed", "mm/min"},
                                                                {"lower", "min"},
                                                                {"likely", "min"},
                                                                {"upper", "min"},
                                                                {"air", "min"},
                                                                {"why this cutter", "", " class=\"l\""}});
    table.column(1, " class=\"l\"");
    table.column(9, " class=\"wrap\"");
    for (const estimate::OperationResult& o : e.operations) {
      if (o.operation.setup != static_cast<int>(s)) continue;
      const cutting::Conditions& c = o.operation.conditions;
      std::string shares;
      for (const path::Share& share : o.operation.shares) {
        const bool known = share.detail >= 0 && share.detail < static_cast<int>(e.details.list.size());
        shares +=
            "<li>" +
            (known ? escaped(e.details.list[static_cast<std::size_t>(share.detail)].name) : std::string("shared")) +
            " " + cm3Text(share.removed) + " cm\u00b3</li>";
      }
      table.row({escaped(o.operation.id), escaped(o.operation.cutter),
                 opened(cm3Text(o.operation.removed), "Booked to:", {}, "<ul>" + shares + "</ul>"),
                 fixed(o.pathLength_mm / 1000, 2),
                 opened(fixed(toMmPerMin(c.feed), 0), conditionsText(c), c.assumptions),
                 minutesText(o.minutes.lower, 2),
                 opened(minutesText(o.minutes.likely, 2),
                        "The path at its feeds on this machine, corners rounded within its tolerance: " +
                            threeMinutes(o.minutes) +
                            ". Length over feed is the lower figure, a full stop at each corner the upper one.",
                        startingWith(e.assumptions, {"machine."})),
                 minutesText(o.minutes.upper, 2), minutesText(o.airTime, 2), escaped(o.operation.why)});
    }
    out += table.markup();
  }
  return out;
}

std::string cuttersSection(const Estimate& e) {
  HtmlTable table("Cutters per piece", {{"cutter", ""},
                                        {"kind", "", " class=\"l\""},
                                        {"\u00d8", "mm"},
                                        {"corner", "mm"},
                                        {"flutes", ""},
                                        {"stick-out", "mm"},
                                        {"cutting", "min"},
                                        {"used up", "of one"},
                                        {"price", e.currency},
                                        {"wear", e.currency},
                                        {"buy for the batch", ""},
                                        {"from", "", " class=\"l\""},
                                        {"source", "", " class=\"l\""}});
  table.column(1, " class=\"l\"");
  table.column(11, " class=\"l\"");
  table.column(12, " class=\"wrap\"");
  const std::size_t reference = static_cast<std::size_t>(e.referenceBatch);
  const Assumptions values = allValues(e);
  for (const estimate::CutterUse& use : e.cutters) {
    const cutting::Cutter& c = use.cutter;
    table.row({escaped(c.id), escaped(cutting::word(c.kind)), mmText(c.diameter), mmText(c.cornerRadius),
               std::to_string(c.flutes), mmText(c.stickOut), minutesText(use.cutting),
               opened(percentText(use.shareUsed),
                      "Cutting minutes over the life of one cutter under these conditions, plus breakage.",
                      startingWith(values, {"cutter." + c.id + ".", "life", "chipping", "breakage"})),
               moneyText(c.price), opened(moneyText(use.money), "Share used up \u00d7 price of the cutter."),
               reference < use.buy.size() ? std::to_string(use.buy[reference].buy) : "", fromMark(c.from),
               escaped(c.source)});
  }
  return table.markup();
}

std::string minutesSection(const Estimate& e) {
  HtmlTable table("Minutes", {{"setup", ""},
                              {"lower", "min/piece"},
                              {"likely", "min/piece"},
                              {"upper", "min/piece"},
                              {"removed", "cm\u00b3"},
                              {"hands", "min/piece"},
                              {"setting up", "min/batch"}});
  ledger::Minutes all;
  TimeCount hands, perBatch;
  for (std::size_t i = 0; i < e.setups.size(); ++i) {
    const estimate::SetupResult& s = e.setups[i];
    all += s.machine;
    hands += s.people;
    perBatch += s.perBatch;
    std::string list;
    for (const estimate::OperationResult& o : e.operations) {
      if (o.operation.setup == static_cast<int>(i))
        list += "<li>" + escaped(o.operation.id) + " " + minutesText(o.minutes.likely, 2) + "</li>";
    }
    table.row({escaped(s.setup.name), minutesText(s.machine.lower),
               opened(minutesText(s.machine.likely), "Its operations and the tool changes between them.", {},
                      "<ul>" + list + "</ul>"),
               minutesText(s.machine.upper), cm3Text(s.removed),
               opened(minutesText(s.people), "Load, clean, turn over, check.", startingWith(e.assumptions, {"hands."})),
               opened(minutesText(s.perBatch, 0), "Once for each setup of a batch.",
                      startingWith(e.assumptions, {"hands.setup_per_batch"}))});
  }
  table.foot({"all", minutesText(all.lower), minutesText(all.likely), minutesText(all.upper), cm3Text(e.removed),
              minutesText(hands), minutesText(perBatch, 0)});
  return table.markup() +
         "<p class=\"note\">Lower: path over feed. Likely: corners rounded as the machine does it. Upper: a full stop "
         "at every corner.</p>\n";
}

}  // namespace chipledger::report
