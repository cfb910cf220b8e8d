#include <chipledger/result/nearest.hpp>

#include <algorithm>
#include <cctype>
#include <numeric>

namespace chipledger {

std::size_t editDistance(const std::string& a, const std::string& b) {
  const auto lower = [](char c) { return std::tolower(static_cast<unsigned char>(c)); };
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t corner = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t above = row[j];
      row[j] = std::min({row[j] + 1, row[j - 1] + 1, corner + (lower(a[i - 1]) == lower(b[j - 1]) ? 0u : 1u)});
      corner = above;
    }
  }
  return row[b.size()];
}

std::string nearestOf(const std::string& word, const std::vector<std::string>& known) {
  std::string best;
  std::size_t away = std::string::npos;
  for (const std::string& candidate : known)
    if (const std::size_t distance = editDistance(word, candidate); distance < away) {
      away = distance;
      best = candidate;
    }
  return best;
}

}  // namespace chipledger
