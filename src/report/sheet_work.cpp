// Sections on the part, the blank and the work.
#include <chipledger/report/charts.hpp>
#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/wording.hpp>

#include "report/anchors.hpp"
#include "report/chart_parts.hpp"
#include "report/formula.hpp"
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

std::string waysWords(const estimate::OperationResult& o) {
  return "Of the likely minutes: cutting air " + minutesText(o.airTime, 2) + ", ways in " +
         minutesText(o.enterTime, 2) + ", low moves between cuts " + minutesText(o.linkTime, 2) +
         ", moves above the metal " + minutesText(o.rapidTime, 2) + ".";
}

// Where the life of a cutter goes: operation by operation.
std::string wornWhere(const Estimate& e, const std::string& cutter) {
  std::string out;
  for (const estimate::OperationResult& o : e.operations) {
    if (o.operation.cutter != cutter) continue;
    const cutting::Conditions& c = o.operation.conditions;
    out += "<li>" + escaped(o.operation.id) + ": " + minutesText(o.minutes.likely, 2) + " min in all, " +
           (c.lifeHoles > 0 ? trimmed(c.lifeHoles, 0) + " holes a cutter"
                            : "life " + trimmed(toMinutes(c.life), 1) + " min of cutting, " +
                                  trimmed(toMinutes(c.slotLife), 1) + " at full width") +
           ", wear " + moneyText(o.cutterMoney) + "</li>";
  }
  return "<ul>" + out + "</ul>";
}

std::string leftOpened(const Estimate& e, const Assumptions& values) {
  return opened(mmText(e.blank.leftBeforeNextStep),
                "How much the part may still grow in height on this plate: " + mmText(e.blank.step) + " \u2212 " +
                    mmText(e.blank.needed) + " mm needed.",
                values, "", thicknessAnchor("left"));
}

