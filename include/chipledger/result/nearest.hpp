#pragma once
// The known word a mistyped one was probably meant to be.
#include <string>
#include <vector>

namespace chipledger {

/// Least count of inserted, dropped and changed letters, whatever their case (Levenshtein distance).
std::size_t editDistance(const std::string& a, const std::string& b);
/// The nearest of `known`, the first among equals; empty when there are none. Letters left out weigh less than wrong
/// ones, for names get shortened: "isl1" is nearer to "island-1" than to "body".
std::string nearestOf(const std::string& word, const std::vector<std::string>& known);
/// The same, but empty when it is not near: more than a third of the word would be another.
std::string nearTo(const std::string& word, const std::vector<std::string>& known);

}  // namespace chipledger
