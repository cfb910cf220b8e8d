// Every published or recomputed row about motion, one test each. Rows left out, and why: data/time-checks-left-out.tsv.
#include <gtest/gtest.h>
#include <chipledger/motion/closed_forms.hpp>
#include <chipledger/motion/planner.hpp>

#include <functional>
#include <set>

#include "paths.hpp"
#include "tsv.hpp"

using namespace chipledger;
using namespace chipledger::motion;
using namespace chipledger::test;

namespace {

double number(const Row& row, const char* column) { return std::stod(row.at(column)); }
// Printed accuracy: half a unit of the last decimal.
double halfLastDigit(const Row& row) {
  const std::string text = row.at("published_value");
  const auto point = text.find('.');
  return point == std::string::npos ? 0.0 : 0.5 * std::pow(10.0, -static_cast<double>(text.size() - point - 1));
}
double at(const Row& row, const std::string& key) { return inputs(row).at(key); }
Acceleration acc(double v) { return mmPerSecond2(v); }
Jerk jerk(double v) { return mmPerSecond3(v); }

double lockByTrapezoid() {
  double sum = 0;
  const auto p = lockPoints();
  for (std::size_t i = 1; i < p.size(); ++i) {
    const Vec3 d = unit(p[i] - p[i - 1]);
    const double a = std::min(2500 / std::max(1e-9, std::abs(d.x)), 3000 / std::max(1e-9, std::abs(d.y)));
    sum += toSeconds(trapezoidRestToRest(mm(norm(p[i] - p[i - 1])), mmPerSecond(kBeudaertFeed), acc(a)));
  }
  return sum;
}

Times lock(const Machine& machine) { return *planTimes(polyline(lockPoints(), kBeudaertFeed), machine); }
Times trident() {
  return *planTimes(asMoves(fitCurve(tridentPoints(2000), 0.01), kBeudaertFeed), beudaertMachine(0.6));
}

// With the jerk limit out of the way the planner is a trapezoid planner with the junction form.
Machine accelerationOnly() {
  Machine m = beudaertMachine(1.0);
  m.y.acceleration = m.x.acceleration;
  m.x.jerk = m.y.jerk = jerk(1e12);
  return m;
}

double lockLength() {
  double sum = 0;
  for (const auto& m : polyline(lockPoints(), 1)) sum += length(m.segment);
  return sum;
}

double helixTime(const Row& r) {
  return toSeconds(helicalEntryLength(mm(at(r, "helix_d")), mm(at(r, "depth")), mm(at(r, "pitch"))) /
                   mmPerMin(at(r, "feed")));
}

double trochoid(const Row& r) {
  const Length w = mm(at(r, "slot_w")), d = mm(at(r, "D")), step = mm(at(r, "step"));
  const Speed f = mmPerMin(at(r, "feed")), back = mmPerMin(at(r, "return_feed"));
  const Duration loop = trochoidLoopTime(w, d, step, f, back);
  const std::string q = r.at("quantity");
  if (q == "time per loop") return toSeconds(loop);
  if (q == "MRR") return toCm3PerMin(w * step * mm(at(r, "ap")) / loop);
  const double v = toMmPerSecond(f), radius = 0.5 * toMm(w - d);
  return v * v / radius;
}

double stopOverBlend(const Row& r) { return at(r, "stop_s") / at(r, "blend_s"); }

using Compute = std::function<double(const Row&)>;

const std::map<std::string, Compute>& byTopic() {
  static const std::map<std::string, Compute> all{
      {"s-curve-rest-to-rest",
       [](const Row& r) {
         return toSeconds(restToRest(mm(at(r, "d_mm")), mmPerSecond(at(r, "v_mm_s")), acc(at(r, "a_mm_s2")),
                                     jerk(at(r, "j_mm_s3"))));
       }},
      {"trapezoid-rest-to-rest",
       [](const Row& r) {
         return toSeconds(trapezoidRestToRest(mm(at(r, "d_mm")), mmPerSecond(at(r, "v_mm_s")), acc(at(r, "a_mm_s2"))));
       }},
      {"s-curve-nonzero-ends",
       [](const Row& r) {
         return toSeconds(segmentTime(mm(at(r, "L_mm")), mmPerSecond(at(r, "v0_mm_s")), mmPerSecond(at(r, "v1_mm_s")),
                                      mmPerSecond(at(r, "F_mm_s")), acc(at(r, "a_mm_s2")), jerk(at(r, "j_mm_s3"))));
       }},
      {"junction-deviation",
       [](const Row& r) {
         if (r.at("quantity") == "delta")
           return toMm(junctionTolerance(mmPerSecond(at(r, "square_corner_velocity_mm_s")), acc(at(r, "a_mm_s2"))));
         return toMmPerMin(
             cornerSpeedByJunction(degrees(at(r, "turn_deg")), mm(at(r, "delta_mm")), acc(at(r, "a_mm_s2"))));
       }},
      {"parabolic-blend",
       [](const Row& r) {
         return toMmPerMin(
             cornerSpeedByParabola(degrees(at(r, "turn_deg")), mm(at(r, "eps_mm")), acc(at(r, "a_mm_s2"))));
       }},
      {"jerk-limited-blend",
       [](const Row& r) {
         return toMmPerMin(cornerSpeedByJerk(degrees(at(r, "turn_deg")), mm(at(r, "eps_mm")), jerk(at(r, "J_mm_s3"))));
       }},
      {"arc-feed-limit",
       [](const Row& r) { return toMmPerMin(arcSpeedByAcceleration(mm(at(r, "r_mm")), acc(at(r, "a_mm_s2")))); }},
      {"arc-jerk-limit",
       [](const Row& r) { return toMmPerMin(arcSpeedByJerk(mm(at(r, "r_mm")), jerk(at(r, "J_mm_s3")))); }},
      {"block-rate-limit",
       [](const Row& r) { return toMmPerMin(blockSpeed(mm(at(r, "seg_mm")), seconds(at(r, "block_ms") / 1000))); }},
      {"chord-length", [](const Row& r) { return toMm(chordLength(mm(at(r, "r_mm")), mm(at(r, "tol_mm")))); }},
      {"extra-time-per-full-stop",
       [](const Row& r) {
         return toSeconds(stopLoss(mmPerMin(at(r, "feed_mm_min")), acc(at(r, "a")), jerk(at(r, "j"))));
       }},
      {"trochoidal-slot", trochoid},
      {"helical-entry", helixTime},
      {"stop-vs-blend", stopOverBlend},
  };
  return all;
}

const std::map<std::string, Compute>& byId() {
  static const std::map<std::string, Compute> all{
      {"lock-len", [](const Row&) { return lockLength(); }},
      {"lock-naive", [](const Row&) { return toSeconds(lock(beudaertMachine(1)).lower); }},
      {"lock-trap-stop", [](const Row&) { return lockByTrapezoid(); }},
      {"lock-scurve-stop", [](const Row&) { return toSeconds(lock(beudaertMachine(1)).upper); }},
      {"lock-trap-jd", [](const Row&) { return toSeconds(lock(accelerationOnly()).likely); }},
      {"lock-scurve-blend1", [](const Row&) { return toSeconds(lock(beudaertMachine(1)).likely); }},
      {"lock-scurve-blend06", [](const Row&) { return toSeconds(lock(beudaertMachine(0.6)).likely); }},
      {"lock-planned", [](const Row&) { return toSeconds(lock(beudaertMachine(0.6)).likely); }},
      {"lock-measured", [](const Row&) { return toSeconds(lock(beudaertMachine(0.6)).likely); }},
      {"tri-len",
       [](const Row&) {
         double sum = 0;
         for (const auto& m : polyline(tridentPoints(20000), 1)) sum += length(m.segment);
         return sum;
       }},
      {"tri-naive", [](const Row&) { return toSeconds(trident().lower); }},
      {"tri-measured", [](const Row&) { return toSeconds(trident().likely); }},
      {"lit-li-fir-T1", [](const Row& r) { return at(r, "F") / at(r, "Am"); }},
      {"lit-li-fir-T2", [](const Row& r) { return at(r, "Am") / at(r, "Jm"); }},
  };
  return all;
}

std::vector<Row> rows() { return readTsv(motionData("time-checks.tsv")); }
std::string rowName(const testing::TestParamInfo<Row>& info) {
  std::string name = info.param.at("id");
  for (char& c : name)
    if (!std::isalnum(static_cast<unsigned char>(c))) c = '_';
  return name;
}

class PublishedRow : public testing::TestWithParam<Row> {};

}  // namespace

