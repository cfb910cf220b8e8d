// The part without a detail has the volume of the part drawn without it.
#include "drawn.hpp"

using namespace chipledger;
using namespace chipledger::test;
using detail::DetailKind;

namespace {

/// mm3: footprints are chords within 0.002 mm of the walls, up to 60 mm long and 5 mm high.
constexpr double kVolume = 0.3;

draw::Chassis full() {
  draw::Chassis c = plainPlate();
  c.islands.push_back(island("island", {-18, 0}, 14, 8, 3.2));
  draw::Bore pivot = bore("pivot", {-18, 0}, 3);
  pivot.on = "island";
  c.bores.push_back(pivot);
  c.bores.push_back(bore("blind", {20, 8}, 2.5, 1.5));
  draw::Bore sunk = bore("sunk", {20, -8}, 2.5);
  sunk.counterbore = draw::Counterbore{mm(5), mm(1)};
  c.bores.push_back(sunk);
  draw::Pocket p = pocket("pocket", {2, 0}, 14, 10, 1.2, 2);
  p.floorRadius = mm(0.3);
  c.pockets.push_back(p);
  draw::Island in = island("inner", {2, 0}, 5, 3, 0.8, 0);
  in.on = "pocket";
  c.islands.push_back(in);
  c.windows.push_back(window("window", {19, 0}, 8, 6));
  return c;
}

}  // namespace

TEST(Without, TheVolumeIsThatOfThePartDrawnWithoutIt) {
  const Seen seen = look(full());
  const auto volumeOf = [](const draw::Chassis& c) {
    const auto drawn = draw::drawChassis(c);
    EXPECT_TRUE(drawn);
    return drawn ? toMm3(drawn->volume) : 0.0;
  };
  const auto islands = seen.all(DetailKind::Island), pockets = seen.all(DetailKind::Pocket),
             windows = seen.all(DetailKind::Window);
  ASSERT_EQ(islands.size(), 2u);
  ASSERT_EQ(pockets.size(), 1u);
  ASSERT_EQ(windows.size(), 1u);

  draw::Chassis c = full();
  c.islands.erase(c.islands.begin());
  c.bores[0].on.clear();  // the pivot bore goes on through the body and stays
  EXPECT_NEAR(seen.volumeWithout({islands[0]}), volumeOf(c), kVolume);

  c = full();
  c.pockets.clear();
  c.islands.pop_back();  // the island in the pocket goes with it
  EXPECT_NEAR(seen.volumeWithout({pockets[0]}), volumeOf(c), kVolume);

  c = full();
  c.windows.clear();
  EXPECT_NEAR(seen.volumeWithout({windows[0]}), volumeOf(c), kVolume);

  c = full();
  c.islands.pop_back();
  EXPECT_NEAR(seen.volumeWithout({islands[1]}), volumeOf(c), kVolume);

  for (const detail::Detail& d : seen.details.list) {
    if (d.kind != DetailKind::Bore && d.kind != DetailKind::Seat) continue;
    const Vec3 at = *d.dimensions.centre;
    c = full();
    std::erase_if(c.bores, [&](const draw::Bore& b) { return norm(b.centre_mm - at.xy()) < 0.1; });
    EXPECT_NEAR(seen.volumeWithout({static_cast<int>(&d - seen.details.list.data())}), volumeOf(c), kVolume) << d.name;
  }
}

TEST(Without, WhatGoesWithADetailIsWhatItsChangesTakeAway) {
  const Seen seen = look(full());
  const auto islands = seen.all(DetailKind::Island), pockets = seen.all(DetailKind::Pocket);
  ASSERT_EQ(islands.size(), 2u);
  // The bore through the island stays in the body; the island in the pocket goes with the pocket.
  EXPECT_EQ(detail::withChildren(seen.details, islands[0]), std::vector<int>{islands[0]});
  EXPECT_EQ(detail::withChildren(seen.details, pockets.at(0)), (std::vector<int>{islands[1], pockets.at(0)}));
}

TEST(Without, EverythingAwayLeavesThePlainPlate) {
  const Seen seen = look(full());
  std::vector<int> group;
  for (std::size_t k = 0; k < seen.details.list.size(); ++k) group.push_back(static_cast<int>(k));
  const auto plain = draw::drawChassis(plainPlate());
  ASSERT_TRUE(plain);
  EXPECT_NEAR(seen.volumeWithout(group), toMm3(plain->volume), 3 * kVolume);
}

TEST(Without, WhatNoPrismTakesAwayChangesNothing) {
  const Seen seen = look(full());
  for (const DetailKind kind : {DetailKind::Body, DetailKind::Outline})
    EXPECT_TRUE(detail::without(seen.details, seen.all(kind).at(0)).empty());
  EXPECT_TRUE(detail::without(seen.details, 999).empty());
}

TEST(Without, WhatCrossesItStays) {
  const auto crossed = [](bool withPocket, bool withWindow, bool withBore) {
    draw::Chassis c = plainPlate();
    if (withPocket) c.pockets.push_back(pocket("p", {-5, 0}, 16, 10, 1.2));
    if (withWindow) c.windows.push_back(window("w", {4, 0}, 8, 5));
    if (withBore) c.bores.push_back(bore("b", {-8, 0}, 3));
    return c;
  };
  const draw::DrawOptions touching{draw::Touching::Allow, false};
  const Seen seen = look(crossed(true, true, true), touching);
  const auto volumeOf = [&](const draw::Chassis& c) {
    const auto drawn = draw::drawChassis(c, touching);
    EXPECT_TRUE(drawn);
    return drawn ? toMm3(drawn->volume) : 0.0;
  };
  EXPECT_NEAR(seen.volumeWithout(seen.all(DetailKind::Pocket)), volumeOf(crossed(false, true, true)), kVolume);
  EXPECT_NEAR(seen.volumeWithout(seen.all(DetailKind::Window)), volumeOf(crossed(true, false, true)), kVolume);
  EXPECT_NEAR(seen.volumeWithout(seen.all(DetailKind::Bore)), volumeOf(crossed(true, true, false)), kVolume);
}
