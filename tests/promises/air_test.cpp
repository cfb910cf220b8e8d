// How much of what roughing runs at cutting feed meets nothing. Ways through cleared room, between the corners that a
// small cutter takes and along stretches in air, are run at travel feed and shown apart.
#include <chipledger/path/link.hpp>

#include <fmt/format.h>

#include <algorithm>

#include "promises/priced.hpp"

namespace chipledger {
namespace {

constexpr double kTravels = 0.999;  // of the travel feed, but for rounding

struct Way {
  double path_mm{}, air_mm{}, travel_mm{}, enter_mm{};
  double minutes{}, airMinutes{};
};

Way roughingWay(const estimate::Estimate& e) {
  Way way;
  for (const estimate::OperationResult& o : e.operations) {
    const path::Operation& op = o.operation;
    if (op.kind != path::OperationKind::Rough && op.kind != path::OperationKind::RestRough) continue;
    for (const path::Move& m : op.moves) {
      if (m.kind == path::MoveKind::Rapid) continue;
      const double l = length(m.segment), minutes = l / toMmPerMin(m.feed);
      way.path_mm += l;
      way.minutes += minutes;
      const bool enters = m.kind == path::MoveKind::Enter;
      if (enters) way.enter_mm += l;
      if (enters || toMm(m.width) > 0) continue;
      (m.feed.base < kTravels * path::kLinkFeed.base ? way.air_mm : way.travel_mm) += l;
      way.airMinutes += minutes;
    }
  }
  return way;
}

class Air : public testing::TestWithParam<const char*> {};

TEST_P(Air, IsLittleOfTheRoughingPath) {
  const test::Priced p = test::pricedSample(GetParam());
  const Way way = roughingWay(p.estimate);
  if (way.path_mm <= 0) GTEST_SKIP() << "Nothing is roughed.";
  const double fed = way.path_mm - way.travel_mm;
  fmt::print(
      "{}: roughing {:.0f} mm, of {:.0f} at cutting feed in air {:.0f}: {:.1f} %; travel at depth {:.0f}, entries "
      "{:.0f} "
      "mm; {:.2f} of {:.2f} min in air: {:.1f} %\n",
      GetParam(), way.path_mm, fed, way.air_mm, 100 * way.air_mm / fed, way.travel_mm, way.enter_mm, way.airMinutes,
      way.minutes, 100 * way.airMinutes / way.minutes);
  constexpr double kMostAir = 0.08;
  EXPECT_LE(way.air_mm, kMostAir * fed);
}

INSTANTIATE_TEST_SUITE_P(Promises, Air,
                         testing::Values("medlar-plain.step", "medlar-islands.step", "medlar-islands-taller.step",
                                         "medlar-lock-side.step", "medlar-pocketed.step",
                                         "medlar-pocketed-sharper.step", "medlar-domed.step", "sundew-island.step",
                                         "sundew-pocketed.step", "cringle-islands.step", "cringle-pocketed.step"),
                         [](const auto& row) {
                           std::string name(row.param);
                           name.resize(name.find('.'));
                           std::replace(name.begin(), name.end(), '-', '_');
                           return name;
                         });

}  // namespace
}  // namespace chipledger