TEST_P(PublishedRow, Holds) {
  const Row& row = GetParam();
  auto compute = byId().find(row.at("id"));
  if (compute == byId().end()) {
    compute = byTopic().find(row.at("topic"));
    ASSERT_NE(compute, byTopic().end()) << row.at("id");
  }
  const double expected = number(row, "published_value"), tolerance = number(row, "rel_tolerance");
  EXPECT_NEAR(compute->second(row), expected, std::max(tolerance * std::abs(expected), halfLastDigit(row)))
      << row.at("source");
}
INSTANTIATE_TEST_SUITE_P(TimeChecks, PublishedRow, testing::ValuesIn(rows()), rowName);

TEST(PublishedRows, NoneOfTheEvidenceIsForgotten) {
  const auto evidence = readTsv(std::string(CHIPLEDGER_SHARED_DIR) + "/evidence/time-checks.tsv");
  if (evidence.empty()) GTEST_SKIP() << "the shared evidence folder is not beside the project";
  std::map<std::string, Row> used;
  for (const Row& row : rows()) used[row.at("id")] = row;
  std::set<std::string> leftOut;
  for (const Row& row : readTsv(motionData("time-checks-left-out.tsv"))) {
    EXPECT_FALSE(row.at("reason").empty());
    leftOut.insert(row.at("id"));
  }
  for (const Row& row : evidence) {
    const std::string& id = row.at("id");
    if (used.contains(id)) {
      EXPECT_EQ(used[id], row) << id;
    } else {
      EXPECT_TRUE(leftOut.contains(id)) << id << " is neither tested nor left out with a reason";
    }
  }
}

