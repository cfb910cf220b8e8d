// What stands behind --set.
#include <gtest/gtest.h>
#include <chipledger/vary/axis.hpp>

#include <string>
#include <vector>

namespace chipledger::vary {
namespace {

struct Row {
  const char* text;
  std::vector<double> values;
  friend std::ostream& operator<<(std::ostream& out, const Row& row) { return out << row.text; }
};
class Values : public testing::TestWithParam<Row> {};
TEST_P(Values, AreReadAsMeant) {
  const auto axis = readAxis(GetParam().text);
  ASSERT_TRUE(axis.has_value()) << sentence(axis.error());
  EXPECT_EQ(axis->values, GetParam().values);
}
INSTANTIATE_TEST_SUITE_P(Axis, Values,
                         testing::Values(Row{"island-1.height=2:3:0.5", {2, 2.5, 3}},
                                         Row{"island-1.height=2:2.9:0.5", {2, 2.5}},
                                         Row{"a.b = 2 : 2.3 : 0.1", {2, 2.1, 2.2, 2.3}},
                                         Row{"a.b=3:2:-0.5", {3, 2.5, 2}}, Row{"batch=10,25,50", {10, 25, 50}},
                                         Row{"a.b=1.6", {1.6}}, Row{"a.b=1mm,0.1in", {1, 2.54}},
                                         Row{"a.b=2:2:1", {2}}));

struct Bad {
  const char* text;
  const char* says;
  FaultCode code;
  friend std::ostream& operator<<(std::ostream& out, const Bad& row) { return out << row.text; }
};
class BadSet : public testing::TestWithParam<Bad> {};
TEST_P(BadSet, IsToldInASentence) {
  const auto axis = readAxis(GetParam().text);
  ASSERT_FALSE(axis.has_value());
  EXPECT_EQ(axis.error().code, GetParam().code);
  EXPECT_NE(axis.error().what.find(GetParam().says), std::string::npos) << sentence(axis.error());
  EXPECT_FALSE(axis.error().next.empty());
}
INSTANTIATE_TEST_SUITE_P(Axis, BadSet,
                         testing::Values(Bad{"island-1.height", "no \"=\"", FaultCode::Usage},
                                         Bad{"=2:5:1", "Nothing is named", FaultCode::Usage},
                                         Bad{"a.b=", "No values", FaultCode::Usage},
                                         Bad{"a.b=2:5", "three numbers", FaultCode::Usage},
                                         Bad{"a.b=2:5:0", "step is zero", FaultCode::Usage},
                                         Bad{"a.b=2:5:-1", "never get to", FaultCode::Usage},
                                         Bad{"a.b=tall", "not a number", FaultCode::Usage},
                                         Bad{"a.b=1,,2", "not a number", FaultCode::Usage},
                                         Bad{"a.b=nan", "not a number", FaultCode::Usage},
                                         Bad{"a.b=0:1e9:1", "at most", FaultCode::Limit}));

}  // namespace
}  // namespace chipledger::vary
