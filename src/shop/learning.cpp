#include <chipledger/shop/learning.hpp>

#include <algorithm>

namespace chipledger::shop {

namespace {
constexpr int kSummed = 1000;
}

double unitLearning(double learning, double n) { return std::pow(n, std::log2(learning)); }

double averageLearning(double learning, int n) {
  if (n <= 1 || learning >= 1.0) return 1.0;
  const int summed = std::min(n, kSummed);
  double sum = 0.0;
  for (int k = 1; k <= summed; ++k) sum += unitLearning(learning, k);
  if (n > summed) {
    // Midpoint integral of x^b from summed + 1/2 to n + 1/2: exact to 1e-7 here.
    const double b = std::log2(learning);
    sum += (std::pow(n + 0.5, b + 1.0) - std::pow(summed + 0.5, b + 1.0)) / (b + 1.0);
  }
  return sum / n;
}

double learningFactor(double learning, int pieces) {
  return averageLearning(learning, std::max(1, pieces)) / averageLearning(learning, kUsualPieces);
}

}  // namespace chipledger::shop
