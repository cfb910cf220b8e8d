// Faces, edges and loops of drawn solids: what they truly are, which way they look, how they meet.
#include <chipledger/part/read.hpp>

#include "drawn.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <map>
#include <numbers>
#include <set>
#include <sstream>
#include <tuple>

namespace chipledger::part {
namespace {

constexpr double kPi = std::numbers::pi;

Body only(const drawn::Solid& solid, const std::string& name) {
  Result<Part> part = readPart(drawn::write(solid, name));
  EXPECT_TRUE(part.has_value()) << (part ? "" : sentence(part.error()));
  return part && !part->bodies.empty() ? part->bodies.front() : Body{};
}

std::map<SurfaceKind, int> kinds(const Body& body) {
  std::map<SurfaceKind, int> count;
  for (const Face& face : body.faces) ++count[face.kind];
  return count;
}

std::map<Sense, int> senses(const Body& body) {
  std::map<Sense, int> count;
  for (const Edge& edge : body.edges) ++count[edge.sense];
  return count;
}

/// Plate with a bore, a boss with a rounded foot would need a fillet; a bore and a boss are enough for all senses.
drawn::Solid boredAndBossed() {
  using namespace drawn;
  return join(cut(block({40, 20, 3}), moved(cylinder(2, 5), {8, 10, -1})), moved(cylinder(4, 4), {28, 10, 2}));
}

TEST(FaceTable, BoreIsHollowAndBossIsNot) {
  const Body body = only(boredAndBossed(), "bossed");
  EXPECT_EQ(kinds(body), (std::map<SurfaceKind, int>{{SurfaceKind::Plane, 7}, {SurfaceKind::Cylinder, 2}}));
  for (const Face& face : body.faces) {
    if (face.kind != SurfaceKind::Cylinder) continue;
    EXPECT_FALSE(face.disguised);
    EXPECT_NEAR(face.axis.z, 1.0, 1e-12);
    EXPECT_EQ(face.hollow, toMm(face.radius) < 3) << toMm(face.radius);
    EXPECT_NEAR(face.origin.x, toMm(face.radius) < 3 ? 8 : 28, 1e-9);
    EXPECT_NEAR(toMm2(face.area), 2 * kPi * toMm(face.radius) * 3, 1e-9);
  }
}

TEST(FaceTable, NormalsLookOutAndSamplesLieOnTheFace) {
  const Body body = only(boredAndBossed(), "normals");
  for (const Face& face : body.faces) {
    ASSERT_FALSE(face.samples.empty());
    for (const FaceSample& s : face.samples) {
      if (face.kind == SurfaceKind::Plane) {
        EXPECT_NEAR(dot(s.normal, face.axis), 1.0, 1e-12);
        EXPECT_NEAR(dot(s.point - face.origin, face.axis), 0.0, 1e-9);
        // No sample of a plane lies over the bore or under the boss.
        if (std::abs(face.axis.z) > 0.5) {
          EXPECT_GT(std::hypot(s.point.x - 8, s.point.y - 10), 2 - 1e-9);
        }
      } else {
        const Vec3 out{s.point.x - face.origin.x, s.point.y - face.origin.y, 0};
        EXPECT_NEAR(norm(out), toMm(face.radius), 1e-9);
        EXPECT_NEAR(dot(unit(out), s.normal), face.hollow ? -1.0 : 1.0, 1e-9);
      }
    }
  }
}

TEST(FaceTable, EdgesOfABlockAreConvexAndOfAFootConcave) {
  EXPECT_EQ(senses(only(drawn::block({3, 4, 5}), "convex")), (std::map<Sense, int>{{Sense::Convex, 12}}));
  const Body body = only(boredAndBossed(), "senses");
  // One foot of the boss; rims of bore and boss and the block's edges; two seams.
  EXPECT_EQ(senses(body), (std::map<Sense, int>{{Sense::Concave, 1}, {Sense::Convex, 12 + 2 + 1}, {Sense::Smooth, 2}}));
  for (const Edge& edge : body.edges) {
    if (edge.sense == Sense::Smooth) continue;
    EXPECT_NEAR(std::abs(edge.angle.rad), kPi / 2, 1e-9);
    EXPECT_EQ(edge.angle.rad > 0, edge.sense == Sense::Convex);
  }
}

TEST(FaceTable, RoundedBlockIsSmoothAllOver) {
  const Body body = only(drawn::rounded(drawn::block({10, 8, 6}), 1), "smooth");
  EXPECT_EQ(kinds(body), (std::map<SurfaceKind, int>{
                             {SurfaceKind::Plane, 6}, {SurfaceKind::Cylinder, 12}, {SurfaceKind::Sphere, 8}}));
  EXPECT_EQ(senses(body), (std::map<Sense, int>{{Sense::Smooth, 48}}));
  for (const Face& face : body.faces) EXPECT_FALSE(face.hollow);
}

TEST(FaceTable, SplinesAreSeenForWhatTheyAre) {
  using namespace drawn;
  const Solid solid =
      cut(cut(block({40, 20, 6}), moved(cylinder(2, 9), {8, 10, -1})), moved(cone(1, 4, 4), {28, 10, 3}));
  const Body plain = only(solid, "plain"), hidden = only(asSplines(solid), "hidden");
  ASSERT_EQ(kinds(plain), kinds(hidden));
  ASSERT_EQ(plain.faces.size(), hidden.faces.size());
  int disguised = 0;
  for (std::size_t i = 0; i < plain.faces.size(); ++i) {
    const Face &a = plain.faces[i], &b = hidden.faces[i];
    ASSERT_EQ(a.kind, b.kind) << i;
    EXPECT_FALSE(a.disguised);
    disguised += b.disguised ? 1 : 0;
    EXPECT_NEAR(norm(cross(a.axis, b.axis)), 0.0, 1e-6) << i;
    EXPECT_NEAR(toMm(a.radius), toMm(b.radius), 1e-6) << i;
    EXPECT_NEAR(a.halfAngle.rad, b.halfAngle.rad, 1e-6) << i;
    EXPECT_EQ(a.hollow, b.hollow) << i;
    EXPECT_NEAR(toMm2(a.area), toMm2(b.area), 1e-6) << i;
  }
  EXPECT_EQ(disguised, static_cast<int>(plain.faces.size()));
  EXPECT_EQ(senses(plain), senses(hidden));
  const auto circles = [](const Body& body) {
    return std::count_if(body.edges.begin(), body.edges.end(),
                         [](const Edge& e) { return e.shape == EdgeShape::Circle; });
  };
  EXPECT_EQ(circles(plain), 4);
  EXPECT_EQ(circles(hidden), 4);
}

TEST(FaceTable, FilletsShowTheirRadiusEvenAsSplines) {
  using namespace drawn;
  // Foot and top edge of a boss rounded with 0.4 mm: one hollow torus, one that is not.
  const Solid boss = filleted(join(block({20, 20, 3}), moved(cylinder(4, 4), {10, 10, 2})), 0.4, 4);
  for (const auto& [name, solid, kind] : {std::tuple{"torus_plain", boss, SurfaceKind::Torus},
                                          std::tuple{"torus_hidden", asSplines(boss), SurfaceKind::Spline}}) {
    const Body body = only(solid, name);
    int hollow = 0, round = 0;
    for (const Face& face : body.faces) {
      if (face.kind != kind) continue;
      EXPECT_NEAR(toMm(face.minorRadius), 0.4, 1e-3) << name;
      ++(face.hollow ? hollow : round);
    }
    EXPECT_EQ(hollow, 1) << name;
    EXPECT_EQ(round, 1) << name;
  }
}

TEST(FaceTable, TrueSplineWallStaysOne) {
  std::vector<Vec2> through;
  for (int i = 0; i < 16; ++i) {
    const double t = 2 * kPi * i / 16;
    through.push_back({20 * std::cos(t), 8 * std::sin(t) * (1 + 0.2 * std::cos(t))});
  }
  const Body body = only(drawn::splinePlate(through, 3), "wall");
  EXPECT_EQ(kinds(body)[SurfaceKind::Plane], 2);
  EXPECT_EQ(body.faces.size(), 3U);
  for (const Face& face : body.faces)
    if (face.kind != SurfaceKind::Plane) {
      EXPECT_FALSE(face.disguised);
      EXPECT_FALSE(face.hollow);
    }
}

TEST(FaceTable, LoopsKeepTheMaterialOnTheLeft) {
  const Body body = only(boredAndBossed(), "loops");
  for (const Face& face : body.faces) {
    if (face.kind != SurfaceKind::Plane) continue;
    double area = 0.0;
    ASSERT_FALSE(face.loops.empty());
    EXPECT_TRUE(face.loops.front().outer);
    for (const FaceLoop& loop : face.loops) {
      double loopArea = 0.0;  // turned the right way: positive for the outer loop, negative for holes
      for (const FaceLoop::Use& use : loop.uses) {
        auto points = body.edges[static_cast<std::size_t>(use.edge.index)].points;
        if (use.reversed) std::reverse(points.begin(), points.end());
        for (std::size_t i = 0; i + 1 < points.size(); ++i)
          loopArea += 0.5 * dot(face.axis, cross(points[i] - face.origin, points[i + 1] - face.origin));
      }
      EXPECT_EQ(loop.outer, loopArea > 0);
      area += loopArea;
    }
    EXPECT_NEAR(area / toMm2(face.area), 1.0, 2e-3);
  }
}

TEST(FaceTable, PolylinesKeepToTheirCurve) {
  const Body body = only(drawn::torus(10, 3), "polyline");
  for (const Edge& edge : body.edges) {
    ASSERT_EQ(edge.shape, EdgeShape::Circle);
    for (std::size_t i = 0; i + 1 < edge.points.size(); ++i) {
      const Vec3 middle = (edge.points[i] + edge.points[i + 1]) * 0.5;
      EXPECT_LE(toMm(edge.radius) - norm(middle - edge.centre), 0.002 + 1e-9);
    }
  }
}

TEST(FaceTable, MeshIsClosedAndOutward) {
  for (const auto& [name, solid] :
       {std::pair{"mesh_boss", boredAndBossed()}, std::pair{"mesh_ring", drawn::torus(10, 3)},
        std::pair{"mesh_ball", drawn::sphere(4)}, std::pair{"mesh_point", drawn::cone(5, 0, 7)},
        std::pair{"mesh_rounded", drawn::rounded(drawn::block({10, 8, 6}), 1)}}) {
    const Body body = only(solid, name);
    std::set<std::pair<std::int32_t, std::int32_t>> sides;
    for (const auto& t : body.mesh.triangles)
      for (std::size_t k = 0; k < 3; ++k) EXPECT_TRUE(sides.insert({t[k], t[(k + 1) % 3]}).second) << name;
    for (const auto& [a, b] : sides) EXPECT_TRUE(sides.contains({b, a})) << name;
    double six = 0.0;
    const auto& p = body.mesh.points;
    for (const auto& t : body.mesh.triangles)
      six += dot(p[static_cast<std::size_t>(t[0])],
                 cross(p[static_cast<std::size_t>(t[1])], p[static_cast<std::size_t>(t[2])]));
    EXPECT_NEAR(six / 6 / toMm3(body.volume), 1.0, 2e-3) << name;
  }
}

/// Distance of a point from the unbounded surface of a face.
double offSurface(const Face& face, Vec3 p) {
  const Vec3 d = p - face.origin, along = face.axis * dot(d, face.axis), out = d - along;
  switch (face.kind) {
    case SurfaceKind::Plane:
      return std::abs(dot(d, face.axis));
    case SurfaceKind::Cylinder:
      return std::abs(norm(out) - toMm(face.radius));
    case SurfaceKind::Sphere:
      return std::abs(norm(d) - toMm(face.radius));
    case SurfaceKind::Torus:
      return std::abs(norm(d - unit(out) * toMm(face.radius)) - toMm(face.minorRadius));
    default:
      return 0.0;
  }
}

TEST(FaceTable, TrianglesStayWithinTheirDeflection) {
  using namespace drawn;
  const Solid boss = filleted(join(block({20, 20, 3}), moved(cylinder(4, 4), {10, 10, 2})), 0.4, 4);
  for (const auto& [name, solid] :
       {std::pair{"near_boss", boss}, std::pair{"near_ring", torus(10, 3)}, std::pair{"near_ball", sphere(4)},
        std::pair{"near_rounded", rounded(block({10, 8, 6}), 1)}}) {
    const Body body = only(solid, name);
    double worst = 0.0;
    for (std::size_t t = 0; t < body.mesh.triangles.size(); ++t) {
      const auto& corner = body.mesh.triangles[t];
      const auto at = [&](std::size_t k) { return body.mesh.points[static_cast<std::size_t>(corner[k])]; };
      const Face& face = body.faces[static_cast<std::size_t>(body.mesh.triangleFace[t])];
      worst = std::max(worst, offSurface(face, (at(0) + at(1) + at(2)) * (1.0 / 3.0)));
      for (std::size_t k = 0; k < 3; ++k) worst = std::max(worst, offSurface(face, (at(k) + at((k + 1) % 3)) * 0.5));
    }
    EXPECT_LE(worst, body.mesh.deflection_mm) << name;
  }
}

TEST(FaceTable, NamesOfFacesComeFromTheFile) {
  // Public parts whose faces are named "0", "1", ... in the file; the label tables know them by those names.
  const std::string shared = std::string(CHIPLEDGER_SHARED_DIR) + "/step-public/";
  std::ifstream labels(shared + "labels/mfcad_0-1-3-4-13-23.tsv");
  if (!labels) GTEST_SKIP() << "the labelled STEP files are not on this machine";
  std::set<std::string> wanted, found;
  std::string line;
  std::getline(labels, line);
  std::istringstream head(line);
  std::size_t column = 0, at = 0;
  for (std::string cell; std::getline(head, cell, '\t'); ++at)
    if (cell == "face_name") column = at;
  while (std::getline(labels, line)) {
    std::istringstream cells(line);
    std::string cell;
    for (std::size_t i = 0; i <= column; ++i) std::getline(cells, cell, '\t');
    wanted.insert(cell);
  }
  const Result<Part> part = readPart(shared + "mfcad_0-1-3-4-13-23.step");
  ASSERT_TRUE(part.has_value());
  for (const Face& face : part->bodies[0].faces) found.insert(face.name);
  EXPECT_EQ(found, wanted);
}

TEST(FaceTable, NamesAndColoursOfBodiesComeFromTheFile) {
  const std::string path = std::string(CHIPLEDGER_SHARED_DIR) + "/step-public/cadquery_red_cube_blue_cylinder.step";
  if (!std::ifstream(path)) GTEST_SKIP() << "the open STEP files are not on this machine";
  const Result<Part> part = readPart(path);
  ASSERT_TRUE(part.has_value());
  ASSERT_EQ(part->bodies.size(), 2U);
  for (const Body& body : part->bodies) {
    ASSERT_TRUE(body.colour.has_value()) << body.name;
    // COLOUR_RGB entities of the file, which are sRGB.
    const Colour wanted = body.name == "red_cube" ? Colour{0.8666666746, 0.3215686381, 0.1568627506}
                                                  : Colour{0.2313725501, 0.380392164, 0.7058823705};
    for (const Face& face : body.faces) {
      ASSERT_TRUE(face.colour.has_value());
      EXPECT_NEAR(face.colour->red, wanted.red, 1e-6);
      EXPECT_NEAR(face.colour->green, wanted.green, 1e-6);
      EXPECT_NEAR(face.colour->blue, wanted.blue, 1e-6);
    }
    EXPECT_EQ(body.colour, body.faces.front().colour);
  }
}

}  // namespace
}  // namespace chipledger::part
