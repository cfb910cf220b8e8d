#include <chipledger/estimate/doubt.hpp>
#include <chipledger/parallel/parallel.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace chipledger::estimate {
namespace {

constexpr int kDraws = 100;
constexpr double kLowShare = 0.10, kHighShare = 0.90;
constexpr double kFifth = 0.2;

/// Radical inverse: the k-th point of a Halton sequence in [0, 1).
double halton(int k, int base) {
  double value = 0.0, share = 1.0;
  for (; k > 0; k /= base) {
    share /= base;
    value += share * (k % base);
  }
  return value;
}

/// Half the draws below 1, half above; denser towards 1.
double drawn(double u, double low, double high) {
  return u < 0.5 ? low + (1.0 - low) * std::sqrt(2.0 * u) : high - (high - 1.0) * std::sqrt(2.0 * (1.0 - u));
}

struct Range {
  double low{}, high{};
};
Range rangeOf(const GuessedInput& input, const shop::Shop& shop) {
  const double share = guessedShare(input, shop);
  return {1.0 - (1.0 - input.low) * share, 1.0 + (input.high - 1.0) * share};
}

Money priceWith(PriceInput input, int sets, const Varied& varied) {
  input.varied = varied;
  return bookPiece(input, sets).cost();
}

void scale(Varied& varied, const GuessedInput& input, double factor) {
  for (const auto member : input.factors) varied.*member *= factor;
}

std::string rangeText(Range range) {
  return fmt::format("{:+.0f} % to {:+.0f} %", 100.0 * (range.low - 1.0), 100.0 * (range.high - 1.0));
}

Doubt alone(const PriceInput& price, int sets, const GuessedInput& input, Range range) {
  Doubt doubt;
  doubt.name = input.name;
  doubt.range = rangeText(range);
  Varied low, high;
  scale(low, input, range.low);
  scale(high, input, range.high);
  const Money a = priceWith(price, sets, low), b = priceWith(price, sets, high);
  doubt.low = std::min(a, b);
  doubt.high = std::max(a, b);
  return doubt;
}

}  // namespace

// Ranges: common practice, no source; the spread of published cutting values is easily two times, of a shop's own
// values on its own machine less.
const std::vector<GuessedInput>& guessedInputs() {
  static const std::vector<GuessedInput> inputs{
      {"price of metal", 0.8, 1.2, {&Varied::metal}, {"plate.", "plates."}},
      {"machine minutes (table speeds and feeds)", 0.75, 1.35, {&Varied::cutting}, {}},
      {"machine hour", 0.8, 1.2, {&Varied::machineHour}, {"rates.machine_per_hour"}},
      {"wages", 0.85, 1.2, {&Varied::wage}, {"rates.machinist_per_hour", "rates.bench_per_hour"}},
      {"bench minutes", 0.75, 1.3, {&Varied::bench}, {"bench."}},
      {"loading and setting-up minutes", 0.75, 1.4, {&Varied::hands}, {"hands."}},
      {"cutter life", 0.5, 2.0, {&Varied::cutterLife}, {}},
      {"scrap", 0.5, 2.0, {&Varied::scrap}, {"scrap."}},
      {"programming and fixture hours", 0.75, 1.4, {&Varied::once}, {"once."}},
  };
  return inputs;
}

double guessedShare(const GuessedInput& input, const shop::Shop& shop) {
  if (input.keys.empty()) return 1.0;
  int all = 0, known = 0;
  const auto isKnown = [&](const std::string& key) {
    const auto said = shop.origin.find(key);
    return said != shop.origin.end() && said->second.from != From::Guessed;
  };
  for (const std::string& key : input.keys) {
    if (key.back() != '.') {
      ++all;
      known += isKnown(key);
      continue;
    }
    for (const shop::Setting& setting : shop::settings())
      if (setting.key.rfind(key, 0) == 0) {
        ++all;
        known += isKnown(setting.key);
      }
  }
  return all == 0 ? 1.0 : 1.0 - static_cast<double>(known) / all;
}

Band priceBand(const PriceInput& input, int sets) {
  static constexpr int kBases[] = {2, 3, 5, 7, 11, 13, 17, 19, 23, 29};
  const auto& inputs = guessedInputs();
  std::vector<Range> ranges;
  for (const GuessedInput& guessed : inputs) ranges.push_back(rangeOf(guessed, *input.shop));
  std::vector<Money> prices(kDraws);
  constexpr std::size_t kDrawsPerTask = 10;
  forEachRange(prices.size(), kDrawsPerTask, [&](std::size_t begin, std::size_t end) {
    for (std::size_t draw = begin; draw < end; ++draw) {
      Varied varied;
      for (std::size_t i = 0; i < inputs.size(); ++i)
        scale(varied, inputs[i], drawn(halton(static_cast<int>(draw) + 1, kBases[i]), ranges[i].low, ranges[i].high));
      prices[draw] = priceWith(input, sets, varied);
    }
  });
  std::sort(prices.begin(), prices.end());
  const auto at = [&](double share) { return prices[static_cast<std::size_t>(share * (kDraws - 1))]; };
  const Money likely = priceWith(input, sets, {});
  return {std::min(at(kLowShare), likely), std::max(at(kHighShare), likely)};
}

std::vector<Doubt> rankDoubts(const PriceInput& input, int sets) {
  std::vector<Doubt> doubts;
  for (const GuessedInput& guessed : guessedInputs())
    if (const Range range = rangeOf(guessed, *input.shop); range.low < 1.0 || range.high > 1.0)
      doubts.push_back(alone(input, sets, guessed, range));
  std::stable_sort(doubts.begin(), doubts.end(),
                   [](const Doubt& a, const Doubt& b) { return a.high - a.low > b.high - b.low; });
  return doubts;
}

std::vector<Doubt> fifthSwings(const PriceInput& input, int sets) {
  const GuessedInput swung[] = {{"price of metal", 0, 0, {&Varied::metal}, {}},
                                {"wages", 0, 0, {&Varied::wage}, {}},
                                {"machine hour", 0, 0, {&Varied::machineHour}, {}},
                                {"cutter life", 0, 0, {&Varied::cutterLife}, {}},
                                {"scrap", 0, 0, {&Varied::scrap}, {}}};
  std::vector<Doubt> swings;
  for (const GuessedInput& each : swung) swings.push_back(alone(input, sets, each, {1.0 - kFifth, 1.0 + kFifth}));
  return swings;
}

}  // namespace chipledger::estimate
