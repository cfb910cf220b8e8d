#include <chipledger/estimate/doubt.hpp>

#include <algorithm>

namespace chipledger::estimate {
namespace {

using ledger::Line;

constexpr int kDraws = 400;
constexpr double kLowShare = 0.10, kHighShare = 0.90;

std::size_t place(Line line) { return static_cast<std::size_t>(line); }

/// Radical inverse: the k-th point of a Halton sequence in [0, 1).
double halton(int k, int base) {
  double value = 0.0, share = 1.0;
  for (; k > 0; k /= base) {
    share /= base;
    value += share * (k % base);
  }
  return value;
}

/// Triangular between low and high with its peak at 1: small errors are likelier than large ones.
double triangular(double u, double low, double high) {
  const double peak = (1.0 - low) / (high - low);
  return u < peak ? low + std::sqrt(u * (high - low) * (1.0 - low))
                  : high - std::sqrt((1.0 - u) * (high - low) * (high - 1.0));
}

double priceWith(const Stack& lines, const std::vector<double>& factors) {
  std::array<double, kLineCount> scale;
  scale.fill(1.0);
  const auto& inputs = guessedInputs();
  for (std::size_t i = 0; i < inputs.size(); ++i)
    for (Line line : inputs[i].lines) scale[place(line)] *= factors[i];
  double sum = 0.0;
  for (std::size_t l = 0; l < kLineCount; ++l) sum += toUnits(lines[l]) * scale[l];
  return sum;
}

}  // namespace

const std::vector<GuessedInput>& guessedInputs() {
  static const std::vector<GuessedInput> inputs{
      {"price of metal", "-20 % to +20 %", 0.8, 1.2, {Line::Metal}},
      {"machine minutes (table speeds and feeds)", "-25 % to +35 %", 0.75, 1.35, {Line::Machine, Line::Cutters}},
      {"machine hour", "-20 % to +20 %", 0.8, 1.2, {Line::Machine}},
      {"wages and bench minutes", "-25 % to +30 %", 0.75, 1.3, {Line::People}},
      {"cutter life", "half to double", 0.5, 2.0, {Line::Cutters}},
      {"scrap", "half to double", 0.5, 2.0, {Line::Scrap}},
      {"programming, fixture and setup hours", "-25 % to +40 %", 0.75, 1.4, {Line::Setup, Line::Fixture}},
  };
  return inputs;
}

Band priceBand(const Stack& lines) {
  static constexpr int kBases[] = {2, 3, 5, 7, 11, 13, 17, 19, 23, 29};
  const auto& inputs = guessedInputs();
  std::vector<double> prices;
  prices.reserve(kDraws);
  std::vector<double> factors(inputs.size());
  for (int k = 1; k <= kDraws; ++k) {
    for (std::size_t i = 0; i < inputs.size(); ++i)
      factors[i] = triangular(halton(k, kBases[i]), inputs[i].low, inputs[i].high);
    prices.push_back(priceWith(lines, factors));
  }
  std::sort(prices.begin(), prices.end());
  const auto at = [&](double share) { return money(prices[static_cast<std::size_t>(share * (kDraws - 1))]); };
  const Money likely = total(lines);
  return {std::min(at(kLowShare), likely), std::max(at(kHighShare), likely)};
}

std::vector<Doubt> rankDoubts(const Stack& lines) {
  const auto& inputs = guessedInputs();
  std::vector<Doubt> doubts;
  for (std::size_t i = 0; i < inputs.size(); ++i) {
    std::vector<double> factors(inputs.size(), 1.0);
    Doubt doubt;
    doubt.name = inputs[i].name;
    doubt.range = inputs[i].range;
    factors[i] = inputs[i].low;
    doubt.low = money(priceWith(lines, factors));
    factors[i] = inputs[i].high;
    doubt.high = money(priceWith(lines, factors));
    doubts.push_back(doubt);
  }
  std::stable_sort(doubts.begin(), doubts.end(),
                   [](const Doubt& a, const Doubt& b) { return a.high - a.low > b.high - b.low; });
  return doubts;
}

}  // namespace chipledger::estimate
