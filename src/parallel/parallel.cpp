#include <chipledger/parallel/parallel.hpp>

#include <algorithm>
#include <vector>

#include "parallel/scheduler.hpp"

namespace chipledger {
namespace {
int chosen = 0;
}  // namespace

void setThreads(int threads) {
  chosen = std::max(0, threads);
  parallel::limitThreads(chosen);
}

int threads() { return chosen > 0 ? chosen : parallel::machineThreads(); }

void forEachRange(std::size_t count, std::size_t grain, const std::function<void(std::size_t, std::size_t)>& body) {
  if (count == 0) return;
  grain = std::max<std::size_t>(1, grain);
  const std::size_t pieces = (count + grain - 1) / grain;
  if (pieces == 1 || threads() == 1) {
    for (std::size_t p = 0; p < pieces; ++p) body(p * grain, std::min(count, (p + 1) * grain));
    return;
  }
  parallel::runPieces(pieces, [&](std::size_t p) { body(p * grain, std::min(count, (p + 1) * grain)); });
}

void forEachTask(std::size_t count, const std::function<void(std::size_t)>& body) {
  forEachRange(count, 1, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) body(i);
  });
}

double orderedSum(std::size_t count, std::size_t grain, const std::function<double(std::size_t, std::size_t)>& piece) {
  if (count == 0) return 0.0;
  grain = std::max<std::size_t>(1, grain);
  const std::size_t pieces = (count + grain - 1) / grain;
  std::vector<double> partial(pieces);
  forEachTask(pieces, [&](std::size_t p) { partial[p] = piece(p * grain, std::min(count, (p + 1) * grain)); });
  double sum = 0.0;
  for (double value : partial) sum += value;
  return sum;
}

}  // namespace chipledger
