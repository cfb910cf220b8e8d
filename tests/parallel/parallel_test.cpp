// The one room with threads: every piece once, the same sums for any number of threads, loops within loops end.
#include <chipledger/parallel/parallel.hpp>

#include <gtest/gtest.h>

#include <cmath>
#include <numeric>
#include <vector>

using namespace chipledger;

namespace {

constexpr int kThreads[] = {1, 2, 3, 8, 0};

struct Parallel : testing::Test {
  ~Parallel() override { setThreads(0); }
};

TEST_F(Parallel, EveryPlaceIsVisitedOnce) {
  for (const int threads : kThreads) {
    setThreads(threads);
    for (const std::size_t count : {std::size_t{0}, std::size_t{1}, std::size_t{7}, std::size_t{1000}})
      for (const std::size_t grain : {std::size_t{0}, std::size_t{1}, std::size_t{3}, std::size_t{5000}}) {
        std::vector<int> visits(count, 0);
        forEachRange(count, grain, [&](std::size_t begin, std::size_t end) {
          for (std::size_t i = begin; i < end; ++i) ++visits[i];
        });
        EXPECT_EQ(visits, std::vector<int>(count, 1)) << threads << " threads, grain " << grain;
      }
  }
}

TEST_F(Parallel, SumsAreBitEqualForAnyNumberOfThreads) {
  const auto piece = [](std::size_t begin, std::size_t end) {
    double sum = 0.0;
    for (std::size_t i = begin; i < end; ++i) sum += std::sin(static_cast<double>(i)) * 1e-3 + 1.0 / (1.0 + static_cast<double>(i));
    return sum;
  };
  setThreads(1);
  const double alone = orderedSum(10007, 64, piece);
  for (const int threads : kThreads) {
    setThreads(threads);
    EXPECT_EQ(orderedSum(10007, 64, piece), alone);
  }
}

TEST_F(Parallel, LoopsWithinLoopsEnd) {
  for (const int threads : kThreads) {
    setThreads(threads);
    std::vector<int> sums(20, 0);
    forEachTask(sums.size(), [&](std::size_t i) {
      std::vector<int> inner(50, 0);
      forEachTask(inner.size(), [&](std::size_t k) { inner[k] = static_cast<int>(k); });
      sums[i] = std::accumulate(inner.begin(), inner.end(), 0);
    });
    EXPECT_EQ(sums, std::vector<int>(20, 1225));
  }
}

TEST_F(Parallel, ThreadsAreAsManyAsAskedFor) {
  setThreads(3);
  EXPECT_EQ(threads(), 3);
  setThreads(0);
  EXPECT_GE(threads(), 1);
}

}  // namespace
