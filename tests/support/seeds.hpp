#pragma once
// Seeds of random cases: 1 ... count, more by CHIPLEDGER_SEEDS=200 in the environment.
#include <cstdint>
#include <cstdlib>
#include <numeric>
#include <vector>

namespace chipledger::testing {

inline std::vector<std::uint32_t> seeds(std::uint32_t count) {
  if (const char* asked = std::getenv("CHIPLEDGER_SEEDS")) {
    const int more = std::atoi(asked);
    if (more > 0) count = static_cast<std::uint32_t>(more);
  }
  std::vector<std::uint32_t> list(count);
  std::iota(list.begin(), list.end(), 1u);
  return list;
}

}  // namespace chipledger::testing
