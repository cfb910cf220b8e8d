#include <chipledger/ledger/ledger.hpp>
#include <gtest/gtest.h>

#include <numeric>
#include <random>

using namespace chipledger;
using namespace chipledger::ledger;

TEST(Ledger, SumsByEveryKeyEqualTheTotalExactly) {
  std::mt19937_64 random(7);
  Ledger book;
  for (int i = 0; i < 5000; ++i) {
    Entry e;
    e.setup = static_cast<int>(random() % 4) - 1;
    e.operation = static_cast<int>(random() % 9) - 1;
    e.detail = static_cast<int>(random() % 6) - 1;
    e.line = kLines[random() % std::size(kLines)];
    e.removed = {static_cast<std::int64_t>(random() % 1000000007)};
    e.minutes.likely = {static_cast<std::int64_t>(random() % 1000003)};
    e.cost = {static_cast<std::int64_t>(random() % 2000003) - 1000000};
    book.book(e);
  }
  VolumeCount bySetup, byDetail;
  TimeCount time;
  Money byLine, detailMoney;
  for (int k = -1; k < 3; ++k) bySetup += book.removedBySetup(k);
  for (int k = -1; k < 5; ++k) {
    byDetail += book.removedByDetail(k);
    time += book.minutesByDetail(k).likely;
    detailMoney += book.costByDetail(k);
  }
  for (Line line : kLines) byLine += book.cost(line);
  EXPECT_EQ(bySetup, book.removed());
  EXPECT_EQ(byDetail, book.removed());
  EXPECT_EQ(time, book.minutes().likely);
  EXPECT_EQ(byLine, book.cost());
  EXPECT_EQ(detailMoney, book.cost());
}

TEST(SplitExactly, PartsAddUpToTheWholeWhateverTheWeights) {
  std::mt19937_64 random(11);
  std::uniform_real_distribution<double> weight(0.0, 3.0);
  for (int round = 0; round < 300; ++round) {
    std::vector<double> weights(1 + random() % 12);
    for (double& w : weights) w = random() % 3 == 0 ? 0.0 : weight(random);
    const auto whole = static_cast<std::int64_t>(random() % 1000000000000) - 500000000000;
    const auto parts = splitExactly(whole, weights);
    EXPECT_EQ(std::accumulate(parts.begin(), parts.end(), std::int64_t{0}), whole);
  }
}

TEST(SplitExactly, FollowsTheWeights) {
  EXPECT_EQ(splitExactly(100, {1, 2, 1}), (std::vector<std::int64_t>{25, 50, 25}));
  EXPECT_EQ(splitExactly(10, {1, 1, 1}), (std::vector<std::int64_t>{4, 3, 3}));
  EXPECT_EQ(splitExactly(7, {0, 0}), (std::vector<std::int64_t>{0, 7}));
}
