#include <gtest/gtest.h>
#include <chipledger/setup/setup.hpp>

#include "support/box_body.hpp"

using namespace chipledger;
using namespace chipledger::setup;
using chipledger::test::BoxBody;
using chipledger::test::moved;

namespace {

/// Body 100 x 26 x 2 with one island 14 x 6, 3 mm high, on +z.
part::Body islandPlate() {
  BoxBody b;
  b.down({0, 0, 0}, {100, 26, 2});
  b.walls({0, 0, 0}, {100, 26, 2});
  b.ring({0, 0}, {100, 26}, {20, 10}, {34, 16}, 2, true);
  b.walls({20, 10, 2}, {34, 16, 5});
  b.up({20, 10, 2}, {34, 16, 5});
  return b.body;
}

/// Body 60 x 30 x 4 with a pocket on +z and, under a lip, a recess that nobody sees.
part::Body pocketPlate(bool undercut) {
  BoxBody b;
  b.down({0, 0, 0}, {60, 30, 4});
  b.walls({0, 0, 0}, {60, 30, 4});
  b.ring({0, 0}, {60, 30}, {10, 10}, {30, 20}, 4, true);
  if (!undercut) {
    b.walls({10, 10, 2}, {30, 20, 4}, true);
    b.up({10, 10, 0}, {30, 20, 2});
    return b.body;
  }
  b.walls({10, 10, 3}, {30, 20, 4}, true);
  b.ring({5, 5}, {35, 25}, {10, 10}, {30, 20}, 3, false);
  b.walls({5, 5, 1}, {35, 25, 3}, true);
  b.up({5, 5, 0}, {35, 25, 1});
  return b.body;
}

/// Quarter turns and one odd pose.
std::vector<Frame> poses() {
  std::vector<Frame> list;
  const Vec3 x{1, 0, 0}, y{0, 1, 0}, z{0, 0, 1};
  for (const auto& [a, b] : {std::pair{x, y}, std::pair{y, -x}, std::pair{z, x}, std::pair{-z, -y}, std::pair{x, -y}}) {
    list.push_back({a, b, cross(a, b), {3, -7, 11}});
  }
  const Vec3 a = unit({1, 2, 3}), b = unit(cross(a, Vec3{0.3, -1, 0.2}));
  list.push_back({a, b, cross(a, b), {100, 200, -50}});
  return list;
}

}  // namespace

TEST(PlanSetups, IslandsStandOnTheOuterSideInEveryPose) {
  for (const Frame& pose : poses()) {
    const part::Body body = moved(islandPlate(), pose);
    const auto plan = planSetups(body);
    ASSERT_TRUE(plan);
    const Vec3 up = pose.turn({0, 0, 1});
    EXPECT_NEAR(dot(plan->partToPlate.z, up), 1, 1e-12);
    EXPECT_NEAR(std::abs(dot(plan->partToPlate.x, pose.turn({1, 0, 0}))), 1, 1e-12);
    Box3 box;
    for (const Vec3 p : body.mesh.points) box.add(plan->partToPlate.apply(p));
    EXPECT_NEAR(box.min.x, -50, 1e-9);
    EXPECT_NEAR(box.max.x, 50, 1e-9);
    EXPECT_NEAR(box.min.y, -13, 1e-9);
    EXPECT_NEAR(box.min.z, 0, 1e-9);
    EXPECT_NEAR(box.max.z, 5, 1e-9);
    ASSERT_EQ(plan->setups.size(), 2u);
    EXPECT_TRUE(plan->unseen.empty());
  }
}

TEST(PlanSetups, FramesAreRightHandedAndTheBackIsAHalfTurnAboutX) {
  const auto plan = planSetups(islandPlate());
  ASSERT_TRUE(plan);
  for (const auto& s : plan->setups) {
    EXPECT_NEAR(norm(cross(s.partToSetup.x, s.partToSetup.y) - s.partToSetup.z), 0, 1e-12);
    EXPECT_NEAR(dot(s.direction, s.partToSetup.z), 1, 1e-12);
  }
  const auto& back = plan->setups[0];
  EXPECT_EQ(back.name, "back");
  EXPECT_FALSE(back.fromAbove);
  EXPECT_EQ(plan->setups[1].name, "outer");
  for (const Vec3 p : {Vec3{1, 2, 0}, Vec3{90, 25, 5}}) {
    const Vec3 inPlate = plan->partToPlate.apply(p), inBack = back.partToSetup.apply(p);
    EXPECT_NEAR(inBack.x, inPlate.x, 1e-12);
    EXPECT_NEAR(inBack.y, -inPlate.y, 1e-12);
    EXPECT_NEAR(inBack.z, 5 - inPlate.z, 1e-12);
  }
}

