#pragma once
// The known word a mistyped one was probably meant to be.
#include <string>
#include <vector>

namespace chipledger {

/// Least count of inserted, dropped and changed letters, whatever their case (Levenshtein distance).
std::size_t editDistance(const std::string& a, const std::string& b);
/// The nearest of `known`, the first among equals; empty when there are none.
std::string nearestOf(const std::string& word, const std::vector<std::string>& known);

}  // namespace chipledger
