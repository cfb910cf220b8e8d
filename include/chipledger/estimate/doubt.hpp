#pragma once
// How sure the price is. What is guessed is varied together and the piece is booked anew for each draw, so that scrap
// lies on dearer metal and overhead on dearer everything; the draws are the same every time (a fixed low-discrepancy
// sequence). The band runs from the tenth to the ninetieth of a hundred prices. Small errors are likelier than large
// ones: each factor rises linearly towards 1 from both ends, with half the draws on either side of it.
// What the shop has entered or clocked is not in doubt: of an input with several values, its range shrinks by the share
// of them that is known.
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/estimate/price.hpp>

#include <string>
#include <vector>

namespace chipledger::estimate {

struct Band {
  Money low, high;
};

/// A guessed input: what it scales, how far it may be off as a factor, and the shop's values behind it.
struct GuessedInput {
  std::string name;
  double low{}, high{};
  std::vector<double Varied::*> factors;
  std::vector<std::string> keys;  ///< of shop settings, or beginnings of keys ending in '.'; empty: always a guess
};
const std::vector<GuessedInput>& guessedInputs();

/// Share of the values behind an input that nobody entered or clocked, 0 to 1.
double guessedShare(const GuessedInput& input, const shop::Shop& shop);

/// Laws: low <= likely <= high; a value entered never makes the band wider than by its own rounding.
Band priceBand(const PriceInput& input, int sets);
/// Each input alone at the ends of its range, largest first; what is known is left out.
std::vector<Doubt> rankDoubts(const PriceInput& input, int sets);
/// A fifth less and more of metal, wage, machine hour, cutter life and scrap, whoever said so.
std::vector<Doubt> fifthSwings(const PriceInput& input, int sets);

}  // namespace chipledger::estimate
