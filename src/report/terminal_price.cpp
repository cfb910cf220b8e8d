#include <chipledger/report/cautions.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/sections.hpp>
#include <chipledger/report/terminal.hpp>
#include <chipledger/report/wording.hpp>

#include "report/terminal_parts.hpp"

#include <algorithm>

namespace chipledger::report {

namespace {

using estimate::Estimate;

std::string sizeText(Vec3 size) { return trimmed(size.x, 2) + " x " + trimmed(size.y, 2) + " x " + trimmed(size.z, 2); }

// The first screen: price by batch and the five answers.
std::string inShort(const Estimate& e, const TerminalOptions& options) {
  std::string out = titleText(partTitle(e), e.material + ", " + kEstimateNotQuote, options);
  std::vector<Column> columns{{countedIn(e), "", Align::Left}};
  for (const estimate::BatchPrice& b : e.batches) columns.push_back({std::to_string(b.size), e.currency});
  Table table(columns);
  std::vector<std::string> likely{"each"}, low{"low"}, high{"high"};
  for (const estimate::BatchPrice& b : e.batches) {
    likely.push_back(moneyText(b.perPiece));
    low.push_back(moneyText(b.low));
    high.push_back(moneyText(b.high));
  }
  table.add(likely, Tone::Strong);
  table.add(low, Tone::Faint);
  table.add(high, Tone::Faint);
  if (e.piecesPerSet > 1) {
    std::vector<std::string> set{"a set of " + std::to_string(e.piecesPerSet)};
    for (const estimate::BatchPrice& b : e.batches) set.push_back(moneyText(Money{b.perPiece.micros * e.piecesPerSet}));
    table.add(set, Tone::Strong);
  }
  out += table.text(options) + '\n';
  const Summary s = summarise(e);
  out += labelled("what it costs", s.cost, options);
  out += labelled("what makes it cost", s.because, options);
  out += labelled("dearest detail", s.dearest, options, Tone::Strong);
  out += labelled("what to change", s.change, options);
  out += labelled("how sure", s.sure, options);
  return out;
}

std::string drawn(const Estimate& e, const TerminalOptions& options) {
  std::string out;
  out += labelled("size", sizeText(e.size_mm) + " mm", options);
  out +=
      labelled("volume", fixed(toMm3(e.partVolume), 1) + " mm\u00b3, area " + fixed(toMm2(e.partArea), 0) + " mm\u00b2",
               options);
  out += labelled("file",
                  e.file + ", unit " + (e.unit.empty() ? "not stated (read as mm)" : e.unit) + ", bodies " +
                      std::to_string(e.bodies) + ", faces " + std::to_string(e.faces) +
                      (e.quantity > 1 ? ", " + std::to_string(e.quantity) + " alike" : ""),
                  options);
  out += labelled("fingerprint", e.fingerprint, options);
  out += labelled("details", kindsText(e.details), options);
  out += labelled("reckoned on", "cells of " + trimmed(e.cell_um / 1000.0) + " mm", options);
  return out;
}

// Tabs and a scratch are thousandths of a cubic centimetre.
std::string cm3Fine(VolumeCount volume) { return fixed(mm3Of(volume) / 1000.0, 4); }

std::string blank(const Estimate& e, const TerminalOptions& options) {
  std::string out;
  out += labelled("plate",
                  mmText(e.blank.step) + " mm " + e.material + "; needed " + mmText(e.blank.needed) + " (" +
                      trimmed(e.size_mm.z) + " finished, " + mmText(e.blank.skimPerSide) +
                      " skim a side, the rest for thin plate)",
                  options);
  out += labelled("left before next", leftBeforeNextText(e.blank), options, Tone::Strong);
  out += labelled("blank",
                  sizeText(e.blank.size_mm) + " mm, " + fixed(toCm3(e.blank.volume), 2) + " cm\u00b3, " +
                      fixed(e.blank.mass_g, 1) + " g, " + moneyText(e.blank.price) + " " + e.currency,
                  options);
  const Assumptions from = startingWith(e.assumptions, {"plate", "blank"});
  if (!from.empty()) out += labelled("from", fromWords(from), options);
  Table table({{"metal", "", Align::Left}, {"volume", "cm\u00b3"}, {"of the blank", ""}});
  const auto row = [&](const std::string& name, VolumeCount volume, Tone tone = Tone::Plain) {
    table.add({name, cm3Fine(volume), e.blankVolume.um3 > 0 ? percentText(mm3Of(volume) / mm3Of(e.blankVolume)) : ""},
              tone);
  };
  row("blank", e.blankVolume);
  row("cut away", e.removed, Tone::Strong);
  row("part", countVolume(e.partVolume));
  row("left standing", e.left);
  if (e.gouged.um3 > 0) row("cut too deep", e.gouged, Tone::Alert);
  out += '\n' + table.text(options);
  return out;
}

/// Which limit held each cut back, one line for all that met the same one.
std::string heldBack(const Estimate& e, int setup, const TerminalOptions& options) {
  std::vector<std::pair<std::string, std::string>> limits;
  for (const estimate::OperationResult& o : e.operations) {
    const std::string& held = o.operation.conditions.heldBackBy;
    if (o.operation.setup != setup || held.empty()) continue;
    const auto same = std::find_if(limits.begin(), limits.end(), [&](const auto& l) { return l.first == held; });
    if (same == limits.end())
      limits.emplace_back(held, o.operation.id);
    else
      same->second += ", " + o.operation.id;
  }
  std::string out;
  for (const auto& [held, operations] : limits)
    out += paragraph("held back by " + plain(held) + ": " + plain(operations), options, 2, 4);
  return out;
}

/// Where the time of a setup goes that is no cutting.
std::string waysText(const Estimate& e, int setup) {
  TimeCount likely, air, enter, link, rapid;
  for (const estimate::OperationResult& o : e.operations) {
    if (o.operation.setup != setup) continue;
    likely += o.minutes.likely;
    air += o.airTime;
    enter += o.enterTime;
    link += o.linkTime;
    rapid += o.rapidTime;
  }
  return "Of " + minutesText(likely, 2) + " min: in air " + minutesText(air, 2) + ", ways in " + minutesText(enter, 2) +
         ", links " + minutesText(link, 2) + ", retracts and rapids " + minutesText(rapid, 2) + ".";
}

std::string order(const Estimate& e, const TerminalOptions& options) {
  std::string out;
  for (std::size_t s = 0; s < e.setups.size(); ++s) {
    const estimate::SetupResult& setup = e.setups[s];
    if (s > 0) out += '\n';
    out += labelled(std::to_string(s + 1) + "  " + plain(setup.setup.name),
                    "spindle along " + directionText(setup.setup.direction) + ", held by " +
                        setup::word(setup.setup.holding) + "; hands at it " + minutesText(setup.people) +
                        " min a piece, setting up " + minutesText(setup.perBatch, 0) + " min a batch",
                    options, Tone::Strong);
    Table table({{"operation", "", Align::Left},
                 {"cutter", "", Align::Left, 3},
                 {"removed", "cm\u00b3", Align::Right, 2},
                 {"path", "m", Align::Right, 5},
                 {"feed", "mm/min", Align::Right, 4},
                 {"lower", "min", Align::Right, 1},
                 {"likely", "min"},
                 {"upper", "min", Align::Right, 1},
                 {"from", "", Align::Left, 6},
                 {"why", "", Align::Left, 7, true}});
    bool any = false;
    for (const estimate::OperationResult& o : e.operations) {
      if (o.operation.setup != static_cast<int>(s)) continue;
      any = true;
      table.add({plain(o.operation.id), plain(o.operation.cutter), cm3Text(o.operation.removed),
                 fixed(o.pathLength_mm / 1000.0, 2), fixed(toMmPerMin(o.operation.conditions.feed), 0),
                 minutesText(o.minutes.lower, 2), minutesText(o.minutes.likely, 2), minutesText(o.minutes.upper, 2),
                 fromLetters(o.operation.conditions.assumptions), plain(o.operation.why)});
    }
    out += any ? table.text(options) : paragraph("No cutting in this setup.", options);
    out += heldBack(e, static_cast<int>(s), options);
    if (any) out += paragraph(waysText(e, static_cast<int>(s)), options);
  }
  return out;
}

std::string cutters(const Estimate& e, const TerminalOptions& options) {
  const std::size_t reference = referenceBatch(e);
  const std::string batch = reference < e.batches.size() ? countedText(e, e.batches[reference].size) : "";
  Table table({{"cutter", "", Align::Left},
               {"kind", "", Align::Left, 2},
               {"\u00d8", "mm"},
               {"corner", "mm", Align::Right, 3},
               {"flutes", "", Align::Right, 5},
               {"stick-out", "mm", Align::Right, 4},
               {"cutting", "min/piece"},
               {"used up", "of one", Align::Right, 1},
               {"price", e.currency, Align::Right, 3},
               {"wear", e.currency + "/piece"},
               {"buy", batch.empty() ? "" : "for " + batch, Align::Right, 2},
               {"from", "", Align::Left, 1},
               {"source", "", Align::Left, 6, true}});
  for (const estimate::CutterUse& use : e.cutters) {
    const cutting::Cutter& c = use.cutter;
    table.add({plain(c.id), cutting::word(c.kind), mmText(c.diameter), mmText(c.cornerRadius), std::to_string(c.flutes),
               mmText(c.stickOut), minutesText(use.cutting), percentText(use.shareUsed), moneyText(c.price),
               moneyText(use.money), reference < use.buy.size() ? std::to_string(use.buy[reference].buy) : "",
               word(c.from), plain(c.source)});
  }
  return table.text(options);
}

std::string minutesSection(const Estimate& e, const TerminalOptions& options) {
  Table table({{"setup", "", Align::Left},
               {"lower", "min/piece"},
               {"likely", "min/piece"},
               {"upper", "min/piece"},
               {"removed", "cm\u00b3", Align::Right, 2},
               {"hands", "min/piece", Align::Right, 1},
               {"setting up", "min/batch", Align::Right, 1}});
  ledger::Minutes all;
  TimeCount hands, perBatch;
  for (const estimate::SetupResult& s : e.setups) {
    all += s.machine;
    hands += s.people;
    perBatch += s.perBatch;
    table.add({plain(s.setup.name), minutesText(s.machine.lower), minutesText(s.machine.likely),
               minutesText(s.machine.upper), cm3Text(s.removed), minutesText(s.people), minutesText(s.perBatch, 0)});
  }
  const TimeCount bench = e.ledger.hands() - hands;
  if (bench.ns > 0) table.add({"bench", "", "", "", "", minutesText(bench), ""});
  table.rule();
  table.add({"all", minutesText(all.lower), minutesText(all.likely), minutesText(all.upper), cm3Text(e.removed),
             minutesText(bench.ns > 0 ? e.ledger.hands() : hands), minutesText(perBatch, 0)},
            Tone::Strong);
  return table.text(options) + paragraph(
                                   "lower: path over feed. likely: corners rounded as the machine does it. upper: a "
                                   "full stop at every corner.",
                                   options);
}

std::string byDetail(const Estimate& e, const TerminalOptions& options) {
  const std::size_t reference = referenceBatch(e);
  std::vector<Column> columns{{"detail", "", Align::Left}, {"dimensions", "mm", Align::Left, 8}};
  // The reference batch stays on the narrowest screen; the smallest and largest go last of the others.
  for (std::size_t b = 0; b < e.batches.size(); ++b) {
    const bool end = b == 0 || b + 1 == e.batches.size();
    columns.push_back({batchHead(e.batches[b].size), e.currency, Align::Right, b == reference ? 0 : (end ? 2 : 3)});
  }
  columns.push_back({"machine", "min more", Align::Right, 1});
  columns.push_back({"booked", "cm\u00b3", Align::Right, 5});
  columns.push_back({"booked", "min", Align::Right, 4});
  columns.push_back({"booked", e.currency, Align::Right, 4});
  Table table(columns);
  for (const std::size_t g : groupsDearestFirst(e)) {
    const estimate::GroupPrice& group = e.groups[g];
    std::vector<std::string> cells{plain(group.name), std::to_string(group.details.size()) + " details together"};
    for (std::size_t b = 0; b < e.batches.size(); ++b) {
      const estimate::Difference* difference = differenceAt(group.withMinusWithout, b);
      cells.push_back(difference == nullptr ? "-" : moneyText(difference->money));
    }
    table.add(cells);
    table.note(plain(group.why));
  }
  if (!e.groups.empty()) table.rule();
  bool first = true;
  for (const std::size_t i : dearestFirst(e)) {
    const estimate::DetailPrice& p = e.detailPrices[i];
    const detail::Detail& d = e.details.list[static_cast<std::size_t>(p.detail)];
    std::vector<std::string> cells{plain(d.name), dimensionsText(d.dimensions)};
    for (std::size_t b = 0; b < e.batches.size(); ++b) {
      const estimate::Difference* difference = differenceAt(p, b);
      cells.push_back(difference == nullptr ? "-" : moneyText(difference->money));
    }
    cells.push_back(p.withMinusWithout.empty() ? "-" : withSign(minutesOf(p.machineDifference), 1));
    cells.push_back(cm3Text(p.removed));
    cells.push_back(minutesText(p.minutes.likely));
    cells.push_back(moneyText(p.booked));
    table.add(cells, first && !p.withMinusWithout.empty() ? Tone::Strong : Tone::Plain);
    table.note(plain(p.why));
    first = false;
  }
  return paragraph(
             "The price of a detail: the whole estimate with it minus the whole estimate of the same part without it, "
             "planned anew. Booked: what the cutters spent on its own metal; not the same thing.",
             options) +
         table.text(options) + adviceText(e, "", options);
}

std::string sharedCost(const Estimate& e, const TerminalOptions& options) {
  std::vector<Column> columns{{"", "", Align::Left}};
  for (const estimate::Difference& s : e.shared) columns.push_back({batchHead(s.size), e.currency});
  Table table(columns);
  std::vector<std::string> cells{"shared"};
  for (const estimate::Difference& s : e.shared) cells.push_back(moneyText(s.money));
  table.add(cells, Tone::Strong);
  return paragraph(
             "What no single detail explains: the price minus the sum of the detail prices. Details lean on each "
             "other, "
             "so the sum is not the whole.",
             options) +
         table.text(options);
}

std::string byBatch(const Estimate& e, const TerminalOptions& options) {
  std::vector<Column> columns{{"line", "per piece", Align::Left}};
  for (const estimate::BatchPrice& b : e.batches) columns.push_back({batchHead(b.size), e.currency});
  columns.push_back({"from", "", Align::Left, 1});
  Table table(columns);
  const Assumptions values = allValues(e);
  for (std::size_t l = 0; l < estimate::kLineCount; ++l) {
    std::vector<std::string> cells{ledger::word(ledger::kLines[l])};
    for (const estimate::BatchPrice& b : e.batches) cells.push_back(moneyText(b.lines[l]));
    cells.push_back(fromLetters(inputsOf(ledger::kLines[l], values)));
    table.add(cells);
  }
  table.rule();
  std::vector<std::string> each{"each"}, low{"low"}, high{"high"};
  for (const estimate::BatchPrice& b : e.batches) {
    each.push_back(moneyText(b.perPiece));
    low.push_back(moneyText(b.low));
    high.push_back(moneyText(b.high));
  }
  table.add(each, Tone::Strong);
  table.add(low, Tone::Faint);
  table.add(high, Tone::Faint);
  return table.text(options) + paragraph("from: " + fromKey() + ".", options);
}

std::string doubts(const Estimate& e, const TerminalOptions& options) {
  std::string out;
  if (!e.doubts.empty()) {
    Table table({{"doubt", "", Align::Left, 0, true},
                 {"range", "", Align::Left, 1},
                 {"low", e.currency},
                 {"high", e.currency}});
    for (const estimate::Doubt& d : e.doubts)
      table.add({plain(d.name), plain(d.range), moneyText(d.low), moneyText(d.high)});
    out += table.text(options);
  }
  if (!e.swings.empty()) {
    out += '\n' + paragraph("A fifth less and more of each, a piece:", options);
    Table table({{"of", "", Align::Left}, {"low", e.currency}, {"high", e.currency}});
    for (const estimate::Doubt& d : e.swings) table.add({plain(d.name), moneyText(d.low), moneyText(d.high)});
    out += table.text(options) + '\n';
  }
  const Notes notes = allNotes(e);
  out += notesText(notes, NoteSeverity::LeftOut, "Left out: ", options);
  out += notesText(notes, NoteSeverity::Doubt, "", options);
  out += notesText(notes, NoteSeverity::Info, "", options);
  const Assumptions values = guessedFirst(allValues(e));
  const auto guessed = static_cast<std::size_t>(
      std::count_if(values.begin(), values.end(), [](const Assumption& a) { return a.from == From::Guessed; }));
  if (!values.empty()) out += '\n' + labelled("stands on", fromWords(values), options);
  if (guessed > 0) {
    constexpr std::size_t kShown = 12;  // the rest is for `shop` and the HTML sheet
    out += paragraph("Guessed, to be replaced by the shop's own first:", options);
    Table table(
        {{"value", "", Align::Left, 0, true}, {"is", ""}, {"unit", "", Align::Left}, {"source", "", Align::Left, 1}});
    for (std::size_t i = 0; i < std::min(kShown, guessed); ++i) {
      const Assumption& a = values[i];
      table.add({plain(a.name), trimmed(a.value, 4), plain(a.unit), plain(a.source)});
    }
    out += table.text(options);
    if (guessed > kShown) {
      out += paragraph(
          "and " + std::to_string(guessed - kShown) + " more: `chipledger shop` lists every value with its source.",
          options);
    }
  }
  return out.empty() ? paragraph("None.", options) : out;
}

std::string cautions(const Estimate& e, const TerminalOptions& options) {
  std::string out;
  for (const std::string& caution : cautionsFor(e)) out += paragraph("- " + plain(caution), options, 2, 2);
  return out;
}

}  // namespace

std::string renderPrice(const Estimate& e, const TerminalOptions& options) {
  std::string out = inShort(e, options);
  const auto section = [&](const char* heading, const std::string& text) {
    out += headingText(heading, options) + text;
  };
  section(kWhatYouDrew, drawn(e, options));
  section(kTheBlank, blank(e, options));
  section(kOrderOfWork, order(e, options));
  section(kCutters, cutters(e, options));
  section(kMinutes, minutesSection(e, options));
  section(kPriceByDetail, byDetail(e, options));
  section(kSharedCost, sharedCost(e, options));
  section(kByBatch, byBatch(e, options));
  section(kDoubts, doubts(e, options));
  section(kStillToAnswer, questionsText(e.details.questions, options));
  section(kCautions, cautions(e, options));
  return out;
}

}  // namespace chipledger::report
