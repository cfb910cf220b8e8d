#include <chipledger/report/compare.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/sections.hpp>
#include <chipledger/report/wording.hpp>

#include "report/terminal_parts.hpp"

#include <algorithm>

namespace chipledger::report {

namespace {

using estimate::Estimate;

// Variants are told apart by a letter in front of the file name: A, B, C ...; after Z by number.
std::string mark(std::size_t i) {
  constexpr std::size_t kLetters = 26;
  return i < kLetters ? std::string(1, static_cast<char>('A' + i)) : std::to_string(i + 1);
}

std::string variantName(const std::vector<Estimate>& variants, std::size_t i) {
  return mark(i) + " " + plain(partTitle(variants[i]));
}

std::string sideBySide(const std::vector<Estimate>& variants, const compare::Comparison& comparison,
                       const TerminalOptions& options) {
  const Estimate& first = variants.front();
  std::vector<Column> columns{{"variant", "", Align::Left, 0, true},
                              {"plate", "mm", Align::Right, 3},
                              {"cut away", "", Align::Right, 4},
                              {"machine", "min", Align::Right, 2}};
  const std::size_t reference = referenceBatch(first);
  for (std::size_t b = 0; b < first.batches.size(); ++b) {
    columns.push_back({batchHead(first.batches[b].size), first.currency, Align::Right, b == reference ? 0 : 1});
  }
  Table table(columns);
  for (std::size_t v = 0; v < variants.size(); ++v) {
    const Estimate& e = variants[v];
    ledger::Minutes machine;
    for (const estimate::SetupResult& s : e.setups) machine += s.machine;
    std::vector<std::string> cells{variantName(variants, v), mmText(e.blank.step),
                                   e.blankVolume.um3 > 0 ? percentText(mm3Of(e.removed) / mm3Of(e.blankVolume)) : "",
                                   minutesText(machine.likely)};
    for (const estimate::BatchPrice& b : e.batches) cells.push_back(moneyText(b.perPiece));
    table.add(cells, reference < comparison.cheapest.size() && comparison.cheapest[reference] == v ? Tone::Strong
                                                                                                   : Tone::Plain);
  }
  return table.text(options);
}

std::string cheapest(const std::vector<Estimate>& variants, const compare::Comparison& comparison,
                     const TerminalOptions& options) {
  std::string out;
  for (std::size_t b = 0; b < comparison.cheapest.size() && b < variants.front().batches.size(); ++b) {
    out += (out.empty() ? "" : ", ") + mark(comparison.cheapest[b]) + " at " +
           std::to_string(variants.front().batches[b].size);
  }
  std::string text = labelled("cheapest", out, options, Tone::Strong);
  for (const compare::Crossing& c : comparison.crossings) {
    text += labelled("crossing",
                     "from " + countedText(variants.front(), c.batch) + " on " + mark(c.cheaper) + " costs less than " +
                         mark(c.dearer),
                     options);
  }
  return text;
}

std::string amount(const std::optional<Money>& m) { return m ? moneyText(*m) : std::string{}; }

std::string groups(const Estimate& e, const compare::Against& a, const TerminalOptions& options) {
  if (a.groups.empty()) return "";
  const std::string there = mark(a.variant);
  // The same words are said once.
  Table table({{"together", "", Align::Left, 0, true},
               {"in A", e.currency, Align::Right},
               {"in " + there, e.currency, Align::Right}});
  for (const compare::GroupChange& g : a.groups) {
    std::string name = g.before;
    if (name.empty())
      name = g.after;
    else if (!g.after.empty() && g.after != g.before)
      name += " (in " + there + ": " + g.after + ")";
    table.add({plain(name), amount(g.beforePrice), amount(g.afterPrice)});
  }
  return table.text(options) + '\n';
}

std::string against(const std::vector<Estimate>& variants, const compare::Against& a, const TerminalOptions& options) {
  const Estimate& e = variants[a.variant];
  std::string out = headingText(mark(a.variant) + " against A: " + plain(partTitle(e)), options);
  if (a.sameGeometry) out += paragraph("The two files hold the same part.", options);
  if (a.turnedOver) out += paragraph("It lies the other way up: its outer side is the back of A.", options);
  if (!a.details.empty()) {
    const bool priced =
        std::any_of(a.details.begin(), a.details.end(), [](const auto& c) { return c.beforePrice || c.afterPrice; });
    std::vector<Column> columns{{"", "", Align::Left}, {"in A", "", Align::Left}};
    if (priced) columns.push_back({"costs", e.currency, Align::Right, 1});
    columns.push_back({"in " + mark(a.variant), "", Align::Left});
    if (priced) columns.push_back({"costs", e.currency, Align::Right, 1});
    columns.push_back({"what", "", Align::Left, 0, true});
    Table table(columns);
    for (const compare::DetailChange& change : a.details) {
      std::vector<std::string> cells{compare::word(change.fate), plain(change.before)};
      if (priced) cells.push_back(amount(change.beforePrice));
      cells.push_back(plain(change.after));
      if (priced) cells.push_back(amount(change.afterPrice));
      cells.push_back(plain(change.what));
      table.add(cells);
    }
    out += table.text(options) + '\n' + groups(e, a, options);
    if (priced)
      out += paragraph("What a detail or a group costs is the price with it minus the price without it, at " +
                           countedText(e, e.batches[referenceBatch(e)].size) + ".",
                       options);
  }
  std::vector<Column> batches{{"difference", "", Align::Left}};
  for (const estimate::Difference& d : a.differences) batches.push_back({batchHead(d.size), e.currency});
  Table prices(batches);
  std::vector<std::string> cells{"each"};
  for (const estimate::Difference& d : a.differences) cells.push_back(moneySigned(d.money));
  prices.add(cells, Tone::Strong);
  out += prices.text(options);
  Table lines({{"line", "", Align::Left}, {"difference", e.currency}, {"cause", "", Align::Left, 0, true}});
  for (const compare::LineDifference& line : a.lines) {
    if (line.money.micros != 0) lines.add({ledger::word(line.line), moneySigned(line.money), plain(line.cause)});
  }
  if (!lines.empty()) {
    out += '\n' + paragraph("Line by line at " + countedText(e, e.batches[referenceBatch(e)].size) + ":", options) +
           lines.text(options);
  }
  return out;
}

}  // namespace

std::string renderCompare(const std::vector<Estimate>& variants, const compare::Comparison& comparison,
                          const TerminalOptions& options) {
  if (variants.empty()) return paragraph("Nothing to compare.", options, 0);
  std::string out = titleText("Variants side by side", kEstimateNotQuote, options);
  out += sideBySide(variants, comparison, options) + '\n' + cheapest(variants, comparison, options);
  for (const compare::Against& a : comparison.against)
    if (a.variant < variants.size()) out += against(variants, a, options);
  return out;
}

}  // namespace chipledger::report
