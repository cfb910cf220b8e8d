// Chassis files: values, units, expressions, and faults with the line they are on.
#include <chipledger/draw/read_chassis.hpp>

#include <chipledger/draw/drawn.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

namespace chipledger::draw {
namespace {

using ::testing::HasSubstr;

// Lines 1 to 9 of every case below.
const std::string kHead =
    "name = \"plate\"\n"
    "[let]\n"
    "body = 2.0\n"
    "plate = \"body + 4.35\"\n"
    "[body]\n"
    "thickness_mm = \"body\"\n"
    "[outline]\n"
    "family = \"rectangle\"\n"
    "length_mm = 60\nwidth_mm = 20\n";

TEST(ReadChassis, ValuesUnitsAndExpressions) {
  const auto c =
      readChassisText(kHead +
                          "[[island]]\nname = \"eye\"\nshape = \"oblong\"\nlength_in = 0.5\nwidth_mm = \"sqrt(36)\"\n"
                          "height_mm = \"plate - body - 0.9\"\ncentre_mm = [\"-plate\", 2]\nangle_deg = 30\n"
                          "[[bore]]\nname = \"screw\"\ncentres_mm = [[20, 5], [20, -5]]\ndiameter_mm = 2.05\n"
                          "use = \"thread\"\nthread = \"M2.5\"\nhint = \"thread\"\n",
                      "plate.toml");
  ASSERT_TRUE(c) << sentence(c.error());
  EXPECT_EQ(c->name, "plate");
  EXPECT_DOUBLE_EQ(toMm(c->thickness), 2.0);
  ASSERT_EQ(c->islands.size(), 1u);
  const Island& eye = c->islands[0];
  EXPECT_NEAR(toMm(eye.height), 3.45, 1e-12);
  EXPECT_NEAR(toMm(std::get<Oblong>(eye.shape).length), 12.7, 1e-12);
  EXPECT_NEAR(toMm(std::get<Oblong>(eye.shape).width), 6.0, 1e-12);
  EXPECT_NEAR(eye.place.centre_mm.x, -6.35, 1e-12);
  EXPECT_NEAR(toDegrees(eye.place.angle), 30, 1e-12);
  ASSERT_EQ(c->bores.size(), 2u);
  EXPECT_EQ(c->bores[1].name, "screw-2");
  EXPECT_EQ(c->bores[1].centre_mm.y, -5);
  EXPECT_EQ(c->bores[0].hint, part::Hint::Thread);
}

TEST(ReadChassis, InchFilesReadBareKeysAsInches) {
  const auto c = readChassisText(
      "name = \"inch\"\nunit = \"inch\"\n[body]\nthickness = 0.08\n[outline]\nfamily = \"rectangle\"\nlength = "
      "2\nwidth_mm = 20\n",
      "inch.toml");
  ASSERT_TRUE(c) << sentence(c.error());
  EXPECT_NEAR(toMm(c->thickness), 2.032, 1e-12);
  EXPECT_NEAR(toMm(std::get<RectangleOutline>(c->outline).length), 50.8, 1e-12);
  EXPECT_NEAR(toMm(std::get<RectangleOutline>(c->outline).width), 20, 1e-12);
  EXPECT_EQ(c->unit, FileUnit::Inch);
}

TEST(ReadChassis, MateIsTheOtherHand) {
  const auto c = readChassisText("mirror_mate = true\n" + kHead +
                                     "[[pocket]]\nname = \"p\"\nshape = \"rectangle\"\nlength_mm = 8\nwidth_mm = 4\n"
                                     "corner_radius_mm = 1\nleaves_mm = 0.8\ncentre_mm = [5, 3]\nangle_deg = 20\n",
                                 "mate.toml");
  ASSERT_TRUE(c) << sentence(c.error());
  EXPECT_EQ(c->pockets[0].place.centre_mm, (Vec2{5, -3}));
  EXPECT_NEAR(toDegrees(c->pockets[0].place.angle), -20, 1e-12);
  EXPECT_NEAR(toMm(c->pockets[0].depth), 1.2, 1e-12);
}

struct FaultCase {
  const char* name;
  std::string text;
  const char* where;
  const char* what;
};
std::ostream& operator<<(std::ostream& out, const FaultCase& c) { return out << c.name; }
class ReadChassisFaults : public ::testing::TestWithParam<FaultCase> {};

TEST_P(ReadChassisFaults, SayLineAndCause) {
  const auto c = readChassisText(GetParam().text, "f.toml");
  ASSERT_FALSE(c);
  EXPECT_EQ(c.error().code, FaultCode::BadFile);
  EXPECT_EQ(c.error().where, GetParam().where) << c.error().what;
  EXPECT_THAT(c.error().what, HasSubstr(GetParam().what));
  EXPECT_FALSE(c.error().next.empty());
}

const std::string kIsland = kHead + "[[island]]\nname = \"eye\"\nshape = \"round\"\n";  // its table starts on line 11

INSTANTIATE_TEST_SUITE_P(
    Each, ReadChassisFaults,
    ::testing::Values(
        FaultCase{"Syntax", "name = \"a\"\nunit = = 3\n", "f.toml:2", ""},
        FaultCase{"UnknownKey", kIsland + "diameter_mm = 6\nheight_mm = 3\nheigth_mm = 3\n", "f.toml:16", "heigth_mm"},
        FaultCase{"UnknownTable", kHead + "[[isle]]\nname = \"x\"\n", "f.toml:11", "isle"},
        FaultCase{"UnitOnAngleMissing", kIsland + "diameter_mm = 6\nheight_mm = 3\nangle = 4\n", "f.toml:16", "angle"},
        FaultCase{"WrongType", kIsland + "diameter_mm = true\nheight_mm = 3\n", "f.toml:14", "not a number"},
        FaultCase{"MissingKey", kIsland + "diameter_mm = 6\n", "f.toml:11", "height_mm"},
        FaultCase{"TwoUnits", kIsland + "diameter_mm = 6\nheight_mm = 3\nheight_in = 0.1\n", "f.toml:16", "twice"},
        FaultCase{"UnknownName", kIsland + "diameter_mm = \"bodi * 2\"\nheight_mm = 3\n", "f.toml:14", "bodi"},
        FaultCase{"BadExpression", kIsland + "diameter_mm = \"2 * (body\"\nheight_mm = 3\n", "f.toml:14", "bracket"},
        FaultCase{"DivisionByZero", kIsland + "diameter_mm = \"1 / (body - 2)\"\nheight_mm = 3\n", "f.toml:14",
                  "finite"},
        FaultCase{"LetUsesLater", "name = \"a\"\n[let]\na1 = \"b1\"\nb1 = 2\n", "f.toml:3", "b1"},
        FaultCase{"LetName", "name = \"a\"\n[let]\nfoot-r = 2\n", "f.toml:3", "foot-r"},
        FaultCase{"Choice", kHead + "[[pocket]]\nname = \"p\"\nshape = \"star\"\ndepth_mm = 1\n", "f.toml:13", "star"},
        FaultCase{"NotAPoint", kIsland + "diameter_mm = 6\nheight_mm = 3\ncentre_mm = [1, 2, 3]\n", "f.toml:16",
                  "point"},
        FaultCase{"DepthAndLeaves",
                  kHead + "[[pocket]]\nname = \"p\"\nshape = \"round\"\ndiameter_mm = 4\ndepth_mm = 1\nleaves_mm = 1\n",
                  "f.toml:11", "either depth or leaves"},
        FaultCase{"ThroughTheBody",
                  kHead + "[[pocket]]\nname = \"p\"\nshape = \"round\"\ndiameter_mm = 4\ndepth_mm = 2.5\n", "f.toml:15",
                  "goes through the body"},
        FaultCase{"ImpossibleFoot", kIsland + "diameter_mm = 6\nheight_mm = 0.4\nroot_radius_mm = 0.5\n", "f.toml:16",
                  "foot radius"},
        FaultCase{"Outside", kIsland + "diameter_mm = 6\nheight_mm = 3\ncentre_mm = [40, 0]\n", "f.toml:11", "outside"},
        FaultCase{"CornersLargerThanTheWall",
                  kHead + "[[pocket]]\nname = \"p\"\nshape = \"rectangle\"\nlength_mm = 10\nwidth_mm = 6\n"
                          "corner_radius_mm = 4\ndepth_mm = 1\n",
                  "f.toml:11", "do not fit on a side"},
        FaultCase{"FloorRadiusLargerThanTheWall",
                  kHead + "[[pocket]]\nname = \"p\"\nshape = \"rectangle\"\nlength_mm = 10\nwidth_mm = 6\n"
                          "corner_radius_mm = 1\ndepth_mm = 1\nfloor_radius_mm = 1.5\n",
                  "f.toml:18", "whole wall"},
        FaultCase{"IslandCrossesItself",
                  kHead + "[[island]]\nname = \"i\"\nshape = \"polygon\"\n"
                          "corners_mm = [[0,0],[8,8],[8,0],[0,8]]\nheight_mm = 2\n",
                  "f.toml:11", "crosses itself"},
        FaultCase{"AbsurdlyWideBore",
                  kHead + "[[bore]]\nname = \"b\"\ncentre_mm = [0, 0]\ndiameter_mm = 77777777777771.65\n", "f.toml:14",
                  "more than any chassis"},
        FaultCase{"CounterboreNarrowerThanItsBore",
                  kHead + "[[bore]]\nname = \"b\"\ncentre_mm = [0, 0]\ndiameter_mm = 4\n"
                          "counterbore_diameter_mm = 3\ncounterbore_depth_mm = 1\n",
                  "f.toml:15", "not wider than the bore"},
        FaultCase{"OutlineCrossesItself",
                  "name = \"a\"\nunit = \"mm\"\n[body]\nthickness_mm = 2\n[outline]\nfamily = \"polyline\"\n"
                  "[[outline.corner]]\nat_mm = [-30, -10]\n[[outline.corner]]\nat_mm = [30, 10]\n"
                  "[[outline.corner]]\nat_mm = [30, -10]\n[[outline.corner]]\nat_mm = [-30, 10]\n",
                  "f.toml:5", "crosses itself"},
        FaultCase{"SplineOutlineCrossesItself",
                  "name = \"a\"\n[body]\nthickness_mm = 2\n[outline]\nfamily = \"spline\"\n"
                  "through_mm = [[-30, -10], [30, 10], [30, -10], [-30, 10]]\n",
                  "f.toml:4", "crosses itself"},
        FaultCase{"FootLargerThanAHollowCorner",
                  kHead + "[[island]]\nname = \"i\"\nshape = \"polygon\"\nheight_mm = 2\nroot_radius_mm = 0.5\n"
                          "corners_mm = [[0,0],[8,0],[8,8],[5,8],[5,3],[0,3]]\n",
                  "f.toml:15", "hollow corner"},
        FaultCase{"BandBentTooTight",
                  kHead + "[[slot]]\nname = \"s\"\nline_mm = [[-8,0],[0,0],[0,6]]\nwidth_mm = 2\n"
                          "bend_radius_mm = 0.8\n",
                  "f.toml:15", "bend"},
        FaultCase{"EdgesLargerThanTheBody",
                  "name = \"a\"\n[body]\nthickness_mm = 2\nback_round_mm = 0.2\nouter_chamfer_mm = 1.9\n[outline]\n"
                  "family = \"obround\"\nlength_mm = 60\nwidth_mm = 20\n",
                  "f.toml:5", "leave no wall"},
        FaultCase{"EdgeOfACrown",
                  "name = \"a\"\n[body]\nthickness_mm = 2\nouter_chamfer_mm = 0.2\n[crown]\nacross_radius_mm = 90\n"
                  "[outline]\nfamily = \"obround\"\nlength_mm = 60\nwidth_mm = 20\n",
                  "f.toml:4", "crowned face"},
        FaultCase{"PocketsMeetThroughTheBody",
                  kHead + "[[pocket]]\nname = \"p\"\nshape = \"round\"\ndiameter_mm = 4\ndepth_mm = 1.2\n"
                          "[[pocket]]\nname = \"q\"\nside = \"back\"\nshape = \"round\"\ndiameter_mm = 4\n"
                          "depth_mm = 1.2\n",
                  "f.toml:21", "from the other side"},
        FaultCase{"IslandRunsIntoAPocket",
                  kIsland + "diameter_mm = 6\nheight_mm = 3\n[[pocket]]\nname = \"p\"\nshape = \"round\"\n"
                            "diameter_mm = 4\ndepth_mm = 1\ncentre_mm = [4, 0]\n",
                  "f.toml:16", "overlaps eye"},
        FaultCase{"NoBody", "name = \"a\"\n", "f.toml:1", "[body]"}),
    [](const auto& row) { return std::string(row.param.name); });

TEST(ReadChassis, FileThatIsNotThere) {
  const auto c = readChassis("/nowhere/at/all.toml");
  ASSERT_FALSE(c);
  EXPECT_EQ(c.error().code, FaultCode::BadFile);
}

}  // namespace
}  // namespace chipledger::draw
