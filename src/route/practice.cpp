#include <chipledger/route/practice.hpp>
#include <chipledger/shop/learning.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::route {

namespace {

/// Pieces summed one by one; beyond, the midpoint integral is exact to 1e-7.
constexpr int kSummed = 1000;

double integral(double b, double from, double to) {
  return (std::pow(to, b + 1.0) - std::pow(from, b + 1.0)) / (b + 1.0);
}

}  // namespace

double meanOverLot(double rate, double made, int n) {
  if (n < 1 || rate >= 1.0) return 1.0;
  const int summed = std::min(n, kSummed);
  const double b = std::log2(rate);
  double sum = 0.0;
  for (int k = 1; k <= summed; ++k) sum += std::pow(made + k, b);
  if (n > summed) sum += integral(b, made + summed + 0.5, made + n + 0.5);
  return sum / n;
}

double practiceLeft(int made, double monthsSince) {
  const double pieces = std::max(0, made);
  return monthsSince > kPause_months ? pieces / std::exp2(kDoublingsForgotten) : pieces;
}

double handFactor(double rate, double made, int n, int usual) {
  return meanOverLot(rate, made, std::max(1, n)) / meanOverLot(rate, 0.0, std::max(1, usual));
}

double lotTimeByAverageLaw(double rate, int m, int k) {
  const double b = std::log2(rate);
  return std::pow(k, b + 1.0) - std::pow(m - 1, b + 1.0);
}

Practice::Practice(double rate, double made, int usual)
    : rate_(rate), made_(made), usual_(meanOverLot(rate, 0.0, std::max(1, usual))), sums_{0.0} {}

double Practice::factor(int n) {
  if (n < 1 || rate_ >= 1.0) return 1.0;
  if (n > kSummed) return meanOverLot(rate_, made_, n) / usual_;
  const double b = std::log2(rate_);
  while (static_cast<int>(sums_.size()) <= n)
    sums_.push_back(sums_.back() + std::pow(made_ + static_cast<double>(sums_.size()), b));
  return sums_[static_cast<std::size_t>(n)] / n / usual_;
}

}  // namespace chipledger::route
