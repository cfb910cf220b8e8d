#pragma once
// Inner loops over runs of cells: no branches, so that the compiler does many cells at once. Integers only: every
// width of vector gives the same numbers.
#include <cstdint>

namespace chipledger::field {

/// Some cell of the run is higher than `limit`.
bool anyAbove(const std::int32_t* cells, int count, std::int32_t limit);

struct RunTaken {
  std::int64_t sum{};
  int cells{};     ///< from which more than rounding crumbs were taken
  bool tooDeep{};  ///< some cell cut lies below its target by more than the tolerance
};
/// Lowers the cells to `height` (to nothing where they end above it), at most kMostRun of them; what each lost goes to
/// `taken`.
inline constexpr int kMostRun = 64;
RunTaken lower(std::int32_t* near, const std::int32_t* far, const std::int32_t* target, int count, std::int32_t height,
               std::int32_t tolerance, std::int32_t* taken);

}  // namespace chipledger::field
