// The slitting saw: where it can go by brute force over the disc, and slots planned with it.
#include <chipledger/path/saw.hpp>

#include <algorithm>
#include <cmath>

#include "path/shop_floor.hpp"

namespace chipledger::path {
namespace {

TEST(Strip, IsFoundWhicheverWayItLies) {
  for (const double angle : {0.0, 0.4, 1.2, 1.7}) {
    const auto strip = straightStrip(test::turned(test::roundedRectangle({3, 5}, {23, 5.4}, 0.19), angle, {7, -2}));
    ASSERT_TRUE(strip.has_value()) << angle;
    EXPECT_NEAR(strip->length_mm, 20.0, 0.01);
    EXPECT_NEAR(strip->width_mm, 0.4, 0.005);
    EXPECT_NEAR(norm(strip->to - strip->from), strip->length_mm, 1e-9);
  }
  EXPECT_FALSE(straightStrip(unite(rectangle({0, 0}, {20, 0.4}), rectangle({0, 0}, {0.4, 20})))) << "round a corner";
  EXPECT_FALSE(straightStrip(rectangle({0, 0}, {1.0, 0.8}))) << "too short";
}

cutting::Cutter saw(double thick) {
  cutting::Cutter c = *cutting::findCutter(cutting::builtInTables(), "saw-0.4");
  c.fluteLength = mm(thick);
  return c;
}

SawTask lying(double length, double depth, double room) {
  SawTask task;
  task.slot = {{0, 0}, {length, 0}, 0.4, length};
  task.top_mm = task.highest_mm = depth;
  task.over_mm = 0.5;
  // A plate round the slot with windows of length `room` at its ends.
  task.stays = subtract(rectangle({-40, -12}, {length + 40, 12}), rectangle({-room, -3}, {length + room, 3}));
  task.stays = unite(task.stays, subtract(rectangle({0, -3}, {length, 3}), rectangle({0, -0.2}, {length, 0.2})));
  return task;
}

// Whether the disc comes over a point of the slot's plane: s along the slot, z over the plate's underside.
bool covered(const SawWay& way, double R, double s, double z) {
  for (std::size_t i = 0; i + 1 < way.axis.size(); ++i)
    for (int k = 0; k <= 400; ++k) {
      const Vec3 p = way.axis[i] + (way.axis[i + 1] - way.axis[i]) * (k / 400.0);
      if (std::hypot(s - p.x, z - p.z) <= R + 1e-9) return true;
    }
  return false;
}

TEST(Saw, OverheadItCutsTheWholeSlotAndNothingBeyondItsRunOut) {
  for (const double slot : {25.0, 6.0}) {
    const auto way = sawWay(lying(slot, 2.0, 10.0), saw(0.4));
    ASSERT_TRUE(way.has_value());
    EXPECT_TRUE(way->up);
    const double R = 20.0;
    // c(0.5) = 4.444, c(2.5) = 9.682.
    const double half = std::min(std::sqrt(400 - 19.5 * 19.5), 0.5 * slot);
    const double beyond = std::sqrt(400 - 17.5 * 17.5) - half;
    for (double s = 0.0; s <= slot; s += 0.25)
      for (double z = 0.0; z <= 2.0; z += 0.1) EXPECT_TRUE(covered(*way, R, s, z)) << s << " " << z;
    for (double z = 0.0; z <= 2.0; z += 0.1) {
      EXPECT_FALSE(covered(*way, R, -beyond - 0.01, z));
      EXPECT_FALSE(covered(*way, R, slot + beyond + 0.01, z));
    }
    EXPECT_TRUE(covered(*way, R, -beyond + 0.01, 2.0));
    double feed = 0.0;
    for (std::size_t i = 0; i + 1 < way->axis.size(); ++i) feed += norm(way->axis[i + 1] - way->axis[i]);
    EXPECT_NEAR(feed, 2.5 + slot - 2.0 * half, 1e-9);
    for (const Vec3& p : way->axis) EXPECT_GT(p.z - 14.0, 2.0 + 0.5) << "the flange passes over the plate";
  }
}

TEST(Saw, GoesNowhereWithoutRoom) {
  EXPECT_FALSE(sawWay(lying(25.0, 2.0, 4.5), saw(0.4))) << "windows shorter than the run-out";
  EXPECT_FALSE(sawWay(lying(25.0, 2.0, 7.0), saw(0.5))) << "thicker than the slot";
  EXPECT_FALSE(sawWay(lying(25.0, 2.0, 7.0), saw(0.3))) << "so thin that the slot would be drawn wider";
  SawTask island = lying(25.0, 2.0, 7.0);
  island.highest_mm = 5.2;
  EXPECT_FALSE(sawWay(island, saw(0.4))) << "the flange would meet an island";
}

TEST(Saw, EdgeOnItGoesAsDeepAsTheFlangeLetsIt) {
  const auto open = [](double length) {
    SawTask task;
    task.slot = {{0, 0}, {length, 0}, 0.4, length};
    task.top_mm = task.highest_mm = 2.0;
    task.over_mm = 0.5;
    task.stays = subtract(rectangle({0, -12}, {40, 12}), rectangle({-1, -0.2}, {length, 0.2}));
    return task;
  };
  const auto way = sawWay(open(5.0), saw(0.4));
  ASSERT_TRUE(way.has_value());
  EXPECT_FALSE(way->up);
  // From the edge to where the round end of the slot begins, the axis in the middle of the plate.
  EXPECT_NEAR(way->axis.front().x + 20.0, 0.0, 0.4 + 1e-9);
  EXPECT_NEAR(way->axis.back().x + 20.0, 5.0, 0.2 + 1e-9);
  EXPECT_NEAR(way->axis.back().z, 1.0, 1e-12);
  EXPECT_FALSE(sawWay(open(5.6), saw(0.4))) << "20 - 14 - 0.5";
}

struct Slotted {
  test::PlatePart part{test::roundedRectangle({0, 0}, {70, 30}, 3), 2.0, 2.0};
  std::vector<int> served{0, 1, 2};
  explicit Slotted(double room) {
    part.window(unite({test::roundedRectangle({20 - room, 11}, {20, 19}, 1.5), rectangle({19, 14.8}, {46, 15.2}),
                       test::roundedRectangle({45, 11}, {45 + room, 19}, 1.5)}));
    part.finish();
  }
};

bool says(const SetupPlan& plan, const std::string& code) {
  return std::any_of(plan.notes.begin(), plan.notes.end(), [&](const Note& n) { return n.code == code; });
}

TEST(Saw, CutsASlotThatNoMillPasses) {
  Slotted slotted(9.0);
  ShopFloor floor(slotted.part, 0.0, 2.0);
  const SetupPlan plan = floor.run(1, slotted.served, true);
  ASSERT_EQ(plan.sawCuts.size(), 1u);
  const Operation& op = plan.sawCuts.front().operation;
  EXPECT_EQ(op.cutter, "saw-0.4");
  EXPECT_EQ(plan.gouged.um3, 0);
  EXPECT_FALSE(says(plan, "slot-left"));
  // 25 mm of it, but for the lips beside the windows that a small mill has taken.
  EXPECT_NEAR(static_cast<double>(op.removed.um3) * 1e-9, 25.0 * 0.4 * 2.0, 2.0);
  EXPECT_GT(op.conditions.feed.base, 0.0);
  // In the saw's frame the plate stands on edge: the disc works in one plane, over the plate.
  const Frame& f = plan.sawCuts.front().toSaw;
  EXPECT_NEAR(dot(f.z, Vec3{0, 0, 1}), 0.0, 1e-12);
  EXPECT_NEAR(dot(cross(f.x, f.y), f.z), 1.0, 1e-12);
  double cut = 0.0;
  for (std::size_t i = 0; i < op.moves.size(); ++i) {
    const Move& m = op.moves[i];
    EXPECT_TRUE(i == 0 || norm(m.segment.start - op.moves[i - 1].segment.end) < 1e-9);
    EXPECT_NEAR(m.segment.start.z, op.moves.front().segment.start.z, 1e-9);
    if (m.kind != MoveKind::Cut) continue;
    EXPECT_GE(m.segment.end.y, 20.0 - 0.5 - 0.001);
    cut += length(m.segment);
  }
  EXPECT_NEAR(cut, 2.5 + 25.0 - 2.0 * std::sqrt(400 - 19.5 * 19.5), 1.5);
}

TEST(Saw, WhatItCannotReachIsSaid) {
  Slotted slotted(4.0);
  ShopFloor floor(slotted.part, 0.0, 2.0);
  const SetupPlan plan = floor.run(1, slotted.served, true);
  EXPECT_TRUE(plan.sawCuts.empty());
  ASSERT_TRUE(says(plan, "slot-left"));
  const auto note =
      std::find_if(plan.notes.begin(), plan.notes.end(), [](const Note& n) { return n.code == "slot-left"; });
  EXPECT_NE(note->text.find("saw-0.4 cannot saw it: metal stands within the"), std::string::npos) << note->text;
}

TEST(Saw, SaysWhyItIsRefused) {
  struct Row {
    const char* name;
    SawTask task;
    std::vector<cutting::Cutter> crib;
    const char* says;
  };
  SawTask island = lying(25.0, 2.0, 12.0);
  island.highest_mm = 5.2;
  const Row rows[] = {
      {"windows shorter than the run-out", lying(25.0, 2.0, 4.5), {saw(0.4)}, "metal stands within the 5.2 mm"},
      {"an island under the flange", island, {saw(0.4)}, "its flange would meet what stands 5.2 mm"},
      {"no thickness fits", lying(25.0, 2.0, 12.0), {saw(0.3), saw(0.6)}, "(0.30, 0.60 mm) is as thick as the slot"},
      {"no saw", lying(25.0, 2.0, 12.0), {}, "no slitting saw"},
      {"one that goes", lying(25.0, 2.0, 12.0), {saw(0.4)}, ""},
  };
  for (const Row& row : rows) {
    const std::string why = whyNoSaw(row.task, row.crib);
    EXPECT_EQ(why.empty(), row.says[0] == '\0') << row.name << ": " << why;
    EXPECT_NE(why.find(row.says), std::string::npos) << row.name << ": " << why;
  }
}

}  // namespace
}  // namespace chipledger::path
