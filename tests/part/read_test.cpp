// Solids with closed-form measures, written as STEP and read back.
#include <chipledger/part/read.hpp>

#include "drawn.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <numbers>
#include <thread>

namespace chipledger::part {
namespace {

constexpr double kPi = std::numbers::pi;

Part readBack(const drawn::Solid& solid, const std::string& name, drawn::Unit unit = drawn::Unit::Millimetre) {
  Result<Part> part = readPart(drawn::write(solid, name, unit));
  EXPECT_TRUE(part.has_value()) << (part ? "" : sentence(part.error()));
  return part ? *part : Part{};
}

struct Measured {
  const char* name;
  drawn::Solid solid;
  double volume, area;
  Vec3 size;
  double tolerance;  ///< relative, of volume and area
};

void PrintTo(const Measured& row, std::ostream* out) { *out << row.name; }

class ClosedForm : public testing::TestWithParam<Measured> {};

TEST_P(ClosedForm, VolumeAreaAndBox) {
  const Measured& row = GetParam();
  const Part part = readBack(row.solid, row.name);
  ASSERT_EQ(part.bodies.size(), 1U);
  const Body& body = part.bodies[0];
  EXPECT_TRUE(body.volumeCertain);
  EXPECT_NEAR(toMm3(body.volume) / row.volume, 1.0, row.tolerance);
  EXPECT_NEAR(toMm2(body.area) / row.area, 1.0, row.tolerance);
  EXPECT_NEAR(body.box.size().x, row.size.x, 1e-6);
  EXPECT_NEAR(body.box.size().y, row.size.y, 1e-6);
  EXPECT_NEAR(body.box.size().z, row.size.z, 1e-6);
}

std::vector<Measured> closedForms() {
  using namespace drawn;
  const double slant = std::hypot(3.0, 7.0);
  std::vector<Measured> rows{
      {"block", block({11, 7, 2}), 154, 2 * (77 + 22 + 14), {11, 7, 2}, 1e-12},
      {"cylinder", cylinder(3, 10), kPi * 90, 2 * kPi * 9 + 2 * kPi * 30, {6, 6, 10}, 1e-9},
      {"cone", cone(5, 2, 7), kPi * 7 / 3 * (25 + 10 + 4), kPi * (25 + 4 + 7 * slant), {10, 10, 7}, 1e-9},
      {"point", cone(5, 0, 7), kPi * 7 / 3 * 25, kPi * (25 + 5 * std::hypot(5.0, 7.0)), {10, 10, 7}, 1e-9},
      {"sphere", sphere(4), 4.0 / 3.0 * kPi * 64, 4 * kPi * 16, {8, 8, 8}, 1e-9},
      {"torus", torus(10, 3), 2 * kPi * kPi * 90, 4 * kPi * kPi * 30, {26, 26, 6}, 1e-9},
      {"bore",
       cut(block({20, 10, 3}), moved(cylinder(2, 5), {6, 5, -1})),
       600 - kPi * 12,
       2 * (200 + 60 + 30) - 2 * kPi * 4 + 2 * kPi * 6,
       {20, 10, 3},
       1e-9},
  };
  rows.push_back({"hollow_block",
                  cut(block({10, 10, 10}), moved(sphere(3), {5, 5, 5})),
                  1000 - 4.0 / 3.0 * kPi * 27,
                  600 + 4 * kPi * 9,
                  {10, 10, 10},
                  1e-9});
  // The same measures wherever the part lies and however its faces are stored.
  rows.push_back(
      {"far", moved(cylinder(3, 10), {1000, 2000, 3000}), kPi * 90, 2 * kPi * 9 + 2 * kPi * 30, {6, 6, 10}, 1e-9});
  rows.push_back(
      {"spline_cylinder", asSplines(cylinder(3, 10)), kPi * 90, 2 * kPi * 9 + 2 * kPi * 30, {6, 6, 10}, 1e-8});
  rows.push_back({"spline_sphere", asSplines(sphere(4)), 4.0 / 3.0 * kPi * 64, 4 * kPi * 16, {8, 8, 8}, 1e-8});
  rows.push_back({"spline_torus", asSplines(torus(10, 3)), 2 * kPi * kPi * 90, 4 * kPi * kPi * 30, {26, 26, 6}, 1e-8});
  // Rounded block (Steiner): inner block + slabs + quarter cylinders + one ball.
  const double a = 8, b = 6, c = 4, r = 1;
  rows.push_back({"rounded",
                  rounded(block({10, 8, 6}), r),
                  a * b * c + 2 * r * (a * b + b * c + c * a) + kPi * r * r * (a + b + c) + 4.0 / 3.0 * kPi * r * r * r,
                  2 * (a * b + b * c + c * a) + 2 * kPi * r * (a + b + c) + 4 * kPi * r * r,
                  {10, 8, 6},
                  1e-7});
  return rows;
}

std::string nameOf(const testing::TestParamInfo<Measured>& row) { return row.param.name; }
INSTANTIATE_TEST_SUITE_P(Solids, ClosedForm, testing::ValuesIn(closedForms()), nameOf);

TEST(Read, SplineOutlinePlateAgreesWithItsTriangles) {
  std::vector<Vec2> through;
  for (int i = 0; i < 24; ++i) {
    const double t = 2 * kPi * i / 24;
    through.push_back(
        {55 * std::cos(t) * (1 + 0.03 * std::cos(5 * t)), 14 * std::sin(t) * (1 + 0.05 * std::cos(3 * t))});
  }
  const drawn::Solid plate = drawn::splinePlate(through, 2);
  const Part part = readBack(plate, "outline");
  ASSERT_EQ(part.bodies.size(), 1U);
  const Body& body = part.bodies[0];
  EXPECT_NEAR(drawn::fineVolume(plate) / toMm3(body.volume), 1.0, 1e-5);
  // A prism: base times thickness, by two faces whose integrals share nothing but their border.
  const auto base =
      std::find_if(body.faces.begin(), body.faces.end(), [](const Face& f) { return f.kind == SurfaceKind::Plane; });
  ASSERT_NE(base, body.faces.end());
  EXPECT_NEAR(toMm2(base->area) * 2.0, toMm3(body.volume), 1e-9 * toMm3(body.volume));
}

TEST(Read, UnitsComeOutInMillimetres) {
  for (const auto& [unit, word] : {std::pair{drawn::Unit::Inch, "inch"}, std::pair{drawn::Unit::Metre, "m"}}) {
    const Part part = readBack(drawn::block({25.4, 50.8, 12.7}), word, unit);
    EXPECT_EQ(part.unit, word);
    ASSERT_EQ(part.bodies.size(), 1U);
    EXPECT_NEAR(part.bodies[0].box.size().x, 25.4, 1e-9);
    EXPECT_NEAR(toMm3(part.bodies[0].volume), 25.4 * 50.8 * 12.7, 1e-6);
  }
}

TEST(Read, OddSizeIsDoubted) {
  const Part part = readBack(drawn::block({0.5, 0.3, 0.1}), "tiny");
  EXPECT_TRUE(std::any_of(part.notes.begin(), part.notes.end(), [](const Note& n) { return n.code == "odd-size"; }));
}

TEST(Read, EqualBodiesAreCounted) {
  using namespace drawn;
  const Solid pin = cylinder(2, 9), plate = block({40, 20, 3});
  const Part part = readBack(
      together({plate, moved(pin, {50, 0, 0}), moved(turned(pin, {1, 1, 0}, 0.7), {60, 5, 5}), moved(pin, {80, 0, 0})}),
      "set");
  ASSERT_EQ(part.bodies.size(), 2U);
  EXPECT_EQ(part.declaredBodies, 4);
  EXPECT_NEAR(toMm3(part.bodies[0].volume), 2400, 1e-6);  // the largest first
  EXPECT_EQ(part.bodies[0].quantity, 1);
  EXPECT_EQ(part.bodies[1].quantity, 3);
}

TEST(Read, HundredsOfHolesInOneFace) {
  const Part part = readBack(drawn::pierced(20), "holes");  // 400, for the time budget of the tests
  ASSERT_EQ(part.bodies.size(), 1U);
  EXPECT_EQ(part.bodies[0].faces.size(), 406U);
  const double hole = kPi * 0.9 * 0.9;
  EXPECT_NEAR(toMm3(part.bodies[0].volume), 2 * (3600 - 400 * hole), 1e-6);
}

TEST(Read, SameAnswerFromTheReaderProcessAndFromManyThreads) {
  const std::string path =
      drawn::write(drawn::cut(drawn::block({20, 10, 3}), drawn::moved(drawn::cylinder(2, 5), {6, 5, -1})), "threads");
  const Result<Part> alone = readPart(path);
  ASSERT_TRUE(alone.has_value());
  startReaderProcess();
  std::vector<std::string> prints(6);
  std::vector<std::thread> threads;
  for (std::string& print : prints)
    threads.emplace_back([&print, &path] {
      const Result<Part> part = readPart(path);
      print = part ? part->bodies[0].fingerprint : sentence(part.error());
    });
  for (std::thread& thread : threads) thread.join();
  for (const std::string& print : prints) EXPECT_EQ(print, alone->bodies[0].fingerprint);
}

}  // namespace
}  // namespace chipledger::part
