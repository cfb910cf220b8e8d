// For the thread sanitizer: the task library is not built for it, so its hand-overs look like races. Threads here are
// started and joined for each loop; slow, and nothing is hidden.
#ifdef CHIPLEDGER_PLAIN_THREADS
#include <algorithm>
#include <atomic>
#include <thread>
#include <vector>

#include "parallel/scheduler.hpp"

namespace chipledger::parallel {
namespace {
std::atomic<int> most{0};
std::atomic<int> running{0};  ///< helpers at work, over all loops
}  // namespace

int machineThreads() { return static_cast<int>(std::max(1U, std::thread::hardware_concurrency())); }

void limitThreads(int threads) { most = threads; }

void runPieces(std::size_t count, const std::function<void(std::size_t)>& piece) {
  const int limit = most > 0 ? most.load() : machineThreads();
  std::atomic<std::size_t> next{0};
  const auto work = [&] {
    for (std::size_t i = next++; i < count; i = next++) piece(i);
  };
  std::vector<std::thread> helpers;
  while (helpers.size() + 1 < count && ++running < limit) helpers.emplace_back(work);
  if (helpers.size() + 1 < count) --running;  // the one that found no room
  work();
  for (std::thread& helper : helpers) helper.join();
  running -= static_cast<int>(helpers.size());
}

}  // namespace chipledger::parallel
#endif
