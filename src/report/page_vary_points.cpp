#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/wording.hpp>

#include "report/anchors.hpp"
#include "report/formula.hpp"
#include "report/page_vary_parts.hpp"
#include "report/sheet_parts.hpp"

namespace chipledger::report {

namespace {

using vary::Row;
using vary::Table;

// Beyond this many points a number opens to its lines alone, so that the page stays light; the values stand in their
// table.
constexpr std::size_t kMostInFull = 150;

Assumptions valuesOf(const estimate::Estimate* drawn) { return drawn == nullptr ? Assumptions{} : allValues(*drawn); }

struct Opener {
  const Table& table;
  Assumptions values;
  int piecesPerSet;
  bool full;

  Assumptions some(const std::vector<std::string>& prefixes) const {
    return full ? startingWith(values, prefixes) : Assumptions{};
  }
  std::string price(const Row& row, const std::string& name = "") const {
    const std::string made = "<p>The lines of its price, added up exactly.</p>";
    if (!full)
      return openedMarkup(moneyText(row.perPiece), made + stackList(row.lines, table.currency) + openedValues({}),
                          name);
    return openedMarkup(moneyText(row.perPiece), made + lineByLine(factsOf(table, row, values, piecesPerSet)), name);
  }
  std::vector<std::string> cells(const Row& row) const {
    std::string cutters;
    for (const std::string& id : row.cutters) cutters += (cutters.empty() ? "" : ", ") + id;
    const std::string left = mmText(row.leftBeforeNextStep);
    return {price(row, pointAnchor(static_cast<std::size_t>(&row - table.rows.data()))),
            opened(moneyText(row.low), bandWords()),
            opened(moneyText(row.high), bandWords()),
            opened(mmText(row.plate),
                   "The thinnest plate that holds the finished height, skim on both sides and the allowance for thin "
                   "plate; " +
                       left + " mm are left.",
                   some({"plate", "blank"})),
            opened(left, "How much the part may still grow in height on " + mmText(row.plate) + " mm plate.",
                   some({"plate", "blank"})),
            opened(minutesText(row.machine),
                   "Likely minutes of every operation, planned anew here, with " + cutters + ".", some({"machine."})),
            opened(minutesText(row.hands),
                   "Attended share of machine minutes, loading and checking, and the bench; hand work learns over the "
                   "batch.",
                   some({"rates.attended", "hands.load", "hands.bow", "bench.per_piece", "bench.learning"})),
            opened(std::to_string(row.setups), "Sides that the cutters must come from, planned anew here.")};
  }
};

}  // namespace

std::string valueText(const vary::TableAxis& axis, double value) {
  return trimmed(value) + (axis.unit == "mm" ? " mm" : "");
}

std::string placeText(const Table& table, const Row& row) {
  std::string words;
  for (std::size_t a = 0; a < table.axes.size() && a < row.at.size(); ++a)
    words += (words.empty() ? "" : ", ") + shortened(table.axes[a].key, kLongestKey) + " " +
             valueText(table.axes[a], row.at[a]);
  return words + (words.empty() ? "" : ", ") + "batch " + std::to_string(row.batch);
}

std::string causesText(const Table& table, const Row& row) {
  std::string out;
  for (const vary::Jump& jump : row.jumps)
    out += (out.empty() ? "" : "; ") + (table.axes.size() > 1 ? jump.along + ": " : std::string{}) + jump.why;
  return out;
}

std::string rowPrice(const Table& table, const Row& row, const estimate::Estimate* drawn) {
  return Opener{table, valuesOf(drawn), drawn == nullptr ? 1 : drawn->piecesPerSet, true}.price(row);
}

std::string pointsTable(const Table& table, const estimate::Estimate* drawn) {
  std::vector<HtmlTable::Head> heads;
  for (const vary::TableAxis& axis : table.axes) heads.push_back({shortened(axis.key, kLongestKey), axis.unit});
  const std::string counted = drawn == nullptr ? std::string("batch") : countedIn(*drawn);
  heads.push_back({"batch", counted == "batch" ? "" : counted});
  heads.insert(heads.end(), {{"each", table.currency},
                             {"low", table.currency},
                             {"high", table.currency},
                             {"plate", "mm"},
                             {"left", "mm"},
                             {"machine", "min"},
                             {"hands", "min, bench in it"},
                             {"setups", ""},
                             {"jump, or why there is no price", "", " class=\"l\""}});
  HtmlTable out("Every point", heads);
  for (std::size_t c = 0; c <= table.axes.size(); ++c) out.column(c, " class=\"given\"");
  out.column(heads.size() - 1, " class=\"wrap\"");
  const Opener opener{table, valuesOf(drawn), drawn == nullptr ? 1 : drawn->piecesPerSet,
                      table.rows.size() <= kMostInFull};
  for (const Row& row : table.rows) {
    std::vector<std::string> cells;
    for (const double at : row.at) cells.push_back(trimmed(at, 4));
    cells.push_back(std::to_string(row.batch));
    const std::vector<std::string> found = row.hole.empty() ? opener.cells(row) : std::vector<std::string>(8);
    cells.insert(cells.end(), found.begin(), found.end());
    cells.push_back(escaped(row.hole.empty() ? causesText(table, row) : row.hole));
    out.row(cells);
  }
  return out.markup();
}

}  // namespace chipledger::report
