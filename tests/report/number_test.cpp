#include <chipledger/report/number.hpp>

#include <gtest/gtest.h>

#include <cstdlib>
#include <limits>

namespace chipledger::report {
namespace {

TEST(Number, ShortestReadsBackAsTheSameDouble) {
  for (const double v : {0.1, 1.0 / 3.0, 1e-9, 1e21, 123456789.125, -2.5, 6.35, 5e-324}) {
    EXPECT_EQ(std::strtod(shortest(v).c_str(), nullptr), v) << shortest(v);
  }
  EXPECT_EQ(shortest(6.35), "6.35");
  EXPECT_EQ(shortest(-0.0), "0");
  EXPECT_EQ(shortest(std::numeric_limits<double>::infinity()), "null");
  EXPECT_EQ(shortest(std::numeric_limits<double>::quiet_NaN()), "null");
}

TEST(Number, NeverPrintsMinusZero) {
  EXPECT_EQ(fixed(-0.001, 2), "0.00");
  EXPECT_EQ(trimmed(-0.0001, 3), "0");
  EXPECT_EQ(withSign(0.001, 2), "0.00");
  EXPECT_EQ(withSign(1.5, 1), "+1.5");
  EXPECT_EQ(withSign(-1.5, 1), "-1.5");
}

TEST(Number, TrimsTrailingZeros) {
  EXPECT_EQ(mmText(mm(6.35)), "6.35");
  EXPECT_EQ(mmText(mm(2)), "2");
  EXPECT_EQ(mmText(mm(100)), "100");
  EXPECT_EQ(trimmed(0.1 + 0.2, 3), "0.3");
}

TEST(Number, MoneyColumnsAddUpInSight) {
  EXPECT_EQ(moneyText(money(12.345678)), "12.35");
  EXPECT_EQ(moneyRounded(money(123.4)), "123");
  EXPECT_EQ(moneyRounded(money(12.34)), "12.3");
  EXPECT_EQ(moneySigned(money(-3)), "-3.00");
}

TEST(Number, CountsAreDividedOnce) {
  EXPECT_EQ(shortest(mm3Of({1'234'567'890'123})), "1234.567890123");
  EXPECT_EQ(shortest(minutesOf({90'000'000'000})), "1.5");
  EXPECT_EQ(percentText(0.791), "79 %");
  EXPECT_EQ(percentText(0.055), "5.5 %");
}

}  // namespace
}  // namespace chipledger::report
