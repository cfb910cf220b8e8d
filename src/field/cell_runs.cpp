#include "field/cell_runs.hpp"

#include <chipledger/field/grid.hpp>

#include <algorithm>

// A build for wide vectors beside the plain one, chosen when the program starts. Sanitizers cannot start such programs.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__) && \
    !defined(__SANITIZE_THREAD__)
#define CHIPLEDGER_WIDE __attribute__((target_clones("avx2", "default")))
#else
#define CHIPLEDGER_WIDE
#endif

namespace chipledger::field {

namespace {
constexpr std::int32_t kCrumb_um = 1;  // rounding of heights: not counted as width of cut
}

CHIPLEDGER_WIDE bool anyAbove(const std::int32_t* cells, int count, std::int32_t limit) {
  int above = 0;
  for (int i = 0; i < count; ++i) above |= cells[i] > limit ? 1 : 0;
  return above != 0;
}

CHIPLEDGER_WIDE RunTaken lower(std::int32_t* near, const std::int32_t* far, const std::int32_t* target, int count,
                               std::int32_t height, std::int32_t tolerance, std::int32_t* taken) {
  int cells = 0, deep = 0;
  for (int i = 0; i < count; ++i) {
    const std::int32_t before = near[i], below = far[i];
    const bool cut = before > height;
    const std::int32_t lost = cut ? before - std::max(height, below) : 0;
    near[i] = cut ? (height > below ? height : kNoMetal) : before;
    taken[i] = lost;
    cells += lost > kCrumb_um ? 1 : 0;
    deep |= cut && target[i] > height + tolerance ? 1 : 0;
  }
  RunTaken run;
  for (int i = 0; i < count; ++i) run.sum += taken[i];
  run.cells = cells;
  run.tooDeep = deep != 0;
  return run;
}

}  // namespace chipledger::field