// What the plate must hold, as a sum whose figures open.
std::string thicknessSum(const Estimate& e, const Assumptions& values) {
  const double thin = toMm(e.blank.needed) - e.size_mm.z - 2 * toMm(e.blank.skimPerSide);
  if (e.size_mm.z <= 0 || toMm(e.blank.needed) <= 0) return "";
  std::string out = "<div class=\"note\">" +
                    opened(trimmed(e.size_mm.z), "Height of the solid in the file, across the plate.", {}, "",
                           thicknessAnchor("part")) +
                    " finished + 2 \u00d7 " +
                    opened(mmText(e.blank.skimPerSide), "Taken off each face of the plate to make it flat and clean.",
                           values, "", thicknessAnchor("skim")) +
                    " skim";
  if (thin > kNoThickness)
    out += " + " +
           opened(trimmed(thin), "A plate may be this much thinner than its nominal thickness.", values, "",
                  thicknessAnchor("thin")) +
           " for thin plate";
  return out + " = " + mmText(e.blank.needed) + " mm needed.</div>\n";
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

std::string plateOpened(const Estimate& e, const std::string& name) {
  return opened(mmText(e.blank.step),
                "The thinnest plate at or above " + mmText(e.blank.needed) + " mm = " + trimmed(e.size_mm.z) +
                    " finished + 2 \u00d7 " + mmText(e.blank.skimPerSide) + " skim + allowance for thin plate; " +
                    leftBeforeNextText(e.blank) + ".",
                startingWith(e.assumptions, {"plate", "blank"}), "", name);
}

std::string cutAwayOpened(const Estimate& e, VolumeCount v, const std::string& name) {
  if (e.blankVolume.um3 <= 0) return "";
  return opened(percentText(mm3Of(v) / mm3Of(e.blankVolume)),
                "Over the volume of the blank: " + cm3Fine(v) + " / " + cm3Fine(e.blankVolume) + " cm\u00b3.", {}, "",
                name);
}

std::string blankSection(const Estimate& e) {
  const Assumptions plate = startingWith(e.assumptions, {"plate", "blank"});
  HtmlTable table("Metal", {{"metal", ""}, {"volume", "cm\u00b3"}, {"of the blank", ""}});
  const auto share = [&](VolumeCount v) { return cutAwayOpened(e, v); };
  table.row({"blank",
             opened(cm3Fine(e.blankVolume),
                    sizeText(e.blank.size_mm) + ", on cells of " + trimmed(e.cell_um / 1000.0) + " mm."),
             share(e.blankVolume)});
  table.row(
      {"cut away",
       opened(cm3Fine(e.removed), "Counted cell by cell along the paths; blank = cut away + part + left standing.", {},
              "", metalAnchor("cut")),
       cutAwayOpened(e, e.removed, metalAnchor("share"))});
  table.row({"part", opened(cm3Fine(countVolume(e.partVolume)), "Exact volume of the solid in the file."),
             share(countVolume(e.partVolume))});
  table.row({"left standing",
             opened(cm3Fine(e.left), "Outside the part: tabs, allowance, corners that no cutter reaches."),
             share(e.left)});
  if (e.gouged.um3 > 0)
    table.row({"cut too deep", opened(cm3Fine(e.gouged), "Metal of the part that a path took."), share(e.gouged)});
  std::string out = "<div class=\"note\">" + plateOpened(e, thicknessAnchor("plate")) + " mm plate " +
                    escaped(e.material) + ", " + escaped(sizeText(e.blank.size_mm)) + ", " + fixed(e.blank.mass_g, 1) +
                    " g, " +
                    opened(moneyText(e.blank.price) + " " + e.currency,
                           "Mass of the blank \u00d7 price per kg \u00d7 (1 + "
                           "handling).",
                           plate, "", metalAnchor("price")) +
                    ". <strong>" +
                    (e.blank.listed ? leftOpened(e, plate) + " mm left before the next plate"
                                    : escaped(leftBeforeNextText(e.blank))) +
                    ".</strong></div>\n";
  out += "<div class=\"pair\"><div>" + table.markup() + "</div><div>" + thicknessChart(e) + thicknessSum(e, plate) +
         "</div></div>\n";
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
                 opened(fixed(mm3Of(o.operation.removed) / 1000, 3), "Booked to:", {}, "<ul>" + shares + "</ul>"),
                 opened(fixed(o.pathLength_mm / 1000, 2),
                        "Length of its cutting moves, ways into the metal among them; moves above it are not."),
                 opened(fixed(toMmPerMin(c.feed), 0), conditionsText(c), c.assumptions),
                 opened(minutesText(o.minutes.lower, 2), "Length over feed, no time lost at corners."),
                 opened(minutesText(o.minutes.likely, 2),
                        "The path at its feeds on this machine, corners rounded within its tolerance: " +
                            threeMinutes(o.minutes) +
                            ". Length over feed is the lower figure, a full stop at each corner the upper one.",
                        startingWith(e.assumptions, {"machine."})),
                 opened(minutesText(o.minutes.upper, 2), "The same path with a full stop at every corner."),
                 opened(minutesText(o.airTime, 2), waysWords(o)), escaped(o.operation.why)});
    }
    out += table.markup();
  }
  return out;
}

