// Every shape a chassis file can hold, one row each: the volume of what is drawn against its closed form by hand.
// Letters: A area and P perimeter of a plan shape, r corner radius, z height. A shape that is convex and smooth, grown
// by d, has the area A + P d + pi d^2 (Steiner); shrunk by d < r, A - P d + pi d^2.
#include <chipledger/draw/drawn.hpp>
#include <chipledger/draw/read_chassis.hpp>

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <numbers>

namespace chipledger::draw {
namespace {

using std::numbers::pi;

constexpr double kThickness = 2.0, kPlate = 60.0 * 20.0 * kThickness;

const std::string kHead =
    "name = \"plate\"\n[let]\nr = 1.5\n[body]\nthickness_mm = 2\n[outline]\nfamily = \"rectangle\"\nlength_mm = 60\n"
    "width_mm = 20\n";

double integral(double from, double to, const std::function<double(double)>& f) {
  constexpr int kSteps = 20000;
  double sum = 0.0;
  for (int i = 0; i < kSteps; ++i) sum += f(from + (to - from) * (i + 0.5) / kSteps);
  return sum * (to - from) / kSteps;
}
double grown(double a, double p, double d) { return a + p * d + pi * d * d; }
/// How far a quarter round of radius r stands off its wall at height z over its foot.
double offWall(double r, double z) { return r - std::sqrt(std::max(0.0, r * r - (r - z) * (r - z))); }

const double kOblongA = 6.0 * 6.0 + pi * 9.0, kOblongP = 12.0 + 6.0 * pi;                         // 12 x 6
const double kPocketA = 12.0 * 8.0 - (4.0 - pi) * 2.25, kPocketP = 2 * 9.0 + 2 * 5.0 + 3.0 * pi;  // 12 x 8, r 1.5
const double kBendL = 8.0 + 6.0 - 2 * 3.0 + 0.5 * pi * 3.0;  // middle line of the bent band

const std::string kOblong = "shape = \"oblong\"\nlength_mm = 12\nwidth_mm = 6\n";
const std::string kPocket = "shape = \"rectangle\"\nlength_mm = 12\nwidth_mm = 8\ncorner_radius_mm = \"r\"\n";
const std::string kBend = "line_mm = [[-8, 0], [0, 0], [0, 6]]\nwidth_mm = 2\nbend_radius_mm = 3\n";

struct Row {
  const char* name;
  std::string text;  ///< after the head, or a whole file
  double added;      ///< to the plate; a whole file: its volume
  bool whole{};
  double relative{1e-7};
  friend std::ostream& operator<<(std::ostream& out, const Row& row) { return out << row.name; }
};

std::string island(const std::string& shape, const std::string& more) {
  return "[[island]]\nname = \"i\"\n" + shape + more;
}
std::string pocket(const std::string& more) { return "[[pocket]]\nname = \"p\"\n" + kPocket + more; }
std::string bore(const std::string& more) {
  return "[[bore]]\nname = \"b\"\ncentre_mm = [3, 2]\ndiameter_mm = 4\n" + more;
}
std::string plate(const std::string& body, const std::string& outline) {
  return "name = \"plate\"\n[body]\nthickness_mm = 2\n" + body + "[outline]\n" + outline;
}
const std::string kObround = "family = \"obround\"\nlength_mm = 60\nwidth_mm = 20\n";
const double kObroundA = 40.0 * 20.0 + pi * 100.0, kObroundP = 80.0 + 20.0 * pi;

std::string circlePoints(int count, double radius) {
  std::string text = "[";
  for (int i = 0; i < count; ++i)
    text += (i ? ", [" : "[") + std::to_string(radius * std::cos(2 * pi * i / count)) + ", " +
            std::to_string(radius * std::sin(2 * pi * i / count)) + "]";
  return text + "]";
}

/// Hull of two circles, `d` apart: a belt round two pulleys.
double beltArea(double big, double small, double d) {
  const double lean = std::asin((big - small) / d);
  return (big + small) * d * std::cos(lean) + big * big * (pi / 2 + lean) + small * small * (pi / 2 - lean);
}

class Drawable : public ::testing::TestWithParam<Row> {};

TEST_P(Drawable, HoldsItsVolume) {
  const Row& row = GetParam();
  const auto chassis = readChassisText(row.whole ? row.text : kHead + row.text, "plate.toml");
  ASSERT_TRUE(chassis) << sentence(chassis.error());
  const auto drawn = drawChassis(*chassis);
  ASSERT_TRUE(drawn) << sentence(drawn.error());
  EXPECT_TRUE(drawn->notes.empty()) << drawn->notes[0].text;
  const double expected = row.whole ? row.added : kPlate + row.added;
  EXPECT_NEAR(toMm3(drawn->volume), expected, row.relative * expected);
  if (drawn->closedForm) {
    EXPECT_NEAR(toMm3(*drawn->closedForm), expected, row.relative * expected);
  }
}

INSTANTIATE_TEST_SUITE_P(
    Outlines, Drawable,
    ::testing::Values(
        Row{"PolylineWithRadii",
            plate("",
                  "family = \"polyline\"\n[[outline.corner]]\nat_mm = [-30, -10]\nradius_mm = 3\n"
                  "[[outline.corner]]\nat_mm = [30, -10]\nradius_mm = 3\n[[outline.corner]]\nat_mm = [30, 10]\n"
                  "[[outline.corner]]\nat_mm = [-30, 10]\n"),
            2 * (1200 - 2 * (1 - pi / 4) * 9), true},
        Row{"PolylineWithArcs",
            plate("",
                  "family = \"polyline\"\n[[outline.corner]]\nat_mm = [-20, -10]\n[[outline.corner]]\n"
                  "at_mm = [20, -10]\nbulge = 1\n[[outline.corner]]\nat_mm = [20, 10]\n[[outline.corner]]\n"
                  "at_mm = [-20, 10]\nbulge = 1\n"),
            2 * kObroundA, true},
        Row{"RoundedRectangle",
            plate("", "family = \"rectangle\"\nlength_mm = 60\nwidth_mm = 20\ncorner_radius_mm = 4\n"),
            2 * (1200 - (4 - pi) * 16), true},
        Row{"Obround", plate("", kObround), 2 * kObroundA, true},
        Row{"Handle", plate("", "family = \"handle\"\nlength_mm = 60\nhead_mm = 20\ntail_mm = 14\n"),
            2 * beltArea(10, 7, 43), true},
        Row{"ClosedSpline", plate("", "family = \"spline\"\nthrough_mm = " + circlePoints(48, 12) + "\n"), 2 * pi * 144,
            true, 2e-5},
        Row{"SplineHandleAlongStraightSides",
            plate("",
                  "family = \"spline handle\"\nlength_mm = 60\nhead_mm = 20\ntail_mm = 20\n"
                  "upper_mm = [[15, 10], [5, 10], [-5, 10], [-15, 10]]\n"),
            2 * kObroundA, true, 2e-4},
        Row{"EdgeChamfers", plate("outer_chamfer_mm = 0.4\nback_chamfer_mm = 0.3\n", kObround),
            2 * kObroundA - 0.5 * kObroundP*(0.16 + 0.09) + pi / 3 * (0.064 + 0.027), true},
        Row{"EdgeRounds", plate("outer_round_mm = 0.5\n", kObround),
            2 * kObroundA - integral(0, 0.5,
                                     [](double z) {
                                       const double d = offWall(0.5, z);
                                       return kObroundA - (kObroundA - kObroundP * d + pi * d * d);
                                     }),
            true},
        Row{"Crown",
            "name = \"plate\"\n[body]\nthickness_mm = 2\n[crown]\nacross_radius_mm = 80\n[outline]\n"
            "family = \"rectangle\"\nlength_mm = 60\nwidth_mm = 20\n",
            60 * integral(-10, 10, [](double y) { return 2 - 80 + std::sqrt(6400 - y * y); }), true}),
    [](const auto& row) { return std::string(row.param.name); });

INSTANTIATE_TEST_SUITE_P(Islands, Drawable,
                         ::testing::Values(Row{"Round",
                                               island("shape = \"round\"\ndiameter_mm = 6\n", "height_mm = 3\n"),
                                               pi * 9 * 3},
                                           Row{"Oblong", island(kOblong, "height_mm = 3\nangle_deg = 30\n"),
                                               kOblongA * 3},
                                           Row{"Rectangle", island(kPocket, "height_mm = 3\n"), kPocketA * 3},
                                           Row{"Polygon",
                                               island("shape = \"polygon\"\ncorners_mm = [[0, 0], [8, 0], [0, 6]]\n",
                                                      "height_mm = 2\n"),
                                               48},
                                           // A corner of angle t loses r^2 (cot(t/2) - (pi - t)/2): here t = 90,
                                           // atan(6/8) and atan(8/6).
                                           Row{"PolygonWithRoundCorners",
                                               island("shape = \"polygon\"\ncorners_mm = [[0, 0], [8, 0], [0, "
                                                      "6]]\ncorner_radius_mm = 0.5\n",
                                                      "height_mm = 2\n"),
                                               48 - 2 * 0.25 *
                                                        (1 / std::tan(pi / 4) + 1 / std::tan(0.5 * std::atan2(6, 8)) +
                                                         1 / std::tan(0.5 * std::atan2(8, 6)) - pi)},
                                           Row{"AlongACurve", island("shape = \"band\"\n" + kBend, "height_mm = 2\n"),
                                               2 * (2 * kBendL + pi)},
                                           Row{"RootRadius", island(kOblong, "height_mm = 3\nroot_radius_mm = 0.6\n"),
                                               kOblongA * 3 + integral(0, 0.6,
                                                                       [](double z) {
                                                                         return grown(kOblongA, kOblongP,
                                                                                      offWall(0.6, z)) -
                                                                                kOblongA;
                                                                       })},
                                           Row{"TopChamfer", island(kOblong, "height_mm = 3\ntop_chamfer_mm = 0.4\n"),
                                               kOblongA * 3 - 0.5 * kOblongP * 0.16 + pi / 3 * 0.064},
                                           // Cap of a sphere of radius 20 over the disc of radius 3: height s.
                                           Row{"Dome",
                                               island("shape = \"round\"\ndiameter_mm = 6\n",
                                                      "height_mm = 3\ndome_radius_mm = 20\n"),
                                               [] {
                                                 const double s = 20 - std::sqrt(400.0 - 9.0);
                                                 return pi * 9 * (3 - s) + pi * s * s * (60 - s) / 3;
                                               }()}),
                         [](const auto& row) { return std::string(row.param.name); });

INSTANTIATE_TEST_SUITE_P(
    Recesses, Drawable,
    ::testing::Values(
        Row{"Pocket", pocket("depth_mm = 1\n"), -kPocketA},
        Row{"PocketOnTheBack", pocket("depth_mm = 1\nside = \"back\"\n"), -kPocketA},
        Row{"FloorRadius", pocket("depth_mm = 1\nfloor_radius_mm = 0.4\n"),
            -kPocketA * 0.6 - integral(0, 0.4,
                                       [](double z) {
                                         const double d = offWall(0.4, z);
                                         return kPocketA - kPocketP * d + pi * d * d;
                                       })},
        Row{"RimChamfer", pocket("depth_mm = 1\nrim_chamfer_mm = 0.2\n"),
            -kPocketA - 0.5 * kPocketP * 0.04 - pi / 3 * 0.008},
        Row{"RimChamferOnABand",
            "[[pocket]]\nname = \"p\"\nshape = \"band\"\n" + kBend + "depth_mm = 1\nrim_chamfer_mm = 0.2\n",
            -(2 * kBendL + pi) -
                integral(0, 0.2, [](double d) { return 2 * d * kBendL + pi * ((1 + d) * (1 + d) - 1); })},
        Row{"PocketWithAnIsland",
            pocket("depth_mm = 1\n") + "[[island]]\nname = \"i\"\non = \"p\"\nshape = \"round\"\ndiameter_mm = 3\n"
                                       "height_mm = 0.8\n",
            -kPocketA + pi * 2.25 * 0.8},
        Row{"SpringThinning", pocket("leaves_mm = 0.7\nuse = \"thinning\"\n"), -kPocketA * 1.3},
        Row{"Window", "[[window]]\nname = \"w\"\n" + kPocket, -kPocketA * 2},
        Row{"SlotThrough", "[[slot]]\nname = \"s\"\n" + kBend, -2 * (2 * kBendL + pi)},
        Row{"SlotWithAFloor", "[[slot]]\nname = \"s\"\ndepth_mm = 0.8\n" + kBend, -0.8 * (2 * kBendL + pi)},
        Row{"LockCut", "[[slot]]\nname = \"s\"\nuse = \"lock cut\"\nline_mm = [[-20, 4], [10, 4]]\nwidth_mm = 1.2\n",
            -2 * (30 * 1.2 + pi * 0.36)},
        Row{"Bore", bore(""), -pi * 4 * 2},
        Row{"BlindBoreWithADrillsTip", bore("depth_mm = 0.8\npoint_angle_deg = 140\n"),
            -pi * 4 * 0.8 - pi * 8 / 3 / std::tan(70 * pi / 180)},
        Row{"Counterbore", bore("counterbore_diameter_mm = 6\ncounterbore_depth_mm = 0.7\n"),
            -pi * 4 * 2 - pi*(9 - 4) * 0.7},
        // Mouth 6, bore 4, full angle 90: a cone of height 1 between the radii 3 and 2.
        Row{"Countersink", bore("countersink_diameter_mm = 6\n"), -pi * 4 * 1 - pi / 3 * (9 + 6 + 4)},
        Row{"CountersinkOf120", bore("countersink_diameter_mm = 6\ncountersink_angle_deg = 120\n"),
            [] {
              const double high = 1 / std::tan(60 * pi / 180);
              return -pi * 4 * (2 - high) - pi / 3 * (9 + 6 + 4) * high;
            }()},
        Row{"BoreInAnIsland",
            island(kOblong, "height_mm = 3\n") + "[[bore]]\nname = \"b\"\non = \"i\"\ncentre_mm = [0, 0]\n"
                                                 "diameter_mm = 3\n",
            kOblongA * 3 - pi * 2.25 * 5}),
    [](const auto& row) { return std::string(row.param.name); });

TEST(Drawable, SplineHandleGoesThroughItsPoints) {
  const auto chassis = readChassisText(plate("",
                                             "family = \"spline handle\"\nlength_mm = 60\nhead_mm = 20\ntail_mm = 18\n"
                                             "upper_mm = [[15, 8.5], [0, 8.2], [-15, 9.1]]\n"),
                                       "plate.toml");
  ASSERT_TRUE(chassis) << sentence(chassis.error());
  // A hole just inside a point leaves metal, one just over it does not.
  for (const Vec2 p : {Vec2{15, 8.5}, Vec2{0, 8.2}, Vec2{-15, 9.1}})
    for (const double side : {1.0, -1.0}) {
      Chassis with = *chassis;
      Bore b;
      b.name = "b";
      b.diameter = mm(1);
      b.centre_mm = {p.x, side * (p.y - 0.52)};
      with.bores = {b};
      EXPECT_TRUE(drawChassis(with)) << p.x;
      with.bores[0].centre_mm.y = side * (p.y - 0.47);
      EXPECT_FALSE(drawChassis(with)) << p.x;
    }
}

TEST(Drawable, MirrorMateHoldsTheSameAndLiesOnTheOtherSide) {
  const std::string text = kHead + bore("") + pocket("depth_mm = 1\ncentre_mm = [-14, 3]\nangle_deg = 20\n");
  const auto one = readChassisText(text, "a.toml"), mate = readChassisText("mirror_mate = true\n" + text, "b.toml");
  ASSERT_TRUE(one && mate);
  const auto a = drawChassis(*one), b = drawChassis(*mate);
  ASSERT_TRUE(a && b);
  EXPECT_NEAR(toMm3(a->volume), toMm3(b->volume), 1e-6);
  for (std::size_t i = 0; i < a->details.size(); ++i) {
    EXPECT_NEAR(a->details[i].centre_mm.x, b->details[i].centre_mm.x, 1e-9);
    EXPECT_NEAR(a->details[i].centre_mm.y, -b->details[i].centre_mm.y, 1e-9);
  }
}

TEST(Drawable, WritesAp242InItsOwnUnit) {
  const auto metric = drawChassis(readChassisText(kHead + bore(""), "a.toml").value());
  const std::string inches =
      "name = \"plate\"\nunit = \"inch\"\n[let]\nbore = \"1 / 8\"\n[body]\nthickness = 0.08\n[outline]\n"
      "family = \"rectangle\"\nlength = 2.5\nwidth = 0.75\n[[bore]]\nname = \"b\"\ncentre = [0.5, 0]\n"
      "diameter = \"bore\"\n";
  const auto imperial = drawChassis(readChassisText(inches, "b.toml").value());
  ASSERT_TRUE(metric && imperial);
  const std::string a = stepText(*metric).value(), b = stepText(*imperial).value();
  EXPECT_NE(a.find("AP242_MANAGED_MODEL"), std::string::npos);
  EXPECT_NE(b.find("AP242_MANAGED_MODEL"), std::string::npos);
  EXPECT_EQ(a.find("'INCH'"), std::string::npos);
  EXPECT_NE(b.find("'INCH'"), std::string::npos);
  EXPECT_NEAR(toMm3(imperial->volume), (2.5 * 0.75 - pi / 256) * 0.08 * std::pow(25.4, 3), 1e-5);
}

}  // namespace
}  // namespace chipledger::draw
