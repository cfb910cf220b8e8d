#pragma once
// Who runs the pieces: the task library, or plain threads where the thread sanitizer must see every lock.
#include <cstddef>
#include <functional>

namespace chipledger::parallel {

int machineThreads();
/// At most so many threads from now on; 0 = as many as the machine has.
void limitThreads(int threads);
/// Runs piece(i) for each i in [0, count) in any order on any thread; returns when all are done. May be nested.
void runPieces(std::size_t count, const std::function<void(std::size_t)>& piece);

}  // namespace chipledger::parallel
