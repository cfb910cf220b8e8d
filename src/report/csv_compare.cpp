#include <chipledger/report/compare.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/wording.hpp>

#include "report/csv_cell.hpp"

namespace chipledger::report {

namespace {

std::string row(std::initializer_list<std::string> cells) {
  std::string line;
  for (const std::string& cell : cells) {
    if (&cell != cells.begin()) line += ',';
    line += csvCell(cell);
  }
  return line + '\n';
}

std::string amount(Money m) { return shortest(toUnits(m)); }
std::string amount(const std::optional<Money>& m) { return m ? amount(*m) : std::string{}; }

}  // namespace

std::string compareCsv(const std::vector<estimate::Estimate>& variants, const compare::Comparison& comparison) {
  std::string out = "kind,variant,against,batch,name,other_name,currency,money,other_money,why\n";
  if (variants.empty()) return out;
  const std::string& currency = variants.front().currency;
  const auto file = [&](std::size_t v) { return variants[v].file; };
  for (const estimate::Estimate& e : variants)
    for (const estimate::BatchPrice& b : e.batches)
      out += row({"price", e.file, "", std::to_string(b.size), "each", "", currency, amount(b.perPiece), "", ""});
  const std::string first = file(0);
  const std::string reference = std::to_string(variants.front().batches[referenceBatch(variants.front())].size);
  for (const compare::Against& a : comparison.against) {
    const std::string name = file(a.variant);
    if (a.sameGeometry)
      out += row({"same", name, first, "", "", "", currency, "", "", "The two files hold the same part."});
    for (const compare::DetailChange& c : a.details)
      out += row({compare::word(c.fate), name, first, reference, c.before, c.after, currency, amount(c.beforePrice),
                  amount(c.afterPrice), c.what});
    for (const compare::GroupChange& g : a.groups)
      out += row({"group", name, first, reference, g.before, g.after, currency, amount(g.beforePrice),
                  amount(g.afterPrice), ""});
    for (const estimate::Difference& d : a.differences)
      out += row({"difference", name, first, std::to_string(d.size), "each", "", currency, amount(d.money), "", ""});
    for (const compare::LineDifference& l : a.lines)
      out += row({"line", name, first, reference, ledger::word(l.line), "", currency, amount(l.money), "", l.cause});
  }
  for (const compare::Crossing& c : comparison.crossings)
    out += row({"crossing", file(c.cheaper), file(c.dearer), std::to_string(c.batch), "", "", currency, "", "",
                "costs less from this batch on"});
  return out;
}

}  // namespace chipledger::report
