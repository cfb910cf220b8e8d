#pragma once
// The keys of an answers file and what may stand behind them.
#include <chipledger/detail/answers.hpp>

namespace chipledger::detail {

bool knownTable(const std::string& about);
std::string nearestTable(const std::string& about);  ///< a sentence
bool knownKey(const std::string& about, const std::string& key);
std::string nearestKey(const std::string& about, const std::string& key);  ///< a sentence
/// What is wrong with the value of a key; empty when nothing is.
std::string wrongValue(const std::string& key, const Answer& answer);

}  // namespace chipledger::detail
