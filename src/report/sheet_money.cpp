// Sections on money, doubt and what is still open.
#include <chipledger/report/cautions.hpp>
#include <chipledger/report/charts.hpp>
#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/wording.hpp>

#include "report/sheet_parts.hpp"

#include <algorithm>

namespace chipledger::report {

namespace {

using estimate::Estimate;

std::string ofBatch(std::size_t b) { return attribute("data-b", std::to_string(b)); }

void addBatchHeads(const Estimate& e, std::vector<HtmlTable::Head>& heads) {
  for (std::size_t b = 0; b < e.batches.size(); ++b)
    heads.push_back({"at " + std::to_string(e.batches[b].size), e.currency, ofBatch(b)});
}

std::string differenceCell(const Estimate& e, const estimate::Difference* d, const std::string& why) {
  if (d == nullptr) return "\u2013";
  const auto with = std::find_if(e.batches.begin(), e.batches.end(),
                                 [&](const estimate::BatchPrice& b) { return b.size == d->size; });
  std::string made = "At " + std::to_string(d->size) + " pieces, with minus without";
  if (with != e.batches.end())
    made += ": " + moneyText(with->perPiece) + " \u2212 " + moneyText(with->perPiece - d->money) + " = " +
            moneyText(d->money);
  return opened(moneyText(d->money), made + ". " + why, {}, stackList(d->lines, e.currency));
}

// The formula of a line with the values in it. Values that several bookings share stand as sums; the bookings follow.
std::string madeOf(const Estimate& e, const estimate::BatchPrice& batch, ledger::Line line, const Assumptions& values) {
  using ledger::Line;
  const auto value = [&](const char* name) {
    const auto it = std::find_if(values.begin(), values.end(), [&](const Assumption& a) { return a.name == name; });
    return it == values.end() ? std::string("?") : trimmed(it->value, 4);
  };
  const std::string pieces =
      value("pieces_per_set") == "?" || value("pieces_per_set") == "1"
          ? std::to_string(batch.size) + " pieces"
          : "(" + std::to_string(batch.size) + " sets \u00d7 " + value("pieces_per_set") + " pieces)";
  ledger::Minutes machine;
  for (const estimate::SetupResult& s : e.setups) machine += s.machine;
  const std::string sum = " = " + moneyText(batch.lines[static_cast<std::size_t>(line)]) + ".";
  switch (line) {
    case Line::Metal:
      return "Mass of the blank \u00d7 price per kg \u00d7 (1 + handling): " + fixed(e.blank.mass_g / 1000, 4) +
             " kg \u00d7 " + value("plate.price_per_kg") + " \u00d7 (1 + " + value("blank.handling_share") + ")" + sum;
    case Line::Machine:
      return "Likely machine minutes \u00d7 machine rate: " + minutesText(machine.likely, 2) + " min / 60 \u00d7 " +
             value("rates.machine_per_hour") + sum;
    case Line::People:
      return "Attended share of machine time (" + minutesText(machine.likely, 2) + " min \u00d7 " +
             value("rates.attended_share") + " / 60 \u00d7 " + value("rates.machinist_per_hour") +
             "), loading and checking at the same rate, bench minutes (/ 60 \u00d7 " + value("rates.bench_per_hour") +
             "); hand work learns over the batch" + sum;
    case Line::Cutters: {
      std::string uses;
      for (const estimate::CutterUse& use : e.cutters)
        uses += (uses.empty() ? "" : " + ") + use.cutter.id + " " + trimmed(use.shareUsed, 4) + " \u00d7 " +
                moneyText(use.cutter.price) + " \u00d7 (1 + " + trimmed(use.breakage, 3) + ")";
      return "Share of each cutter used up \u00d7 its price \u00d7 (1 + broken for each one worn out): " + uses + sum;
    }
    case Line::Setup:
      return "Setups \u00d7 minutes per batch \u00d7 (machine + machinist) / pieces: " +
             std::to_string(e.setups.size()) + " \u00d7 " + value("hands.setup_per_batch_min") + " / 60 \u00d7 (" +
             value("rates.machine_per_hour") + " + " + value("rates.machinist_per_hour") + ") / " + pieces + sum;
    case Line::Fixture:
      return "(Hours once per design \u00d7 machinist + bought) \u00d7 plates they are paid for / pieces: (" +
             trimmed(minutesOf(e.once.hands) / 60, 2) + " h \u00d7 " + value("rates.machinist_per_hour") + " + " +
             moneyText(e.once.bought) + ") \u00d7 " + trimmed(e.once.plates, 3) + " / " + pieces + sum;
    case Line::Scrap:
      return "s / (1 - s) \u00d7 (metal + " + value("scrap.spent_when_lost_share") +
             " of what the machine, its people and cutters cost), share lost s = " + trimmed(e.scrapShare, 4) + sum;
    case Line::Overhead:
      return value("rates.overhead_share") + " of everything above" + sum;
  }
  return "";
}

// What was booked on a line, largest first. The ledger holds the reference batch.
std::string entriesOn(const Estimate& e, ledger::Line line) {
  constexpr std::size_t kShown = 12;
  std::vector<const ledger::Entry*> entries;
  for (const ledger::Entry& entry : e.ledger.entries())
    if (entry.line == line && entry.cost.micros != 0) entries.push_back(&entry);
  if (entries.empty()) return "";
  std::stable_sort(entries.begin(), entries.end(),
                   [](const ledger::Entry* a, const ledger::Entry* b) { return a->cost > b->cost; });
  std::string out = "<ul>";
  for (std::size_t i = 0; i < std::min(kShown, entries.size()); ++i) {
    const int d = entries[i]->detail;
    const bool known = d >= 0 && d < static_cast<int>(e.details.list.size());
    out += "<li>" + escaped(entries[i]->note) + ", " +
           (known ? escaped(e.details.list[static_cast<std::size_t>(d)].name) : std::string("shared")) + ": " +
           moneyText(entries[i]->cost) + "</li>";
  }
  if (entries.size() > kShown) out += "<li>and " + std::to_string(entries.size() - kShown) + " smaller bookings</li>";
  return out + "</ul>";
}

std::string noteItems(const Notes& notes, NoteSeverity severity, const std::string& lead) {
  std::string out;
  for (const Note& n : notes) {
    if (n.severity != severity) continue;
    out += std::string("<li") + (severity == NoteSeverity::LeftOut ? " class=\"left-out\"" : "") + ">" + lead +
           escaped(noteSentence(n)) + "</li>\n";
  }
  return out;
}

std::string adviceMarkup(const Estimate& e) {
  if (e.advice.empty()) return "";
  std::vector<HtmlTable::Head> heads{{"change", "", " class=\"l\""}};
  addBatchHeads(e, heads);
  heads.push_back({"buyer", "", " class=\"l\""});
  heads.push_back({"why", "", " class=\"l\""});
  HtmlTable table("Saved per piece: as drawn minus changed, each planned anew", heads);
  table.column(0, " class=\"wrap\"");
  for (std::size_t b = 0; b < e.batches.size(); ++b) table.column(1 + b, ofBatch(b));
  table.column(1 + e.batches.size(), " class=\"l\"");
  table.column(2 + e.batches.size(), " class=\"wrap\"");
  for (const estimate::Advice& a : e.advice) {
    std::vector<std::string> cells{escaped(a.change)};
    for (std::size_t b = 0; b < e.batches.size(); ++b)
      cells.push_back(differenceCell(e, differenceAt(a.saves, b), a.why));
    cells.push_back(a.seen ? "sees it" : "does not see it");
    cells.push_back(escaped(a.why));
    std::string row;
    for (std::size_t d = 0; d < e.details.list.size(); ++d)
      if (e.details.list[d].name == a.about) row = attribute("data-d", std::to_string(d));
    table.row(cells, row);
  }
  return "<h3>What would make it cheaper</h3>\n" + table.markup();
}

}  // namespace

std::string detailSection(const Estimate& e) {
  std::vector<HtmlTable::Head> heads{{"detail", ""}, {"dimensions", "mm", " class=\"l\""}};
  addBatchHeads(e, heads);
  heads.insert(heads.end(), {{"machine", "min more"},
                             {"booked", "cm\u00b3"},
                             {"booked", "min"},
                             {"booked", e.currency},
                             {"why", "", " class=\"l\""}});
  HtmlTable table("With minus without, per piece, dearest first", heads);
  table.column(1, " class=\"l\"");
  for (std::size_t b = 0; b < e.batches.size(); ++b) table.column(2 + b, ofBatch(b));
  table.column(heads.size() - 1, " class=\"wrap\"");
  for (const estimate::GroupPrice& g : e.groups) {
    std::vector<std::string> cells{escaped(g.name), std::to_string(g.details.size()) + " details together"};
    for (std::size_t b = 0; b < e.batches.size(); ++b)
      cells.push_back(differenceCell(e, differenceAt(g.withMinusWithout, b), g.why));
    cells.insert(cells.end(), {"", "", "", "", escaped(g.why)});
    table.row(cells, " class=\"group\"");
  }
  for (const std::size_t i : dearestFirst(e)) {
    const estimate::DetailPrice& p = e.detailPrices[i];
    const detail::Detail& d = e.details.list[static_cast<std::size_t>(p.detail)];
    std::vector<std::string> cells{escaped(d.name), escaped(dimensionsText(d.dimensions))};
    for (std::size_t b = 0; b < e.batches.size(); ++b) cells.push_back(differenceCell(e, differenceAt(p, b), p.why));
    cells.push_back(p.withMinusWithout.empty() ? "\u2013" : withSign(minutesOf(p.machineDifference), 1));
    std::string entries;
    for (const ledger::Entry& entry : e.ledger.entries()) {
      if (entry.detail != p.detail || entry.cost.micros == 0) continue;
      entries +=
          "<li>" + escaped(entry.note) + ", " + ledger::word(entry.line) + ": " + moneyText(entry.cost) + "</li>";
    }
    cells.push_back(cm3Text(p.removed));
    cells.push_back(minutesText(p.minutes.likely));
    cells.push_back(
        opened(moneyText(p.booked), "Entries of the ledger on its own metal:", {}, "<ul>" + entries + "</ul>"));
    cells.push_back(escaped(p.why.empty() && p.withMinusWithout.empty() ? "cannot be taken away" : p.why));
    table.row(cells, attribute("data-d", std::to_string(p.detail)));
  }
  return "<p class=\"note\">The price of a detail: the whole estimate with it minus the whole estimate of the same "
         "part without it, "
         "planned anew. Booked: what was spent on its own metal; not the same thing.</p>\n" +
         detailChart(e) + table.markup() + adviceMarkup(e);
}

std::string sharedSection(const Estimate& e) {
  std::vector<HtmlTable::Head> heads{{"", ""}};
  for (std::size_t b = 0; b < e.shared.size(); ++b)
    heads.push_back({"at " + std::to_string(e.shared[b].size), e.currency, ofBatch(b)});
  HtmlTable table("Shared cost per piece", heads);
  std::vector<std::string> cells{"shared"};
  for (std::size_t b = 0; b < e.shared.size(); ++b) {
    table.column(1 + b, ofBatch(b));
    cells.push_back(opened(moneyText(e.shared[b].money),
                           "Price minus the sum of the detail prices at " + std::to_string(e.shared[b].size) +
                               " pieces: " + moneyText(e.batches[b].perPiece) + " \u2212 " +
                               moneyText(e.batches[b].perPiece - e.shared[b].money) + " = " +
                               moneyText(e.shared[b].money) + ".",
                           {}, stackList(e.shared[b].lines, e.currency)));
  }
  table.row(cells);
  return "<p class=\"note\">What no single detail explains. Details lean on each other, so the sum of their prices is "
         "not the whole.</p>\n" +
         table.markup();
}

std::string batchSection(const Estimate& e) {
  const Assumptions values = allValues(e);
  std::vector<HtmlTable::Head> heads{{"line", ""}};
  addBatchHeads(e, heads);
  heads.push_back({"stands on", "", " class=\"l\""});
  HtmlTable table("Price of a piece, line by line", heads);
  for (std::size_t b = 0; b < e.batches.size(); ++b) table.column(1 + b, ofBatch(b));
  table.column(heads.size() - 1, " class=\"l\"");
  for (std::size_t l = 0; l < estimate::kLineCount; ++l) {
    const ledger::Line line = ledger::kLines[l];
    const Assumptions inputs = inputsOf(line, values);
    std::vector<std::string> cells{std::string("<span style=\"color:") + lineColour(line) + "\">\u25a0</span> " +
                                   ledger::word(line)};
    for (std::size_t b = 0; b < e.batches.size(); ++b) {
      cells.push_back(opened(moneyText(e.batches[b].lines[l]), madeOf(e, e.batches[b], line, values), inputs,
                             b == referenceBatch(e) ? entriesOn(e, line) : ""));
    }
    cells.push_back(escaped(fromWords(inputs)));
    table.row(cells);
  }
  std::vector<std::string> each{"each"}, low{"low"}, high{"high"};
  for (const estimate::BatchPrice& b : e.batches) {
    each.push_back(
        opened(moneyText(b.perPiece), "The lines above, added up exactly.", {}, stackList(b.lines, e.currency)));
    low.push_back(moneyText(b.low));
    high.push_back(moneyText(b.high));
  }
  for (std::vector<std::string>* cells : {&each, &low, &high}) cells->push_back("");
  table.foot(each);
  table.foot(low, " class=\"low\"");
  table.foot(high, " class=\"low\"");
  return batchChart(e) + table.markup();
}

std::string doubtsSection(const Estimate& e) {
  std::string out = doubtChart(e);
  if (!e.doubts.empty()) {
    HtmlTable table("Price of a piece at the ends of each doubt",
                    {{"doubt", ""}, {"range", "", " class=\"l\""}, {"low", e.currency}, {"high", e.currency}});
    table.column(1, " class=\"l\"");
    for (const estimate::Doubt& d : e.doubts)
      table.row({escaped(d.name), escaped(d.range), moneyText(d.low), moneyText(d.high)});
    out += table.markup();
  }
  const Notes all = allNotes(e);
  const std::string notes = noteItems(all, NoteSeverity::LeftOut, "Left out of the price: ") +
                            noteItems(all, NoteSeverity::Doubt, "") + noteItems(all, NoteSeverity::Info, "");
  if (!notes.empty()) out += "<ul class=\"caution\">\n" + notes + "</ul>\n";
  return out;
}

std::string questionsSection(const Estimate& e) {
  if (e.details.questions.empty()) return "<p>Nothing is open.</p>\n";
  HtmlTable table("Open questions", {{"about", ""},
                                     {"question", "", " class=\"l\""},
                                     {"assumed until then", "", " class=\"l\""},
                                     {"answer under", "", " class=\"l\""}});
  table.column(1, " class=\"wrap\"");
  table.column(2, " class=\"l\"");
  table.column(3, " class=\"l\"");
  for (const detail::Question& q : e.details.questions) {
    std::string row;
    for (std::size_t d = 0; d < e.details.list.size(); ++d)
      if (e.details.list[d].name == q.about) row = attribute("data-d", std::to_string(d));
    table.row({escaped(q.about), escaped(q.question), escaped(q.assumed), escaped(q.key)}, row);
  }
  return table.markup();
}

std::string cautionsSection(const Estimate& e) {
  std::string out = "<ul class=\"caution\">\n";
  for (const std::string& caution : cautionsFor(e)) out += "<li>" + escaped(caution) + "</li>\n";
  return out + "</ul>\n";
}

std::string assumptionsTable(const Estimate& e) {
  HtmlTable table("Every value the estimate stands on, guessed first", {{"value", ""},
                                                                        {"is", ""},
                                                                        {"unit", "", " class=\"l\""},
                                                                        {"from", "", " class=\"l\""},
                                                                        {"source", "", " class=\"l\""}});
  table.column(2, " class=\"l\"");
  table.column(3, " class=\"l\"");
  table.column(4, " class=\"wrap\"");
  for (const Assumption& a : guessedFirst(allValues(e))) {
    table.row({escaped(a.name), trimmed(a.value, 6), escaped(a.unit), fromMark(a.from), escaped(a.source)});
  }
  return table.markup();
}

}  // namespace chipledger::report
