// The paths file, the JSON and the STEP file are enough to cut and to time the part again: a slow twin that shares no
// code with the walker comes to the same metal, the same lengths and the same minutes.
#include <chipledger/motion/operation_time.hpp>
#include <chipledger/report/csv.hpp>
#include <chipledger/report/json.hpp>

#include <fmt/format.h>

#include "promises/priced.hpp"
#include "support/reference/recut.hpp"

namespace chipledger {
namespace {

struct Row {
  const char* name;
  const char* file;
};
constexpr Row kRows[] = {
    {"islands", "medlar-islands.step"}, {"pocketed", "sundew-pocketed.step"}, {"window", "block-window.step"}};

class Recut : public testing::TestWithParam<Row> {};

/// Length over feed of every move at feed, and stands, straight from the moves.
double minutesAtFeed(const path::Operation& op) {
  double minutes = 0.0;
  for (const path::Move& m : op.moves) {
    minutes += toMinutes(m.dwell);
    if (m.kind != path::MoveKind::Rapid) minutes += length(m.segment) / toMmPerMin(m.feed);
  }
  return minutes;
}

struct Again {
  test::Priced priced;
  nlohmann::json json;
  std::vector<reference::PathRow> rows;
};
const Again& again(const Row& row) {
  static std::map<std::string, Again> known;
  Again& a = known[row.file];
  if (a.rows.empty()) {
    a.priced = test::pricedSample(row.file);
    a.json = nlohmann::json::parse(report::estimateJson(a.priced.estimate, a.priced.part));
    a.rows = reference::readPaths(report::pathsCsv(a.priced.estimate));
  }
  return a;
}

/// The gouge tolerance, what chords of arcs and of the mesh may stray, and the rounding of heights.
double slack(const Again& a) {
  return 0.02 + report::kPathChordTolerance + a.priced.part.bodies.front().mesh.deflection_mm + 0.001;
}

// On the engine's own cells: every operation takes the same metal, but for cells that a chord's sagitta decides.
TEST_P(Recut, EveryOperationTakesTheSameMetal) {
  const Again& a = again(GetParam());
  const estimate::Estimate& e = a.priced.estimate;
  ASSERT_FALSE(e.operations.empty());
  const double cell = e.cell_um / 1000.0;
  reference::Recut recut(a.json, a.priced.part.bodies.front().mesh, cell, 0.5 * cell, slack(a));
  const auto done = recut.run(a.rows);
  ASSERT_EQ(done.size(), e.operations.size());
  double sum = 0.0, rapids = 0.0;
  for (std::size_t i = 0; i < done.size(); ++i) {
    const estimate::OperationResult& o = e.operations[i];
    EXPECT_EQ(done[i].id, o.operation.id);
    const double taken = toMm3(toVolume(o.operation.removed));
    const double rim = report::kPathChordTolerance * o.pathLength_mm * e.blank.size_mm.z;
    EXPECT_NEAR(done[i].removed_mm3, taken, 0.001 * taken + rim) << done[i].id;
    EXPECT_NEAR(done[i].path_mm, o.pathLength_mm, 0.0005 * o.pathLength_mm + 0.01) << done[i].id;
    const double minutes = minutesAtFeed(o.operation);
    EXPECT_NEAR(done[i].feed_min, minutes, 0.001 * minutes + 1e-4) << done[i].id;
    // The lower time of the JSON is that, rapids and the change; roughing may be slowed by the shop file.
    EXPECT_LE(done[i].feed_min, a.json["operations"][i]["minutes"]["lower"].get<double>() * 1.001) << done[i].id;
    EXPECT_EQ(done[i].gouge_mm, 0.0) << done[i].id << " " << done[i].gouge_mm3 << " mm3";
    sum += done[i].removed_mm3;
    rapids += done[i].rapid_mm3;
  }
  EXPECT_NEAR(sum, toMm3(toVolume(e.removed)), 0.0005 * sum);
  EXPECT_NEAR(rapids, 0.0, 0.01) << "a rapid meets metal";
  EXPECT_NEAR(recut.stock_mm3() - recut.part_mm3(), toMm3(toVolume(e.left)), 0.0005 * sum);
  fmt::print("{}: removed {:.2f}, again {:.2f} mm3; left {:.2f}, again {:.2f}; rapids meet {:.4f}\n", GetParam().file,
             toMm3(toVolume(e.removed)), sum, toMm3(toVolume(e.left)), recut.stock_mm3() - recut.part_mm3(), rapids);
}

/// The operation as the paths file tells it: straight moves at their feeds, stands as dwells.
path::Operation fromRows(const path::Operation& op, const std::vector<reference::PathRow>& rows) {
  path::Operation again = op;
  again.moves.clear();
  const auto kindOf = [](const std::string& word) {
    for (const path::MoveKind kind : {path::MoveKind::Rapid, path::MoveKind::Cut, path::MoveKind::Enter})
      if (word == path::word(kind)) return kind;
    return path::MoveKind::Link;
  };
  const reference::PathRow* before = nullptr;
  for (const reference::PathRow& row : rows) {
    if (row.operation != op.id) continue;
    if (before != nullptr && norm(row.point - before->point) < 1e-9) {
      if (row.feed > 0 && !again.moves.empty()) again.moves.back().dwell += report::kStandLength / mmPerMin(row.feed);
    } else if (before != nullptr) {
      again.moves.push_back({kindOf(row.move), line(before->point, row.point), mmPerMin(row.feed), {}, {}});
    }
    before = &row;
  }
  return again;
}

// The machine's own likely time of the rows, chords for arcs: what a reader of the file comes to with jerk and corners.
TEST_P(Recut, TimedAgainFromTheRowsItTakesTheLikelyMinutes) {
  const Again& a = again(GetParam());
  ASSERT_FALSE(a.priced.estimate.operations.empty());
  const motion::Machine& machine = test::sampleShop().machine;
  double sum = 0.0, sumAgain = 0.0;
  for (const estimate::OperationResult& o : a.priced.estimate.operations) {
    const auto drawn = motion::operationTimes(o.operation, machine, {});
    const auto read = motion::operationTimes(fromRows(o.operation, a.rows), machine, {});
    ASSERT_TRUE(drawn && read) << o.operation.id;
    const double minutes = toMinutes(toDuration(drawn->moves.likely));
    const double minutesAgain = toMinutes(toDuration(read->moves.likely));
    EXPECT_NEAR(minutesAgain, minutes, 0.005 * minutes + 0.001) << o.operation.id;
    sum += minutes;
    sumAgain += minutesAgain;
  }
  EXPECT_NEAR(sumAgain, sum, 0.001 * sum);
  fmt::print("{}: {:.3f} min from the moves, {:.3f} from the rows ({:+.2f} %)\n", GetParam().file, sum, sumAgain,
             100 * (sumAgain / sum - 1));
}

// On a coarse grid that lies anywhere: a wall is off by at most half a spacing, so the metal by that much of all walls
// of the blank and the part.
TEST_P(Recut, ACoarseGridElsewhereFindsTheSameMetal) {
  const Again& a = again(GetParam());
  const estimate::Estimate& e = a.priced.estimate;
  ASSERT_FALSE(e.operations.empty());
  constexpr double kSpacing_mm = 0.37, kOffset_mm = 0.13;
  reference::Recut recut(a.json, a.priced.part.bodies.front().mesh, kSpacing_mm, kOffset_mm, slack(a));
  double sum = 0.0;
  for (const auto& op : recut.run(a.rows)) {
    sum += op.removed_mm3;
    EXPECT_EQ(op.gouge_mm, 0.0) << op.id << " " << op.gouge_mm3 << " mm3";
  }
  const Vec3 size = e.blank.size_mm;
  const double walls = 2 * (size.x + size.y) * size.z + toMm2(e.partArea) - 2 * toMm3(e.partVolume) / size.z;
  EXPECT_NEAR(sum, toMm3(toVolume(e.removed)), 0.5 * kSpacing_mm * walls);
  fmt::print("{}: removed {:.1f}, on a grid of {} elsewhere {:.1f} mm3\n", GetParam().file, toMm3(toVolume(e.removed)),
             kSpacing_mm, sum);
}

INSTANTIATE_TEST_SUITE_P(Promises, Recut, testing::ValuesIn(kRows), [](const auto& row) { return row.param.name; });

// What a stand looks like in the file, and that it is timed.
TEST(RecutRows, AStandIsARowThatRepeatsItsPoint) {
  test::Priced p = test::pricedSample("block-window.step");
  ASSERT_FALSE(p.estimate.operations.empty());
  path::Operation& op = p.estimate.operations.front().operation;
  const double before = minutesAtFeed(op);
  for (path::Move& m : op.moves)
    if (m.kind == path::MoveKind::Cut) {
      m.dwell = seconds(6);
      break;
    }
  const auto json = nlohmann::json::parse(report::estimateJson(p.estimate, p.part));
  reference::Recut recut(json, p.part.bodies.front().mesh, 5.0, 1.0, 0.03);
  const auto done = recut.run(reference::readPaths(report::pathsCsv(p.estimate)));
  EXPECT_NEAR(done.front().feed_min, before + 0.1, 0.001 * before + 1e-4);
}

}  // namespace
}  // namespace chipledger
