#include <chipledger/parallel/parallel.hpp>

#include <oneapi/tbb/blocked_range.h>
#include <oneapi/tbb/global_control.h>
#include <oneapi/tbb/info.h>
#include <oneapi/tbb/parallel_for.h>

#include <algorithm>
#include <memory>
#include <vector>

namespace chipledger {
namespace {
std::unique_ptr<tbb::global_control> control;
int chosen = 0;
}  // namespace

void setThreads(int threads) {
  chosen = std::max(0, threads);
  control.reset();
  if (chosen > 0) {
    control = std::make_unique<tbb::global_control>(tbb::global_control::max_allowed_parallelism,
                                                    static_cast<std::size_t>(chosen));
  }
}

int threads() { return chosen > 0 ? chosen : tbb::info::default_concurrency(); }

void forEachRange(std::size_t count, std::size_t grain, const std::function<void(std::size_t, std::size_t)>& body) {
  if (count == 0) return;
  grain = std::max<std::size_t>(1, grain);
  const std::size_t pieces = (count + grain - 1) / grain;
  if (pieces == 1 || threads() == 1) {
    for (std::size_t p = 0; p < pieces; ++p) body(p * grain, std::min(count, (p + 1) * grain));
    return;
  }
  tbb::parallel_for(std::size_t{0}, pieces,
                    [&](std::size_t p) { body(p * grain, std::min(count, (p + 1) * grain)); });
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
