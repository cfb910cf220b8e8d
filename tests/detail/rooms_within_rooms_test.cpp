// Details in and on one another, each drawn for the purpose.
#include <algorithm>

#include "drawn.hpp"

using namespace chipledger;
using namespace chipledger::test;
using detail::DetailKind;

namespace {
constexpr double kSize = 0.01;  // mm
}

TEST(RoomsWithinRooms, AnIslandStandsInAPocket) {
  draw::Chassis c = plainPlate();
  c.pockets.push_back(pocket("p", {-10, 0}, 20, 12, 1.5));
  draw::Island boss = island("i", {-10, 0}, 8, 4, 1.5, 0);  // as high as the pocket is deep: flush with the body
  boss.on = "p";
  c.islands.push_back(boss);
  const Seen seen = look(c);
  const auto islands = seen.all(DetailKind::Island), pockets = seen.all(DetailKind::Pocket);
  ASSERT_EQ(islands.size(), 1u);
  ASSERT_EQ(pockets.size(), 1u);
  EXPECT_EQ(seen.at(islands[0]).parent, pockets[0]);
  EXPECT_NEAR(toMm(*seen.at(islands[0]).dimensions.height), 1.5, kSize);
  EXPECT_NEAR(toMm(*seen.at(islands[0]).dimensions.gap), 4, kSize);  // (12 - 4) / 2 between the long sides
  EXPECT_NEAR(toMm(*seen.at(pockets[0]).dimensions.length), 20, kSize);
  EXPECT_NEAR(toMm(*seen.at(pockets[0]).dimensions.thickness), 1.5, kSize);
}

TEST(RoomsWithinRooms, APocketLiesInAnIsland) {
  draw::Chassis c = plainPlate();
  c.islands.push_back(island("i", {5, 0}, 20, 12, 4));
  draw::Pocket p = pocket("p", {5, 0}, 8, 4, 1.2);
  p.on = "i";
  c.pockets.push_back(p);
  const Seen seen = look(c);
  const auto islands = seen.all(DetailKind::Island), pockets = seen.all(DetailKind::Pocket);
  ASSERT_EQ(islands.size(), 1u);
  ASSERT_EQ(pockets.size(), 1u);
  EXPECT_EQ(seen.at(pockets[0]).parent, islands[0]);
  EXPECT_NEAR(toMm(*seen.at(pockets[0]).dimensions.depth), 1.2, kSize);
  EXPECT_NEAR(toMm(*seen.at(islands[0]).dimensions.height), 4, kSize);
  EXPECT_NEAR(toMm(*seen.at(islands[0]).dimensions.rootRadius), 0.5, kSize);
}

TEST(RoomsWithinRooms, ABoreGoesThroughAnIsland) {
  draw::Chassis c = plainPlate();
  c.islands.push_back(island("i", {5, 0}, 14, 8, 3.2));
  draw::Bore b = bore("b", {5, 0}, 3);
  b.on = "i";
  c.bores.push_back(b);
  const Seen seen = look(c);
  const auto islands = seen.all(DetailKind::Island), bores = seen.all(DetailKind::Bore);
  ASSERT_EQ(islands.size(), 1u);
  ASSERT_EQ(bores.size(), 1u);
  EXPECT_EQ(seen.at(bores[0]).parent, islands[0]);
  EXPECT_TRUE(seen.at(bores[0]).through);
  EXPECT_NEAR(toMm(*seen.at(bores[0]).dimensions.depth), 6.2, kSize);
}

TEST(RoomsWithinRooms, AWindowCutsIntoAPocket) {
  draw::Chassis c = plainPlate();
  c.pockets.push_back(pocket("p", {-5, 0}, 16, 10, 1.2));
  c.windows.push_back(window("w", {4, 0}, 8, 5));
  const Seen seen = look(c, {draw::Touching::Allow, false});
  const auto windows = seen.all(DetailKind::Window), pockets = seen.all(DetailKind::Pocket);
  ASSERT_EQ(windows.size(), 1u);
  ASSERT_EQ(pockets.size(), 1u);
  EXPECT_NEAR(toMm(*seen.at(windows[0]).dimensions.length), 8, kSize);
  EXPECT_NEAR(toMm(*seen.at(windows[0]).dimensions.width), 5, kSize);
  EXPECT_NEAR(toMm(*seen.at(pockets[0]).dimensions.depth), 1.2, kSize);
  EXPECT_NEAR(toMm(*seen.at(pockets[0]).dimensions.width), 10, kSize);
  EXPECT_NEAR(toMm(*seen.at(pockets[0]).dimensions.length), 16, kSize);  // as drawn, the window's share with it
}

