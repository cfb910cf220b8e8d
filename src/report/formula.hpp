#pragma once
// The formula of every line of a price, with the values in it. Each value stands under its name in the table of
// values; the formula carries those it used, so that origin and source can follow it. Nothing is computed here but the
// parts of a sum that is known.
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/vary/row.hpp>

#include <optional>
#include <string>

namespace chipledger::report {

struct Formula {
  std::string words;
  Assumptions values;  ///< those named in the words
};

/// What the formulas of one price are filled in with; what is not known of it is left as a name.
struct PriceFacts {
  int batch{};
  std::string counted;  ///< "50 pieces", "(50 sets x 2 pieces)"
  estimate::Stack lines{};
  double machine_min{};
  int setups{};
  std::optional<double> mass_kg, hands_min, once_h, scrapShare;
  Money boughtOnce;
  double platesOnce{1};
  std::string cutters;  ///< share of each, its price, its breakage
  std::string plate;    ///< "6.35 mm plate"
  Assumptions values;   ///< all of the estimate
};

PriceFacts factsOf(const estimate::Estimate& estimate, std::size_t batch);
/// A row of a sweep, its values those of the part as drawn with what was varied in the shop put in their place.
PriceFacts factsOf(const vary::Table& table, const vary::Row& row, const Assumptions& drawn, int piecesPerSet);

Formula lineFormula(const PriceFacts& facts, ledger::Line line);

/// Values as list items with origin and source; empty for none.
std::string valueItems(const Assumptions& values);
/// Every line that is not nothing with its formula, then the values in them: markup for a number that opens.
std::string lineByLine(const PriceFacts& facts);
/// How low and high are found: for the ends of a band.
const char* bandWords();

}  // namespace chipledger::report
