#pragma once
// How sure the price is. The guessed inputs are varied together: each factor is drawn from its range, the same draws
// every time (a fixed low-discrepancy sequence), and the tenth and ninetieth of a hundred prices make the band.
// Single causes are ranked by how far each alone moves the price.
#include <chipledger/estimate/estimate.hpp>

#include <string>
#include <vector>

namespace chipledger::estimate {

struct Band {
  Money low, high;
};

/// A guessed input: the lines it scales and how far it may be off, as factors.
struct GuessedInput {
  std::string name, range;
  double low{}, high{};
  std::vector<ledger::Line> lines;
};
const std::vector<GuessedInput>& guessedInputs();

Band priceBand(const Stack& lines);
/// Largest first.
std::vector<Doubt> rankDoubts(const Stack& lines);

}  // namespace chipledger::estimate