TEST(RoomsWithinRooms, APocketThatALockCutPartsIsOnePocket) {
  draw::Chassis c = plainPlate();
  draw::Slot cut;
  cut.name = "cut";
  cut.band = {{{-22, 1}, {22, 1}}, mm(1.2), {}};
  cut.use = draw::SlotUse::LockCut;
  c.slots.push_back(cut);
  c.pockets.push_back(pocket("p", {-5, 0}, 10, 12, 1));
  const Seen seen = look(c, {draw::Touching::Allow, false});
  ASSERT_EQ(seen.all(DetailKind::LockCut).size(), 1u);
  const auto pockets = seen.all(DetailKind::Pocket);
  ASSERT_EQ(pockets.size(), 1u);
  EXPECT_NEAR(toMm(*seen.at(pockets[0]).dimensions.length), 12, kSize);
  EXPECT_NEAR(toMm(*seen.at(pockets[0]).dimensions.width), 10, kSize);
  EXPECT_NEAR(toMm(*seen.at(pockets[0]).dimensions.depth), 1, kSize);
}

TEST(RoomsWithinRooms, PocketsOfTwoDepthsOverlap) {
  draw::Chassis c = plainPlate();
  c.pockets.push_back(pocket("shallow", {-6, 0}, 14, 8, 0.8));
  c.pockets.push_back(pocket("deep", {4, 0}, 12, 6, 1.6));
  const Seen seen = look(c, {draw::Touching::Allow, false});
  const auto pockets = seen.all(DetailKind::Pocket);
  ASSERT_EQ(pockets.size(), 2u);
  // By position: the shallow one is first. Both are as deep as drawn, from the body.
  EXPECT_NEAR(toMm(*seen.at(pockets[0]).dimensions.depth), 0.8, kSize);
  EXPECT_NEAR(toMm(*seen.at(pockets[1]).dimensions.depth), 1.6, kSize);
}

TEST(RoomsWithinRooms, ABoreCrossesThePocketsWall) {
  draw::Chassis c = plainPlate();
  c.pockets.push_back(pocket("p", {-6, 0}, 14, 8, 1));
  c.bores.push_back(bore("b", {1.2, 0}, 4));
  const Seen seen = look(c, {draw::Touching::Allow, false});
  const auto bores = seen.all(DetailKind::Bore);
  ASSERT_EQ(bores.size(), 1u);
  EXPECT_TRUE(seen.at(bores[0]).through);
  EXPECT_NEAR(toMm(*seen.at(bores[0]).dimensions.diameter), 4, kSize);
  EXPECT_NEAR(toMm(*seen.at(bores[0]).dimensions.depth), 3, kSize);
  EXPECT_EQ(seen.all(DetailKind::Pocket).size(), 1u);
}

TEST(RoomsWithinRooms, ALockCutAndItsThinning) {
  draw::Chassis c = plainPlate();
  draw::Slot cut;
  cut.name = "cut";
  cut.band = {{{-22, 6}, {22, 6}}, mm(1.2), {}};
  cut.use = draw::SlotUse::LockCut;
  c.slots.push_back(cut);
  draw::Pocket thin = pocket("thin", {-18, 9.8}, 8, 4, 2);
  thin.use = draw::PocketUse::Thinning;
  c.pockets.push_back(thin);
  const Seen seen = look(c);
  const auto cuts = seen.all(DetailKind::LockCut), thinnings = seen.all(DetailKind::Thinning);
  ASSERT_EQ(cuts.size(), 1u);
  ASSERT_EQ(thinnings.size(), 1u);
  EXPECT_NEAR(toMm(*seen.at(cuts[0]).dimensions.length), 45.2, kSize);
  EXPECT_NEAR(toMm(*seen.at(cuts[0]).dimensions.width), 1.2, kSize);
  EXPECT_NEAR(toMm(*seen.at(thinnings[0]).dimensions.thickness), 1, kSize);
}

TEST(RoomsWithinRooms, NarrowShallowGroovesAreLettering) {
  draw::Chassis c = plainPlate();
  for (int k = 0; k < 4; ++k) {
    draw::Slot s;
    s.name = "stroke-" + std::to_string(k);
    s.band = {{{-6.0 + 2 * k, -2}, {-5.0 + 2 * k, 2}}, mm(0.4), {}};
    s.depth = mm(0.2);
    c.slots.push_back(s);
  }
  const Seen seen = look(c);
  const auto words = seen.all(DetailKind::Lettering);
  ASSERT_EQ(words.size(), 1u);
  EXPECT_NEAR(toMm(*seen.at(words[0]).dimensions.depth), 0.2, kSize);
  EXPECT_TRUE(seen.all(DetailKind::Slot).empty());
}

TEST(RoomsWithinRooms, AnUndercutIsNamedAndLeftOut) {
  auto block = draw::undercutBlock("t-slot", {60, 40, 20}, {mm(8), mm(5), mm(16), mm(6)});
  ASSERT_TRUE(block) << sentence(block.error());
  const Seen seen = look(std::move(block->drawn));
  EXPECT_FALSE(seen.all(DetailKind::Undercut).empty());
  EXPECT_TRUE(std::any_of(seen.plan.notes.begin(), seen.plan.notes.end(),
                          [](const Note& n) { return n.severity == NoteSeverity::LeftOut; }));
}

