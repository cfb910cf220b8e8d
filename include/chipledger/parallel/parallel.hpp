#pragma once
// The only room that knows of threads. Results never depend on their number: work is cut into fixed pieces and
// partial results are joined in order.
#include <cstddef>
#include <functional>

namespace chipledger {

/// Sets the number of threads for the whole process; 0 = as many as the machine has. Call once, before any work.
void setThreads(int threads);
int threads();

/// Runs body(begin, end) over [0, count) in fixed pieces of `grain`, in any order, on any thread.
/// The body must write only to places that belong to its own range.
void forEachRange(std::size_t count, std::size_t grain, const std::function<void(std::size_t, std::size_t)>& body);

/// Runs body(i) for each i in [0, count); one task each. For a few large tasks.
void forEachTask(std::size_t count, const std::function<void(std::size_t)>& body);

/// Sum of piece(begin, end) over fixed pieces, added in order: bit-equal for any number of threads.
double orderedSum(std::size_t count, std::size_t grain, const std::function<double(std::size_t, std::size_t)>& piece);

}  // namespace chipledger
