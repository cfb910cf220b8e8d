// The sense and angle of every edge against a count that knows neither normals nor curves: points on a small ring round
// the middle of the edge, in or out by the solid angle of all triangles (Van Oosterom and Strackee, IEEE Trans. Biomed.
// Eng. 30, 1983). The metal fills the share (pi - angle) / (2 pi) of the ring.
#include <chipledger/part/read.hpp>

#include "drawn.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <numbers>

namespace chipledger::part {
namespace {

constexpr double kPi = std::numbers::pi;

bool inside(const Mesh& mesh, Vec3 p) {
  double angle = 0.0;
  for (const auto& t : mesh.triangles) {
    const Vec3 a = mesh.points[static_cast<std::size_t>(t[0])] - p, b = mesh.points[static_cast<std::size_t>(t[1])] - p,
               c = mesh.points[static_cast<std::size_t>(t[2])] - p;
    const double la = norm(a), lb = norm(b), lc = norm(c);
    angle += 2.0 * std::atan2(dot(a, cross(b, c)), la * lb * lc + dot(a, b) * lc + dot(b, c) * la + dot(c, a) * lb);
  }
  return angle > 2.0 * kPi;  // 4 pi inside, 0 outside
}

/// Edges checked and edges that disagree.
std::pair<int, int> compare(const Body& body, double ring_mm) {
  constexpr int kPoints = 24;
  int checked = 0, wrong = 0;
  for (const Edge& edge : body.edges) {
    if (toMm(edge.length) < 10 * ring_mm || edge.points.size() < 2) continue;
    const std::size_t k = edge.points.size() / 2;
    // The middle of a chord, put back on the curve by its neighbours' sagitta being far below the ring.
    const Vec3 middle = edge.points.size() == 2 ? (edge.points[0] + edge.points[1]) * 0.5 : edge.points[k];
    const Vec3 along =
        unit(edge.points.size() == 2 ? edge.points[1] - edge.points[0] : edge.points[k] - edge.points[k - 1]);
    const Vec3 u = unit(cross(along, std::abs(along.x) < 0.9 ? Vec3{1, 0, 0} : Vec3{0, 1, 0})), v = cross(along, u);
    int in = 0;
    for (int i = 0; i < kPoints; ++i) {
      const double a = 2 * kPi * (i + 0.5) / kPoints;
      in += inside(body.mesh, middle + (u * std::cos(a) + v * std::sin(a)) * ring_mm) ? 1 : 0;
    }
    const double expected = (kPi - edge.angle.rad) / (2 * kPi);
    ++checked;
    if (std::abs(static_cast<double>(in) / kPoints - expected) > 2.0 / kPoints) ++wrong;
  }
  return {checked, wrong};
}

TEST(EdgeSense, AgreesWithTheMetalRoundTheEdgeOnDrawnSolids) {
  using namespace drawn;
  const Solid plate = cut(filleted(join(block({20, 20, 3}), moved(cylinder(4, 4), {10, 10, 2})), 0.4, 4),
                          moved(cone(1, 3, 3), {3.5, 3.5, 1}));
  for (const auto& [name, solid] : {std::pair{"sense_plate", plate}, std::pair{"sense_spline", asSplines(plate)},
                                    std::pair{"sense_turned", turned(plate, {1, 2, 3}, 1.0)}}) {
    const Result<Part> part = readPart(write(solid, name));
    ASSERT_TRUE(part.has_value());
    const auto [checked, wrong] = compare(part->bodies[0], 0.05);
    EXPECT_GT(checked, 15) << name;
    EXPECT_EQ(wrong, 0) << name;
  }
}

TEST(EdgeSense, AgreesWithTheMetalRoundTheEdgeOnPublicParts) {
  const std::string folder = std::string(CHIPLEDGER_SHARED_DIR) + "/step-public/";
  if (!std::ifstream(folder + "mfcad_0-1-3-4-13-23.step"))
    GTEST_SKIP() << "the open STEP files are not on this machine";
  for (const char* name : {"mfcad_0-1-3-4-13-23.step", "mfcad_2-3-10-11-12-23.step", "mfcad_4-5-6-7-12-23.step",
                           "mfinstseg_test.step", "soarm_Passive_Horn_01.step", "openeai_JXS-04-04.step"}) {
    const Result<Part> part = readPart(folder + name);
    ASSERT_TRUE(part.has_value());
    const auto [checked, wrong] = compare(part->bodies[0], 0.05);
    EXPECT_GT(checked, 8) << name;
    EXPECT_EQ(wrong, 0) << name;
  }
}

}  // namespace
}  // namespace chipledger::part
