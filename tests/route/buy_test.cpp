// Orders, minimum charges and blanks on a sheet.
#include <gtest/gtest.h>
#include <chipledger/route/buy.hpp>

#include <functional>

using namespace chipledger;
using namespace chipledger::route;

namespace {

BoughtPart blade() {
  BoughtPart part;
  part.name = "blade";
  part.each = money(46);
  part.minimumOrder = 10;
  part.breaks = {{25, money(41)}, {100, money(37)}};
  return part;
}

TEST(Orders, MinimumAndBreaks) {
  struct Row {
    double need;
    int quantity;
    double each;
    int leftOver;
  };
  // 23 at 46 cost 1058, 25 at 41 cost 1025: the larger order is the cheaper one. 91 at 41 cost 3731, 100 at 37 3700.
  for (const Row& row : {Row{3, 10, 46, 7}, Row{10, 10, 46, 0}, Row{20, 20, 46, 0}, Row{23, 25, 41, 2},
                         Row{25, 25, 41, 0}, Row{50.0000000001, 50, 41, 0}, Row{50.2, 51, 41, 0}, Row{91, 100, 37, 9},
                         Row{240, 240, 37, 0}, Row{0, 0, 0, 0}}) {
    const Order order = orderOf(row.need, blade());
    EXPECT_EQ(order.quantity, row.quantity) << row.need;
    EXPECT_EQ(order.each, money(row.each)) << row.need;
    EXPECT_EQ(order.leftOver, row.leftOver) << row.need;
    EXPECT_EQ(order.money, money(row.each * row.quantity)) << row.need;
  }
}

TEST(Orders, MoneyIsTheCheapestOfAllQuantitiesThatAreEnough) {
  const BoughtPart part = blade();
  for (int need = 1; need <= 150; ++need) {
    Money best = money(1e9);
    for (int q = std::max(need, part.minimumOrder); q <= 300; ++q) {
      const double each = q >= 100 ? 37 : q >= 25 ? 41 : 46;
      best = std::min(best, money(each * q));
    }
    EXPECT_EQ(orderOf(need, part).money, best) << need;
  }
}

TEST(Orders, MinimumChargeOfWorkSentOut) {
  SentOut relief;
  relief.each = money(6);
  relief.minimumCharge = money(90);
  EXPECT_EQ(chargeOf(10, relief), money(90));
  EXPECT_EQ(chargeOf(15, relief), money(90));
  EXPECT_EQ(chargeOf(100, relief), money(600));
  EXPECT_EQ(chargeOf(0, relief), Money{});
}

// By hand: 104 x 32 on 300 x 300 without kerf: two columns of nine lengthwise, the 92 mm left hold two columns of two
// turned: 18 + 4 = 22. One lengthwise column and six turned ones, 9 + 12 = 21, is less; all one way is 18.
TEST(Nesting, StripsAndTheRestTurned) {
  const Nesting n = nest(104, 32, 300, 300, 0);
  EXPECT_EQ(n.count, 22);
  EXPECT_NEAR(n.waste, 1 - 22 * 104 * 32 / 90000.0, 1e-12);
}

TEST(Nesting, KerfIsLostBetweenBlanksOnly) {
  EXPECT_EQ(nest(100, 50, 100, 50, 2).count, 1);
  EXPECT_EQ(nest(100, 50, 201, 50, 2).count, 1);
  EXPECT_EQ(nest(100, 50, 202, 50, 2).count, 2);
  EXPECT_EQ(nest(100, 50, 99, 49, 2).count, 0);
  EXPECT_EQ(nest(100, 50, 50, 100, 0).count, 1);
}

/// Best count by straight cuts right through a sheet of whole units, blanks turned as one likes: slow and complete.
int guillotine(int l, int w, int L, int W, std::vector<std::vector<int>>& memo) {
  if (L < W) std::swap(L, W);
  if (!((L >= l && W >= w) || (L >= w && W >= l))) return 0;
  int& known = memo[static_cast<std::size_t>(L)][static_cast<std::size_t>(W)];
  if (known >= 0) return known;
  int best = 1;
  for (int cut = 1; cut <= L / 2; ++cut)
    best = std::max(best, guillotine(l, w, cut, W, memo) + guillotine(l, w, L - cut, W, memo));
  for (int cut = 1; cut <= W / 2; ++cut)
    best = std::max(best, guillotine(l, w, L, cut, memo) + guillotine(l, w, L, W - cut, memo));
  return known = best;
}

TEST(Nesting, NeverMoreThanStraightCutsCanGiveAndSeldomLess) {
  int behind = 0, cases = 0;
  for (int l = 3; l <= 12; ++l)
    for (int w = 2; w <= l; ++w)
      for (int L = 10; L <= 30; L += 5)
        for (int W = 8; W <= L; W += 4) {
          std::vector<std::vector<int>> memo(31, std::vector<int>(31, -1));
          const int best = guillotine(l, w, L, W, memo), ours = nest(l, w, L, W, 0).count;
          EXPECT_LE(ours, best) << l << "x" << w << " on " << L << "x" << W;
          behind += best - ours;
          cases += best;
        }
  // One split of the sheet against any number of them: a few blanks in a hundred.
  EXPECT_LT(behind, 0.05 * cases);
}

}  // namespace