std::string cuttersSection(const Estimate& e) {
  std::vector<HtmlTable::Head> heads{
      {"cutter", ""},     {"kind", "", " class=\"l\""}, {"\u00d8", "mm"},      {"corner", "mm"},
      {"flutes", ""},     {"stick-out", "mm"},          {"price", e.currency}, {"from", "", " class=\"l\""},
      {"cutting", "min"}, {"used up", "of one"},        {"wear", e.currency}};
  for (std::size_t b = 0; b < e.batches.size(); ++b)
    heads.push_back({"buy for " + std::to_string(e.batches[b].size), countedIn(e), ofBatch(b)});
  heads.push_back({"source", "", " class=\"l no-print\""});  // on paper the values say it
  HtmlTable table("Cutters per piece, and whole ones to buy for each batch", heads);
  table.column(1, " class=\"l\"");
  for (std::size_t c = 2; c <= 6; ++c) table.column(c, " class=\"given\"");
  table.column(7, " class=\"l\"");
  for (std::size_t b = 0; b < e.batches.size(); ++b) table.column(11 + b, ofBatch(b));
  table.column(heads.size() - 1, " class=\"wrap no-print\"");
  const Assumptions values = allValues(e);
  for (const estimate::CutterUse& use : e.cutters) {
    const cutting::Cutter& c = use.cutter;
    const Assumptions lives = startingWith(values, {"cutter." + c.id + ".", "life", "chipping", "breakage"});
    const std::string share = trimmed(use.shareUsed, 4), whole = " \u00d7 (1 + " + trimmed(use.breakage, 3) + ")";
    std::vector<std::string> cells{
        escaped(c.id),
        escaped(cutting::word(c.kind)),
        mmText(c.diameter),
        mmText(c.cornerRadius),
        std::to_string(c.flutes),
        mmText(c.stickOut),
        moneyText(c.price),
        fromMark(c.from),
        opened(minutesText(use.cutting, 2), "Minutes in metal, all its operations:", {}, wornWhere(e, c.id)),
        opened(percentText(use.shareUsed),
               "Cutting minutes over the life of one cutter, operation by operation; holes over the holes of one:",
               lives, wornWhere(e, c.id)),
        opened(moneyText(use.money),
               "Share used up \u00d7 price of the cutter \u00d7 (1 + broken for each one worn "
               "out): " +
                   share + " \u00d7 " + moneyText(c.price) + whole + " = " + moneyText(use.money) + ".",
               lives)};
    for (std::size_t b = 0; b < e.batches.size(); ++b) {
      if (b >= use.buy.size()) {
        cells.push_back("");
        continue;
      }
      const cutting::CutterPurchase& buy = use.buy[b];
      cells.push_back(opened(std::to_string(buy.buy),
                             "Share used up \u00d7 pieces = " + share + " \u00d7 " +
                                 std::to_string(e.batches[b].size * e.piecesPerSet) + " = " + trimmed(buy.worn, 2) +
                                 " worn, " + trimmed(buy.broken, 2) + " broken, rounded up to whole ones, " +
                                 std::to_string(buy.spares) + " spare: " + std::to_string(buy.buy) + ", " +
                                 moneyText(Money{c.price.micros * buy.buy}) + " " + e.currency + ".",
                             startingWith(values, {"cutter." + c.id + ".", "breakage", "spare"})));
    }
    cells.push_back(escaped(c.source));
    table.row(cells);
  }
  return table.markup();
}

std::string minutesSection(const Estimate& e) {
  HtmlTable table("Minutes", {{"setup", ""},
                              {"lower", "min/piece"},
                              {"likely", "min/piece"},
                              {"upper", "min/piece"},
                              {"removed", "cm\u00b3"},
                              {"hands", "min/piece, bench in it"},
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
    list = "<ul>" + list + "</ul>";
    table.row({escaped(s.setup.name), opened(minutesText(s.machine.lower), "Path over feed, and the tool changes."),
               opened(minutesText(s.machine.likely), "Its operations and the tool changes between them.", {}, list,
                      setupAnchor(i)),
               opened(minutesText(s.machine.upper), "A full stop at every corner, and the tool changes."),
               opened(cm3Text(s.removed), "Counted cell by cell along its paths."),
               opened(minutesText(s.people),
                      "At the machine: load, clean, turn over, check, and the attended share of machine minutes.",
                      startingWith(e.assumptions, {"hands.", "rates.attended"})),
               opened(minutesText(s.perBatch, 0), "Once for each setup of a batch.",
                      startingWith(e.assumptions, {"hands.setup_per_batch"}))});
  }
  const TimeCount bench = e.ledger.hands() - hands;
  if (bench.ns > 0)
    table.row({"bench", "", "", "", "",
               opened(minutesText(bench),
                      "Deburr, finish, inspect, fit, and what its details ask for, at " +
                          countedText(e, e.batches[referenceBatch(e)].size) + ": hand work learns over the batch.",
                      startingWith(e.assumptions, {"bench."})),
               ""});
  const std::string sum = "The setups above, added up.";
  table.foot(
      {"all", opened(minutesText(all.lower), sum), opened(minutesText(all.likely), sum),
       opened(minutesText(all.upper), sum), opened(cm3Text(e.removed), sum),
       opened(minutesText(bench.ns > 0 ? e.ledger.hands() : hands),
              bench.ns > 0 ? "At the machine " + minutesText(hands) + " and at the bench " + minutesText(bench) + "."
                           : sum),
       opened(minutesText(perBatch, 0), sum)});
  return table.markup() +
         "<p class=\"note\">Lower: path over feed. Likely: corners rounded as the machine does it. Upper: a full stop "
         "at every corner.</p>\n";
}

}  // namespace chipledger::report