TEST(PlanSetups, WithoutIslandsThePocketSideIsOuter) {
  const part::Body body = moved(pocketPlate(false), {{1, 0, 0}, {0, -1, 0}, {0, 0, -1}, {}});
  const auto plan = planSetups(body);
  ASSERT_TRUE(plan);
  EXPECT_NEAR(plan->partToPlate.z.z, -1, 1e-12);
  EXPECT_EQ(plan->setups.size(), 2u);
}

TEST(PlanSetups, EveryFaceIsServedOnceOrUnseen) {
  for (const bool undercut : {false, true}) {
    const part::Body body = pocketPlate(undercut);
    const auto plan = planSetups(body);
    ASSERT_TRUE(plan);
    std::vector<int> count(body.faces.size(), 0);
    for (const auto& s : plan->setups) {
      for (const part::FaceId f : s.serves) ++count[static_cast<std::size_t>(f.index)];
    }
    for (const part::FaceId f : plan->unseen) ++count[static_cast<std::size_t>(f.index)];
    for (std::size_t f = 0; f < count.size(); ++f) EXPECT_EQ(count[f], 1) << "face " << f;
  }
}

TEST(PlanSetups, AnUndercutIsSaidAndLeftOut) {
  const auto plan = planSetups(pocketPlate(true));
  ASSERT_TRUE(plan);
  // The ceiling under the lip, the four walls below it and the floor, of which the opening shows a third.
  EXPECT_EQ(plan->unseen.size(), 6u);
  bool said = false;
  for (const Note& n : plan->notes) said = said || (n.code == "undercut" && n.severity == NoteSeverity::LeftOut);
  EXPECT_TRUE(said);
}

TEST(PlanSetups, ASideRecessNeedsASideSetup) {
  // Block 40 x 30 x 20, recess 10 x 6 into the face y = 0, 5 deep.
  BoxBody b;
  b.down({0, 0, 0}, {40, 30, 20});
  b.up({0, 0, 0}, {40, 30, 20});
  b.face({{Vec3{40, 0, 0}, Vec3{0, 30, 0}, Vec3{0, 0, 20}}});
  b.face({{Vec3{40, 30, 0}, Vec3{-40, 0, 0}, Vec3{0, 0, 20}}});
  b.face({{Vec3{0, 30, 0}, Vec3{0, -30, 0}, Vec3{0, 0, 20}}});
  const Vec3 x{1, 0, 0}, y{0, 1, 0}, z{0, 0, 1};
  b.face({{Vec3{0, 0, 0}, x * 40, z * 7},
          {Vec3{0, 0, 13}, x * 40, z * 7},
          {Vec3{0, 0, 7}, x * 15, z * 6},
          {Vec3{25, 0, 7}, x * 15, z * 6}});
  b.face({{Vec3{15, 5, 7}, x * 10, z * 6}});
  b.face({{Vec3{15, 0, 7}, y * 5, x * 10}});  // lower wall looks up... seen from -y only
  b.face({{Vec3{15, 0, 13}, x * 10, y * 5}});
  b.face({{Vec3{15, 0, 7}, z * 6, y * 5}});
  b.face({{Vec3{25, 0, 7}, y * 5, z * 6}});
  for (part::Face& f : b.body.faces) {
    if (f.id.index < 7) continue;
    const Vec3 middle{20, 2.5, 10};
    const double out = dot(f.samples[12].normal, middle - f.samples[12].point);
    for (part::FaceSample& s : f.samples) s.normal = out > 0 ? s.normal : -s.normal;  // a recess: normals point into it
    f.axis = f.samples[0].normal;
  }
  const auto plan = planSetups(b.body);
  ASSERT_TRUE(plan);
  ASSERT_EQ(plan->setups.size(), 3u);
  EXPECT_NEAR(plan->setups[2].direction.y, -1, 1e-9);
  EXPECT_EQ(plan->setups[2].serves.size(), 5u);
  EXPECT_FALSE(plan->setups[2].plateSide);
  EXPECT_TRUE(plan->unseen.empty());
}

TEST(PlanSetups, ABodyWithoutFacesIsRefused) { EXPECT_FALSE(planSetups(part::Body{})); }
