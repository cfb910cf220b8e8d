// Countersinks: the depth of the tip against the cone, and the cone cut.
#include <chipledger/path/holes.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "path/shop_floor.hpp"

namespace chipledger::path {
namespace {

TEST(Sink, TipDepthIsTheConesHeight) {
  EXPECT_NEAR(sinkDepth(4.0, std::numbers::pi / 2), 2.0, 1e-12);
  EXPECT_NEAR(sinkDepth(6.0, degrees(60).rad), 3.0 * std::sqrt(3.0), 1e-9);
}

TEST(Sink, AMouthOfTheCuttersAngleIsCutToItsDiameter) {
  test::PlatePart part(test::roundedRectangle({0, 0}, {30, 20}, 3), 3.0, 3.0);
  const int hole = part.bore({10, 10}, 2.0, detail::Side::Outer);
  detail::Detail& d = part.details.list[static_cast<std::size_t>(hole)];
  d.dimensions.counterDiameter = mm(4.0);
  d.dimensions.counterDepth = mm(1.0);
  d.dimensions.angle = degrees(90);
  part.finish();
  ShopFloor floor(part, 0.0, 3.0);
  const SetupPlan plan = floor.run(1, {hole}, false);
  const auto sink = std::find_if(plan.operations.begin(), plan.operations.end(),
                                 [](const Operation& o) { return o.kind == OperationKind::Countersink; });
  ASSERT_NE(sink, plan.operations.end());
  EXPECT_EQ(sink->holes, 1.0);
  double lowest = 1e9;
  for (const Move& m : sink->moves) lowest = std::min(lowest, m.segment.end.z);
  EXPECT_NEAR(lowest, 3.0 - 2.0, 0.01);
  // The cone's frustum without the hole and what the spot has taken: pi h / 3 (R^2 + R r + r^2) - pi r^2 h.
  const double frustum = std::numbers::pi / 3.0 * (4 + 2 + 1) - std::numbers::pi;
  EXPECT_NEAR(static_cast<double>(sink->removed.um3) * 1e-9, frustum, 0.06 * frustum);
}

}  // namespace
}  // namespace chipledger::path