TEST(RoomsWithinRooms, ABoreOfATapDrillIsAskedAbout) {
  draw::Chassis c = plainPlate();
  c.bores.push_back(bore("b", {5, 0}, 1.6));
  c.bores.push_back(bore("a", {-15, 0}, 3));
  const Seen seen = look(c);
  int asked = 0;
  for (const detail::Question& q : seen.details.questions) {
    if (q.key != "bore-2.thread") continue;
    ++asked;
    EXPECT_NE(q.question.find("M2"), std::string::npos);
    EXPECT_EQ(q.about, "bore-2");
  }
  EXPECT_EQ(asked, 1);
  EXPECT_EQ(seen.all(DetailKind::Thread).size(), 0u);  // asked, not assumed
}

TEST(RoomsWithinRooms, ColoursAreKeptAsHints) {
  draw::Chassis c = plainPlate();
  draw::Bore tight = bore("t", {-15, 0}, 4), thread = bore("m", {15, 0}, 2.05);
  tight.hint = part::Hint::Tight;
  thread.hint = part::Hint::Thread;
  c.bores = {tight, thread};
  const Seen seen = look(c);
  const auto bores = seen.all(DetailKind::Bore), threads = seen.all(DetailKind::Thread);
  ASSERT_EQ(bores.size(), 1u);
  ASSERT_EQ(threads.size(), 1u);
  EXPECT_EQ(seen.at(bores[0]).hint, "tight");
  EXPECT_EQ(seen.at(threads[0]).thread, "M2.5");
}

TEST(RoomsWithinRooms, NamesStayWhenADimensionChanges) {
  for (const double height : {1.0, 3.2, 5.0}) {
    draw::Chassis c = plainPlate();
    c.islands.push_back(island("a", {-12, 0}, 10, 6, 2));
    c.islands.push_back(island("b", {8, 2}, 9, 5, height));
    c.pockets.push_back(pocket("p", {20, -3}, 6, 5, 0.3 * height));
    const Seen seen = look(c);
    const auto islands = seen.all(DetailKind::Island);
    ASSERT_EQ(islands.size(), 2u);
    EXPECT_EQ(seen.at(islands[1]).name, "island-2");
    EXPECT_NEAR(toMm(*seen.at(islands[1]).dimensions.height), height, kSize);
    EXPECT_EQ(seen.at(seen.all(DetailKind::Pocket).at(0)).name, "pocket-1");
  }
}

TEST(RoomsWithinRooms, ABrokenRimIsNoCountersink) {
  draw::Chassis c = plainPlate();
  draw::Bore rim = bore("rim", {-12, 0}, 5), sunk = bore("sunk", {12, 0}, 2.7);
  rim.countersink = draw::Countersink{mm(5.6), degrees(90)};
  sunk.countersink = draw::Countersink{mm(5), degrees(90)};
  c.bores = {rim, sunk};
  const Seen seen = look(c);
  const auto bores = seen.all(DetailKind::Bore), chamfers = seen.all(DetailKind::Chamfer);
  ASSERT_EQ(bores.size(), 2u);
  ASSERT_EQ(chamfers.size(), 1u);
  EXPECT_EQ(seen.at(chamfers[0]).parent, bores[0]);
  EXPECT_NEAR(toMm(*seen.at(chamfers[0]).dimensions.width), 0.3, kSize);
  EXPECT_FALSE(seen.at(bores[0]).dimensions.counterDiameter);
  EXPECT_NEAR(toMm(*seen.at(bores[0]).dimensions.depth), 3, kSize);
  EXPECT_NEAR(toMm(*seen.at(bores[1]).dimensions.counterDiameter), 5, kSize);
  EXPECT_NEAR(toDegrees(*seen.at(bores[1]).dimensions.angle), 90, 0.01);
}

TEST(RoomsWithinRooms, APlateOnEdgeHasTheSameDetails) {
  const draw::Chassis bored = [] {
    draw::Chassis c = plainPlate();
    c.bores.push_back(test::bore("b", {0, 0}, 4));
    return c;
  }();
  // The plate stood on edge keeps its own frame: nothing in it depends on how the file lies.
  draw::StepOptions step;
  step.frame = {{0, 1, 0}, {0, 0, 1}, {1, 0, 0}, {5, -3, 40}};
  const Seen flat = look(bored), stood = look(bored, {}, step);
  ASSERT_EQ(flat.details.list.size(), stood.details.list.size());
  for (std::size_t k = 0; k < flat.details.list.size(); ++k) {
    EXPECT_EQ(flat.details.list[k].name, stood.details.list[k].name);
    EXPECT_NEAR(flat.details.list[k].high_mm, stood.details.list[k].high_mm, 1e-6);
  }
}
