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

namespace {

/// In fifths of a letter: wrong or superfluous 5, left out 2.
std::size_t effort(const std::string& word, const std::string& meant) {
  constexpr std::size_t kWrong = 5, kLeftOut = 2;
  const auto lower = [](char c) { return std::tolower(static_cast<unsigned char>(c)); };
  std::vector<std::size_t> row(meant.size() + 1);
  for (std::size_t j = 0; j <= meant.size(); ++j) row[j] = j * kLeftOut;
  for (std::size_t i = 1; i <= word.size(); ++i) {
    std::size_t corner = row[0];
    row[0] = i * kWrong;
    for (std::size_t j = 1; j <= meant.size(); ++j) {
      const std::size_t above = row[j];
      row[j] = std::min(
          {above + kWrong, row[j - 1] + kLeftOut, corner + (lower(word[i - 1]) == lower(meant[j - 1]) ? 0 : kWrong)});
      corner = above;
    }
  }
  return row[meant.size()];
}

}  // namespace

std::string nearestOf(const std::string& word, const std::vector<std::string>& known) {
  std::string best;
  std::size_t least = std::string::npos;
  for (const std::string& candidate : known)
    if (const std::size_t e = effort(word, candidate); e < least) {
      least = e;
      best = candidate;
    }
  return best;
}

std::string nearTo(const std::string& word, const std::vector<std::string>& known) {
  std::string best;
  std::size_t least = std::string::npos;
  for (const std::string& candidate : known)
    if (const std::size_t away = editDistance(word, candidate);
        3 * away <= std::max(word.size(), candidate.size()) && away < least) {
      least = away;
      best = candidate;
    }
  return best;
}

}  // namespace chipledger
