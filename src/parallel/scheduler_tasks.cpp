#ifndef CHIPLEDGER_PLAIN_THREADS
#include <oneapi/tbb/global_control.h>
#include <oneapi/tbb/info.h>
#include <oneapi/tbb/parallel_for.h>

#include <memory>

#include "parallel/scheduler.hpp"

namespace chipledger::parallel {
namespace {
std::unique_ptr<tbb::global_control> control;
}

int machineThreads() { return tbb::info::default_concurrency(); }

void limitThreads(int threads) {
  control.reset();
  if (threads > 0)
    control = std::make_unique<tbb::global_control>(tbb::global_control::max_allowed_parallelism,
                                                    static_cast<std::size_t>(threads));
}

void runPieces(std::size_t count, const std::function<void(std::size_t)>& piece) {
  tbb::parallel_for(std::size_t{0}, count, [&](std::size_t i) { piece(i); });
}

}  // namespace chipledger::parallel
#endif
