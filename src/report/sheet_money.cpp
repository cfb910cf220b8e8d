// Sections on money, doubt and what is still open.
#include <chipledger/report/cautions.hpp>
#include <chipledger/report/charts.hpp>
#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/wording.hpp>

#include "report/anchors.hpp"
#include "report/formula.hpp"
#include "report/sheet_parts.hpp"

#include <algorithm>

namespace chipledger::report {

namespace {

using estimate::Estimate;

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

// The price at one end of a doubt.
std::string doubtCell(const Estimate& e, const estimate::Doubt& d, Money end, const std::string& name) {
  const estimate::BatchPrice& b = e.batches[referenceBatch(e)];
  return opened(moneyText(end),
                "The piece booked anew at " + countedText(e, b.size) + " with " + d.name + " (" + d.range +
                    ") at one end and all else as it stands: " + moneyText(b.perPiece) + " becomes " + moneyText(end) +
                    ", " + moneySigned(end - b.perPiece) + ".",
                {}, "", name);
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

}  // namespace

std::string detailSection(const Estimate& e) {
  std::vector<HtmlTable::Head> heads{{"detail", ""}, {"dimensions", "mm", " class=\"l\""}};
  addBatchHeads(e, heads);
  heads.insert(heads.end(), {{"machine", "min more"},
                             {"booked", "cm\u00b3", " class=\"no-print\""},
                             {"booked", "min", " class=\"no-print\""},
                             {"booked", e.currency},
                             {"why", "", " class=\"l\""}});
  HtmlTable table("With minus without, per piece, dearest first", heads);
  table.column(1, " class=\"l\"");
  for (std::size_t b = 0; b < e.batches.size(); ++b) table.column(2 + b, ofBatch(b));
  for (const std::size_t back : {4U, 3U}) table.column(heads.size() - back, " class=\"no-print\"");
  table.column(heads.size() - 1, " class=\"wrap\"");
  const std::size_t reference = referenceBatch(e);
  for (const std::size_t k : groupsDearestFirst(e)) {
    const estimate::GroupPrice& g = e.groups[k];
    std::vector<std::string> cells{escaped(g.name), std::to_string(g.details.size()) + " details together"};
    for (std::size_t b = 0; b < e.batches.size(); ++b)
      cells.push_back(
          differenceCell(e, differenceAt(g.withMinusWithout, b), g.why, b == reference ? groupAnchor(k) : ""));
    cells.insert(cells.end(), {"", "", "", "", escaped(g.why)});
    table.row(cells, " class=\"group\"");
  }
  for (const std::size_t i : dearestFirst(e)) {
    const estimate::DetailPrice& p = e.detailPrices[i];
    const detail::Detail& d = e.details.list[static_cast<std::size_t>(p.detail)];
    std::vector<std::string> cells{escaped(d.name), escaped(dimensionsText(d.dimensions))};
    for (std::size_t b = 0; b < e.batches.size(); ++b)
      cells.push_back(differenceCell(e, differenceAt(p, b), p.why, b == reference ? detailAnchor(p.detail) : ""));
    cells.push_back(p.withMinusWithout.empty()
                        ? "\u2013"
                        : opened(withSign(minutesOf(p.machineDifference), 1),
                                 "Likely machine minutes of the part with it minus those of the part without it, both "
                                 "planned in full" +
                                     (p.why.empty() ? std::string(".") : ": " + p.why + ".")));
    std::string metal, minutes, costs;
    for (const ledger::Entry& entry : e.ledger.entries()) {
      if (entry.detail != p.detail) continue;
      const std::string head = "<li>" + escaped(entry.note);
      if (entry.removed.um3 != 0) metal += head + ": " + cm3Text(entry.removed) + " cm\u00b3</li>";
      if (entry.minutes.likely.ns != 0) minutes += head + ": " + minutesText(entry.minutes.likely, 2) + " min</li>";
      if (entry.cost.micros != 0)
        costs += head + ", " + ledger::word(entry.line) + ": " + moneyText(entry.cost) + "</li>";
    }
    const std::string booked = "Entries of the ledger on its own metal:";
    cells.push_back(opened(cm3Text(p.removed), booked, {}, "<ul>" + metal + "</ul>"));
    cells.push_back(opened(minutesText(p.minutes.likely), booked, {}, "<ul>" + minutes + "</ul>"));
    cells.push_back(opened(moneyText(p.booked), booked, {}, "<ul>" + costs + "</ul>"));
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
                           "Price minus the sum of the detail prices at " + countedText(e, e.shared[b].size) + ": " +
                               moneyText(e.batches[b].perPiece) + " \u2212 " +
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
  std::vector<PriceFacts> facts;
  for (std::size_t b = 0; b < e.batches.size(); ++b) facts.push_back(factsOf(e, b));
  std::vector<HtmlTable::Head> heads{{"line", ""}};
  addBatchHeads(e, heads);
  heads.push_back({"stands on", "", " class=\"l\""});
  HtmlTable table("Price of a piece, line by line", heads);
  for (std::size_t b = 0; b < e.batches.size(); ++b) table.column(1 + b, ofBatch(b));
  table.column(heads.size() - 1, " class=\"l\"");
  for (std::size_t l = 0; l < estimate::kLineCount; ++l) {
    const ledger::Line line = ledger::kLines[l];
    const Assumptions inputs = inputsOf(line, values);
    std::vector<std::string> cells{lineSwatch(line) + " " + ledger::word(line)};
    for (std::size_t b = 0; b < e.batches.size(); ++b) {
      const Formula formula = lineFormula(facts[b], line);
      Assumptions shown = formula.values;
      addOnce(shown, inputs);
      cells.push_back(opened(moneyText(e.batches[b].lines[l]), formula.words, shown,
                             b == referenceBatch(e) ? entriesOn(e, line) : "", lineAnchor(b, l)));
    }
    cells.push_back(escaped(fromWords(inputs)));
    table.row(cells);
  }
  std::vector<std::string> each{"each"}, low{"low"}, high{"high"}, set{"a set of " + std::to_string(e.piecesPerSet)};
  for (std::size_t b = 0; b < e.batches.size(); ++b) {
    const estimate::BatchPrice& price = e.batches[b];
    each.push_back(opened(moneyText(price.perPiece), "The lines above, added up exactly.", facts[b].values,
                          stackList(price.lines, e.currency), priceAnchor(b, "each")));
    low.push_back(opened(moneyText(price.low), bandWords(), {}, "", priceAnchor(b, "low")));
    high.push_back(opened(moneyText(price.high), bandWords(), {}, "", priceAnchor(b, "high")));
    set.push_back(opened(setText(e, price.perPiece),
                         "Pieces of a set \u00d7 the price of a piece: " + std::to_string(e.piecesPerSet) + " \u00d7 " +
                             moneyText(price.perPiece) + "."));
  }
  for (std::vector<std::string>* cells : {&each, &low, &high, &set}) cells->push_back("");
  table.foot(each);
  if (e.piecesPerSet > 1) table.foot(set);
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
    for (std::size_t i = 0; i < e.doubts.size(); ++i) {
      const estimate::Doubt& d = e.doubts[i];
      table.row({escaped(d.name), escaped(d.range), doubtCell(e, d, d.low, doubtAnchor(i, true)),
                 doubtCell(e, d, d.high, doubtAnchor(i, false))});
    }
    out += table.markup();
  }
  const Notes all = allNotes(e);
  const std::string notes = noteItems(all, NoteSeverity::LeftOut, "Left out of the price: ") +
                            noteItems(all, NoteSeverity::Doubt, "") + noteItems(all, NoteSeverity::Info, "");
  if (!notes.empty()) out += "<ul class=\"caution\">\n" + notes + "</ul>\n";
  return out;
}

std::string questionsSection(const Estimate& e, Keys keys) {
  if (e.details.questions.empty()) return "<p>Nothing is open.</p>\n";
  std::vector<HtmlTable::Head> heads{
      {"about", ""}, {"question", "", " class=\"l\""}, {"assumed until then", "", " class=\"l\""}};
  if (keys == Keys::Shown) heads.push_back({"answer under", "", " class=\"l\""});
  HtmlTable table("Open questions", heads);
  table.column(1, " class=\"wrap\"");
  table.column(2, " class=\"wrap\"");
  if (keys == Keys::Shown) table.column(3, " class=\"l\"");
  for (const detail::Question& q : e.details.questions) {
    std::string row;
    for (std::size_t d = 0; d < e.details.list.size(); ++d)
      if (e.details.list[d].name == q.about) row = attribute("data-d", std::to_string(d));
    std::vector<std::string> cells{escaped(q.about.empty() ? "part" : q.about), escaped(q.question),
                                   escaped(q.assumed)};
    if (keys == Keys::Shown) cells.push_back(escaped(q.key));
    table.row(cells, row);
  }
  return table.markup();
}

std::string cautionsSection(const Estimate& e) {
  std::string out = "<ul class=\"caution\">\n";
  for (const std::string& caution : cautionsFor(e)) out += "<li>" + escaped(caution) + "</li>\n";
  return out + "</ul>\n";
}

std::string valuesSection(const std::vector<ValuesOf>& lists) {
  struct Row {
    const Assumption* value;
    std::string where;
    std::size_t count;
  };
  std::vector<Row> rows;
  for (const ValuesOf& list : lists)
    for (const Assumption& a : list.values) {
      const auto same = std::find_if(rows.begin(), rows.end(), [&](const Row& r) {
        return r.value->name == a.name && r.value->value == a.value && r.value->from == a.from;
      });
      if (same == rows.end()) {
        rows.push_back({&a, list.mark, 1});
      } else {
        same->where += " " + list.mark;
        ++same->count;
      }
    }
  std::vector<HtmlTable::Head> heads{{"value", ""},
                                     {"is", ""},
                                     {"unit", "", " class=\"l\""},
                                     {"from", "", " class=\"l\""},
                                     {"source", "", " class=\"l\""}};
  const bool several = lists.size() > 1;
  if (several) heads.push_back({"in", "", " class=\"l\""});
  HtmlTable table("Every value the estimate stands on, guessed first", heads);
  table.column(1, " class=\"given\"");
  table.column(2, " class=\"l\"");
  table.column(3, " class=\"l\"");
  table.column(4, " class=\"wrap\"");
  if (several) table.column(5, " class=\"l\"");
  for (const From from : {From::Guessed, From::Table, From::Entered, From::Clocked})
    for (const Row& row : rows) {
      const Assumption& a = *row.value;
      if (a.from != from) continue;
      std::vector<std::string> cells{escaped(a.name), trimmed(a.value, 6), escaped(a.unit), fromMark(a.from),
                                     escaped(a.source)};
      if (several) cells.push_back(row.count == lists.size() ? "all" : row.where);
      table.row(cells);
    }
  return "<section id=\"values\">\n<h2>Values</h2>\n" + table.markup() + "</section>\n";
}

}  // namespace chipledger::report
