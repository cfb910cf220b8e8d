#include "support/sample_estimate.hpp"

#include <chipledger/report/csv.hpp>

#include <gtest/gtest.h>

#include <cstdlib>
#include <numbers>
#include <sstream>

namespace chipledger::report {
namespace {

std::vector<std::vector<std::string>> rowsOf(const std::string& csv) {
  std::vector<std::vector<std::string>> rows(1, std::vector<std::string>(1));
  bool quoted = false;
  for (std::size_t i = 0; i < csv.size(); ++i) {
    const char c = csv[i];
    if (quoted) {
      if (c == '"' && i + 1 < csv.size() && csv[i + 1] == '"') {
        rows.back().back() += '"';
        ++i;
      } else if (c == '"') {
        quoted = false;
      } else {
        rows.back().back() += c;
      }
    } else if (c == '"') {
      quoted = true;
    } else if (c == ',') {
      rows.back().emplace_back();
    } else if (c == '\n') {
      rows.emplace_back(1);
    } else {
      rows.back().back() += c;
    }
  }
  rows.pop_back();  // after the last line end
  return rows;
}

double numberIn(const std::string& text) { return std::strtod(text.c_str(), nullptr); }

estimate::Estimate withMoves(std::vector<path::Move> moves) {
  estimate::Estimate e = support::sampleEstimate();
  e.operations.resize(1);
  e.operations.front().operation.moves = std::move(moves);
  return e;
}

path::Move cut(Segment segment, double feed = 600) {
  return {path::MoveKind::Cut, segment, mmPerMin(feed), mm(0.4), {}};
}

TEST(PathsCsv, HeaderIsAsDocumented) {
  const std::string csv = pathsCsv(support::sampleEstimate());
  EXPECT_EQ(csv.substr(0, csv.find('\n')),
            "setup,operation,cutter,cutter_diameter_mm,corner_radius_mm,move,x_mm,y_mm,z_mm,feed_mm_min");
}

TEST(PathsCsv, RowsCarryNamesMeasuresAndMoves) {
  const auto rows = rowsOf(pathsCsv(support::sampleEstimate()));
  for (const auto& row : rows) ASSERT_EQ(row.size(), 10U);
  EXPECT_EQ(rows[1],
            (std::vector<std::string>{"back", "back-01-skim", "flat-10", "10", "0", "rapid", "-52", "0", "11", "0"}));
  bool bull = false;
  for (const auto& row : rows) {
    if (row[2] != "bull-6-r0.5") continue;
    bull = true;
    EXPECT_EQ(row[3], "6");
    EXPECT_EQ(row[4], "0.5");
  }
  EXPECT_TRUE(bull);
}

struct ArcCase {
  const char* name;
  double radius, fromDeg, toDeg;
  Segment::Shape shape;
  double turns, rise;
};

class Arcs : public testing::TestWithParam<ArcCase> {};

TEST_P(Arcs, ChordsStayWithinTheToleranceAndEndWhereTheArcEnds) {
  const ArcCase& c = GetParam();
  const Vec2 centre{3, -2};
  const auto at = [&](double deg, double z) {
    const double a = deg * std::numbers::pi / 180;
    return Vec3{centre.x + c.radius * std::cos(a), centre.y + c.radius * std::sin(a), z};
  };
  const Segment segment = arc(at(c.fromDeg, 0), at(c.toDeg, c.rise), centre, c.shape, c.turns);
  const auto rows = rowsOf(pathsCsv(withMoves({cut(segment)})));
  std::vector<Vec3> points;
  for (std::size_t i = 1; i < rows.size(); ++i)
    points.push_back({numberIn(rows[i][6]), numberIn(rows[i][7]), numberIn(rows[i][8])});
  ASSERT_GE(points.size(), 2U);
  constexpr double kRounding = 2e-5;  // coordinates are printed to 1e-5 mm
  EXPECT_NEAR(norm(points.front() - segment.start), 0, kRounding);
  EXPECT_NEAR(norm(points.back() - segment.end), 0, kRounding);
  double length = 0;
  for (std::size_t i = 0; i + 1 < points.size(); ++i) {
    const Vec3 middle = (points[i] + points[i + 1]) * 0.5;
    EXPECT_LE(c.radius - norm(middle.xy() - centre), kPathChordTolerance + kRounding);
    length += norm(points[i + 1] - points[i]);
  }
  // A chord of sagitta s on radius r is short of its arc by 8 s^2 / (3 chord); bounded here by s / r of the length.
  EXPECT_NEAR(length, chipledger::length(segment), chipledger::length(segment) * kPathChordTolerance / c.radius + 1e-4);
}

INSTANTIATE_TEST_SUITE_P(Shapes, Arcs,
                         testing::Values(ArcCase{"quarter", 2, 0, 90, Segment::Shape::ArcCcw, 0, 0},
                                         ArcCase{"clockwise", 5, 30, -200, Segment::Shape::ArcCw, 0, 0},
                                         ArcCase{"full_circle", 12, 45, 45, Segment::Shape::ArcCcw, 1, 0},
                                         ArcCase{"helix", 0.8, 0, 90, Segment::Shape::ArcCcw, 3, -2.5},
                                         ArcCase{"wide", 400, 0, 3, Segment::Shape::ArcCcw, 0, 0}),
                         [](const auto& param) { return std::string(param.param.name); });

TEST(PathsCsv, LinesAreOneRowAndRapidsHaveNoFeed) {
  path::Move rapid{path::MoveKind::Rapid, line({0, 0, 5}, {10, 0, 5}), mmPerMin(99), {}, {}};
  const auto rows = rowsOf(pathsCsv(withMoves({rapid, cut(line({10, 0, 5}, {10, 3, 5}), 617.5)})));
  ASSERT_EQ(rows.size(), 4U);  // header, start, rapid, cut
  EXPECT_EQ(rows[2][5], "rapid");
  EXPECT_EQ(rows[2][9], "0");
  EXPECT_EQ(rows[3][5], "cut");
  EXPECT_EQ(rows[3][9], "617.5");
}

TEST(PathsCsv, AGapBetweenMovesIsShownNotBridgedByACut) {
  const auto rows = rowsOf(pathsCsv(withMoves({cut(line({0, 0, 0}, {1, 0, 0})), cut(line({5, 0, 0}, {6, 0, 0}))})));
  ASSERT_EQ(rows.size(), 5U);
  EXPECT_EQ(rows[3][5], "rapid");
  EXPECT_EQ(rows[3][6], "5");
}

TEST(PriceCsv, LinesAddUpToEachRow) {
  const auto rows = rowsOf(priceCsv(support::sampleEstimate()));
  EXPECT_EQ(rows.front().size(), 17U);
  for (std::size_t r = 1; r < rows.size(); ++r) {
    ASSERT_EQ(rows[r].size(), 17U);
    Money sum;
    for (std::size_t c = 6; c < 14; ++c) sum += money(numberIn(rows[r][c]));
    EXPECT_EQ(sum, money(numberIn(rows[r][14]))) << rows[r][0] << " " << rows[r][1];
  }
  EXPECT_EQ(rows.size(), 1U + 5 + 10 * 5 + 5);
}

TEST(PriceCsv, SaysWhatABatchCounts) {
  estimate::Estimate e = support::sampleEstimate();
  EXPECT_EQ(rowsOf(priceCsv(e))[1][3], "pieces");
  e.piecesPerSet = 2;
  const auto rows = rowsOf(priceCsv(e));
  EXPECT_EQ(rows[0][2], "batch");
  EXPECT_EQ(rows[1][3], "sets");
  EXPECT_EQ(rows[1][4], "2");
}

TEST(PriceCsv, QuotesTextAndDisarmsFormulas) {
  estimate::Estimate e = support::sampleEstimate();
  e.bodyName = "=1+1,\"x\"";
  const std::string csv = priceCsv(e);
  EXPECT_NE(csv.find("price,\"'=1+1,\"\"x\"\"\",1,"), std::string::npos) << csv.substr(0, 300);
  EXPECT_EQ(rowsOf(csv)[1][1], "'=1+1,\"x\"");
}

}  // namespace
}  // namespace chipledger::report
