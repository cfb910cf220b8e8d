#include "cutting/row_reader.hpp"

#include <algorithm>
#include <cctype>
#include <numeric>

namespace chipledger::cutting {
namespace {

std::size_t editDistance(const std::string& a, const std::string& b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t above = row[j];
      const std::size_t change =
          std::tolower(static_cast<unsigned char>(a[i - 1])) == std::tolower(static_cast<unsigned char>(b[j - 1])) ? 0
                                                                                                                   : 1;
      row[j] = std::min({row[j - 1] + 1, above + 1, diagonal + change});
      diagonal = above;
    }
  }
  return row.back();
}

}  // namespace

std::string nearest(const std::string& word, const std::vector<std::string>& words) {
  std::string best;
  std::size_t least = std::max<std::size_t>(word.size() / 2, 1) + 1;
  for (const auto& candidate : words) {
    const std::size_t distance = editDistance(word, candidate);
    if (distance < least) {
      least = distance;
      best = candidate;
    }
  }
  return best;
}

}  // namespace chipledger::cutting