// Measured on the machine: 4.5 s. Asked: likely within 10 %, lower and upper on either side.
TEST(PublishedPaths, LockIsBracketedAndWithinTenPercent) {
  const Times t = lock(beudaertMachine(0.6));
  EXPECT_NEAR(toSeconds(t.likely), 4.5, 0.45);
  EXPECT_LT(toSeconds(t.lower), 4.5);
  EXPECT_GT(toSeconds(t.upper), 4.5);
}

// Measured on the machine: 2.4 s; 1.98 s is the lower bound of an optimal plan with the same axis limits.
// However the curve is handed over: as fitted arcs or as points, fine or coarse.
TEST(PublishedPaths, TridentIsBracketedAndWithinFifteenPercent) {
  std::vector<std::pair<std::string, Moves>> forms;
  for (const double tolerance : {0.005, 0.01, 0.02})
    forms.emplace_back("fitted " + std::to_string(tolerance),
                       asMoves(fitCurve(tridentPoints(2000), tolerance), kBeudaertFeed));
  for (const int chords : {100, 200, 400, 1000})
    forms.emplace_back("chords " + std::to_string(chords), polyline(tridentPoints(chords), kBeudaertFeed));
  for (const auto& [name, moves] : forms) {
    const Times t = *planTimes(moves, beudaertMachine(0.6));
    EXPECT_NEAR(toSeconds(t.likely), 2.4, 0.36) << name;
    EXPECT_GT(toSeconds(t.likely), 1.98) << name;
    EXPECT_LT(toSeconds(t.lower), 2.4) << name;
    EXPECT_GT(toSeconds(t.upper), 2.4) << name;
  }
}

// The ramp to full speed is the sum of the two box filters of Li et al., J Manuf Process 95 (2023) 242-265, eq. 36.
TEST(PublishedForms, RampIsTheSumOfTheTwoFilters) {
  EXPECT_NEAR(toSeconds(stopLoss(mmPerSecond(40), acc(400), jerk(4000))), 0.1 + 0.1, 1e-12);
}
