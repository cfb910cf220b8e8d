// Every value of every table, made a tenth larger: the money of small jobs must move the way the value says, and at
// least one of them must move, so that no row is dead. What only other rooms read is named with the test that moves it.
#include <chipledger/cutting/tables.hpp>
#include <chipledger/cutting/wear.hpp>

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

using namespace chipledger;
using namespace chipledger::cutting;

namespace {

enum class Way {
  Cheaper,  ///< a larger value never costs more
  Dearer,
  Either  ///< moves the money, the way depends on the work
};

/// What a job costs, part by part: each is chosen on its own, so each has its own direction.
struct Parts {
  double steady{};     ///< the cut itself with its share of the cutters of a batch
  double fullWidth{};  ///< a stretch with metal on both sides
  double besides{};    ///< the way down and a curve
  double minutes{};    ///< of the cut itself
  double of(int part) const { return part == 0 ? steady : part == 1 ? fullWidth : besides; }
};
constexpr int kSteady = 0, kFullWidth = 1, kBesides = 2;

struct Job {
  std::string material, cutter;
  CutRequest request;
  SpindleLimits spindle{rpm(10), rpm(300000), kilowatts(15), newtonMetres(40)};
};

std::optional<Parts> moneyOf(const Job& job, const CuttingTables& tables) {
  const auto material = std::find_if(tables.materials.begin(), tables.materials.end(),
                                     [&](const Material& m) { return m.name == job.material; });
  const auto cutter =
      std::find_if(tables.crib.begin(), tables.crib.end(), [&](const Cutter& c) { return c.id == job.cutter; });
  const auto chosen = chooseConditions(*material, *cutter, job.request, job.spindle, tables);
  if (!chosen) return std::nullopt;
  const Conditions& c = *chosen;
  for (const Note& note : c.notes)
    if (note.code == "cutter-too-weak") return std::nullopt;  // counted at the edge of rubbing, no choice any more
  const double rate = job.request.moneyPerMinute;
  const auto edges = [&](const CutterUse& use) {
    constexpr int kPieces = 50;
    const CutterPurchase buy = cuttersToBuy(shareOfCutter(c, use), kPieces, cutter->diameter, tables.limits);
    return ((buy.worn + buy.broken) * (toUnits(cutter->price) + rate * tables.limits[LimitName::CutterChange]) +
            buy.spares * toUnits(cutter->price)) /
           kPieces;
  };
  Parts parts;
  if (c.lifeHoles > 0) {
    constexpr double kHoles = 10;
    const double pecks = c.peck > Length{} ? std::ceil(job.request.depth / c.peck - 1e-9) : 1;
    // Each retract and return takes a fiftieth of the way down.
    const Duration time = job.request.depth / c.feed * kHoles * (1 + 0.02 * (pecks - 1));
    parts.minutes = toMinutes(time);
    parts.steady = rate * parts.minutes + edges({.cutting = {}, .fullWidth = {}, .holes = kHoles});
    return parts;
  }
  const Duration cutting = mm3(200) / c.removalRate, wide = mm(20) / c.slotFeed;
  parts.minutes = toMinutes(cutting);
  parts.steady = rate * parts.minutes + edges({.cutting = cutting, .fullWidth = {}, .holes = 0});
  parts.fullWidth = rate * toMinutes(wide) + edges({.cutting = wide, .fullWidth = wide, .holes = 0});
  Duration besides = mm(50) / c.curveFeed;
  if (c.rampAngle.rad > 0) besides = besides + mm(1 / std::tan(c.rampAngle.rad)) / c.enterFeed;
  parts.besides = rate * toMinutes(besides);
  return parts;
}

std::vector<CutRequest> requestsFor(CutKind kind, double d) {
  std::vector<CutRequest> requests;
  for (const double rate : {1e-6, 1.0, 1e4}) {
    CutRequest r{.kind = kind, .moneyPerMinute = rate};
    switch (kind) {
      case CutKind::Floor:
        r.depth = mm(0.15), requests.push_back(r);
        if (rate == 1.0)
          for (const double left : {0.5, 0.8, 1.1}) r.floorLeft = mm(left), requests.push_back(r);
        r.floorLeft = {}, r.depth = mm(5);
        requests.push_back(r);
        break;
      case CutKind::Wall:
        r.widthLimit = mm(std::min(0.12, 0.2 * d));
        r.depth = mm(2 * d), requests.push_back(r);
        if (rate != 1.0) break;
        for (const double ratio : {4.3, 7.0, 11.0}) r.wallLeft = mm(2 * d / ratio), requests.push_back(r);
        r.wallLeft = {};
        for (const double reach : {3.2, 4.5, 5.5, 7.5}) r.reach = mm(reach * d), requests.push_back(r);
        r.reach = {};
        for (const double deep : {1.05, 1.15, 1.3, 1.55, 2.05, 2.15}) r.depth = mm(deep * d), requests.push_back(r);
        break;
      case CutKind::Drill:
        for (const double deep : {0.8, 1.05, 2.15, 3.1, 4.2}) r.depth = mm(deep * d), requests.push_back(r);
        break;
      case CutKind::Chamfer:
      case CutKind::Carve:
        for (const double deep : {0.0, 0.2}) r.depth = mm(deep), requests.push_back(r);
        break;
      case CutKind::Ream:
        for (const double deep : {1.0, 3.3, 4.5, 5.5, 7.0}) r.depth = mm(deep * d), requests.push_back(r);
        break;
      case CutKind::Spot:
      case CutKind::Tap:
      case CutKind::ThreadMill:
      case CutKind::Saw:
        r.depth = mm(1), requests.push_back(r);
        break;
      case CutKind::Rough:
      case CutKind::Slot:
        for (const double deep : {0.0, 0.1, 1.0, 3.0}) r.depth = mm(deep * d), requests.push_back(r);
        break;
    }
  }
  return requests;
}

constexpr CutKind kKinds[] = {CutKind::Rough,   CutKind::Slot,  CutKind::Wall,       CutKind::Floor,
                              CutKind::Chamfer, CutKind::Carve, CutKind::Spot,       CutKind::Drill,
                              CutKind::Ream,    CutKind::Tap,   CutKind::ThreadMill, CutKind::Saw};

class Rows : public testing::Test {
protected:
  static constexpr double kNoise = 1e-3;  // of the search for the cheapest cut; `worst_` says what it was
  CuttingTables tables_ = builtInTables();
  int values_{}, jobs_{};
  double worst_{};  ///< largest share by which a price moved the wrong way
  void TearDown() override {
    fmt::print("{} values, {} jobs, {:.5f} % the wrong way at most\n", values_, jobs_, 100 * worst_);
  }

  enum class Work { Solid, Thin };

  /// All jobs of a kind with cutters for which `meets` holds. Thin work is slowed after the choice, so that only its
  /// own rows have a sure direction there.
  std::vector<Job> jobs(const std::string& material, CutKind kind, const std::function<bool(const Cutter&)>& meets,
                        Work work = Work::Solid) {
    std::vector<Job> all;
    for (const Cutter& cutter : tables_.crib) {
      if (!meets(cutter)) continue;
      for (const CutRequest& request : requestsFor(kind, toMm(cutter.diameter))) {
        const bool thin = request.floorLeft > Length{} || request.wallLeft > Length{};
        if (thin != (work == Work::Thin)) continue;
        Job job{material, cutter.id, request};
        if (!moneyOf(job, tables_)) continue;
        all.push_back(job);
        job.spindle = {rpm(200), rpm(8000), kilowatts(0.15), newtonMetres(0.6)};
        all.push_back(job);
      }
    }
    return all;
  }

  void moves(const std::string& name, double& value, Way way, const std::vector<Job>& all, int part = kSteady) {
    ++values_;
    if (all.empty()) {
      ADD_FAILURE() << name << ": no cutter of the crib ever meets it";
      return;
    }
    const double was = value;
    bool moved = false;
    for (const Job& job : all) {
      const auto before = moneyOf(job, tables_);
      value = was * 1.1;
      const auto after = moneyOf(job, tables_);
      value = was;
      if (!before || !after || before->of(part) <= 0) continue;
      ++jobs_;
      const double change = after->of(part) / before->of(part) - 1;
      if (std::abs(change) > 1e-7 || std::abs(after->minutes / before->minutes - 1) > 1e-7) moved = true;
      if (way == Way::Either && moved) break;
      const double wrong = way == Way::Cheaper ? change : way == Way::Dearer ? -change : 0.0;
      worst_ = std::max(worst_, wrong);
      EXPECT_LT(wrong, kNoise) << name << " " << job.cutter << " " << word(job.request.kind) << " deep "
                               << toMm(job.request.depth) << " at " << job.request.moneyPerMinute;
    }
    EXPECT_TRUE(moved) << name << " moves the money of none of " << all.size() << " jobs";
  }

  /// Diameters whose lookup touches row `d` among the rows at `all`: between its neighbours, beyond them at the ends.
  static std::function<bool(const Cutter&)> touching(double d, std::vector<double> all, const std::string& made) {
    std::sort(all.begin(), all.end());
    const auto at = std::find(all.begin(), all.end(), d);
    const double low = at == all.begin() ? 0 : *(at - 1), high = at + 1 == all.end() ? 1e9 : *(at + 1);
    return [=](const Cutter& c) {
      return (made.empty() || c.material == made) && toMm(c.diameter) > low && toMm(c.diameter) < high;
    };
  }
};

TEST_F(Rows, OfSurfaceSpeedMoveTheMoneyTheRightWay) {
  for (auto& row : tables_.speeds) {
    std::vector<double> diameters;
    for (const auto& other : tables_.speeds)
      if (other.material == row.material && other.cutterMaterial == row.cutterMaterial && other.kind == row.kind &&
          other.radialLow == row.radialLow)
        diameters.push_back(other.diameter_mm);
    // A band above the built-in step is for shops that cut wider: it takes one engagement row of theirs.
    std::vector<EngagementRow> steps = tables_.engagements;
    if (row.kind == CutKind::Rough && row.radialLow > 0)
      for (auto& step : tables_.engagements)
        if (step.kind == CutKind::Rough) step.radial = row.radialHigh;
    double& narrowest = tables_.limits.rows[static_cast<std::size_t>(LimitName::LeastRadial)].value;
    const double least = narrowest;
    if (row.kind == CutKind::Rough && row.radialLow > 0) narrowest = row.radialLow * 1.1;
    const std::vector<Job> all = jobs(row.material, row.kind, touching(row.diameter_mm, diameters, row.cutterMaterial));
    const std::string name = fmt::format("speed {} {} {} {:g} mm from {:g} D", row.material, row.cutterMaterial,
                                         word(row.kind), row.diameter_mm, row.radialLow);
    moves(name + " start", row.start_m_min, Way::Cheaper, all);
    const bool mill = row.kind != CutKind::Spot && row.kind != CutKind::Drill && row.kind != CutKind::Ream &&
                      row.kind != CutKind::Tap;
    if (mill) {
      // Holes run at the start speed; their range is only the check of it.
      moves(name + " low", row.low_m_min, Way::Dearer, all);
      // Where worn cutters are changed at once, speed is dear only by the cutters.
      double& change = tables_.limits.rows[static_cast<std::size_t>(LimitName::CutterChange)].value;
      const double minutes = std::exchange(change, 0.001);
      moves(name + " high", row.high_m_min, Way::Cheaper, all);
      change = minutes;
      moves(name + " life share", row.lifeShare, Way::Cheaper, all);
    }
    tables_.engagements = std::move(steps);
    narrowest = least;
  }
  RecordProperty("values", values_);
  RecordProperty("jobs", jobs_);
}

TEST_F(Rows, OfChipLoadMoveTheMoneyTheRightWay) {
  for (auto& row : tables_.chipLoads) {
    std::vector<double> diameters;
    for (const auto& other : tables_.chipLoads)
      if (other.material == row.material && other.cutterMaterial == row.cutterMaterial && other.kind == row.kind)
        diameters.push_back(other.diameter_mm);
    moves(fmt::format("chip load {} {} {} {:g} mm", row.material, row.cutterMaterial, word(row.kind), row.diameter_mm),
          row.rated_mm, Way::Cheaper,
          jobs(row.material, row.kind, touching(row.diameter_mm, diameters, row.cutterMaterial)));
  }
}

TEST_F(Rows, OfStepsMoveTheMoneyTheRightWay) {
  for (auto& row : tables_.engagements) {
    std::vector<double> diameters;
    for (const auto& other : tables_.engagements)
      if (other.material == row.material && other.kind == row.kind) diameters.push_back(other.diameter_mm);
    const auto all = jobs(row.material, row.kind, touching(row.diameter_mm, diameters, ""));
    const std::string name = fmt::format("step {} {} {:g} mm", row.material, word(row.kind), row.diameter_mm);
    moves(name + " axial", row.axial, Way::Cheaper, all);
    if (needsRadialStep(row.kind)) moves(name + " radial", row.radial, Way::Cheaper, all);
  }
}

TEST_F(Rows, OfLifeReachAndThinWorkMoveTheMoneyTheRightWay) {
  const auto some = [](const char* id) { return [id](const Cutter& c) { return c.id == id; }; };
  for (auto& row : tables_.lives) {
    std::vector<Job> all;
    for (const CutKind kind : kKinds)
      for (Job& job : jobs(row.material, kind, [&](const Cutter& c) { return c.material == row.cutterMaterial; }))
        all.push_back(job);
    const std::string name = fmt::format("life {} {}", row.material, row.cutterMaterial);
    moves(name + " n", row.n, Way::Either, all);
    moves(name + " radial exponent", row.radialExponent, Way::Either, all);
    moves(name + " chip exponent", row.chipExponent, Way::Either, all);
  }
  for (std::size_t i = 0; i < tables_.chipping.size(); ++i) {
    auto& row = tables_.chipping[i];
    std::vector<double> diameters;
    for (const auto& other : tables_.chipping) diameters.push_back(other.diameter_mm);
    if (row.share <= 0) continue;  // the end of the ladder: nothing chips from here on; a tenth more of it is none
    moves(fmt::format("chipping {:g} mm", row.diameter_mm), row.share, Way::Either,
          jobs("Ti-6Al-4V", CutKind::Rough, touching(row.diameter_mm, diameters, "carbide")));
  }
  std::vector<Job> far = jobs("Ti-6Al-4V", CutKind::Wall, some("flat-3"));
  for (Job& job : jobs("Ti-6Al-4V", CutKind::Ream, some("reamer-5"))) far.push_back(job);
  for (auto& row : tables_.reach) {
    moves(fmt::format("reach {:g} life", row.ratio), row.lifeFactor, Way::Cheaper, far);
    moves(fmt::format("reach {:g} chip", row.ratio), row.feedFactor, Way::Cheaper, far);
  }
  for (auto& row : tables_.thin)
    moves(fmt::format("thin {} {:g}", word(row.part), row.measure), row.timeFactor, Way::Dearer,
          jobs("Ti-6Al-4V", row.part == ThinPart::Floor ? CutKind::Floor : CutKind::Wall, some("flat-6"), Work::Thin));
}

TEST_F(Rows, OfMaterialsMoveTheMoneyTheRightWay) {
  // Density: tests/shop (the blank). Hardness, modulus and conductivity of the work are shown, nothing reckons with
  // them.
  for (auto& row : tables_.materials) {
    std::vector<Job> all;
    for (const CutKind kind : {CutKind::Rough, CutKind::Slot, CutKind::Wall, CutKind::Drill})
      for (Job& job : jobs(row.name, kind, [](const Cutter& c) {
             return c.id == "flat-10" || c.id == "flat-2" || c.id == "drill-3.8";
           }))
        all.push_back(job);
    double force = toMegapascals(row.specificForce);
    const auto before = row.specificForce;
    ++values_;
    int moved = 0;
    for (const Job& job : all) {
      row.specificForce = before;
      const auto a = moneyOf(job, tables_);
      row.specificForce = megapascals(force * 1.1);
      const auto b = moneyOf(job, tables_);
      row.specificForce = before;
      if (!a || !b) continue;
      worst_ = std::max(worst_, 1 - b->steady / a->steady);
      EXPECT_GT(b->steady / a->steady - 1, -kNoise) << row.name << " " << job.cutter;
      if (b->steady > a->steady * (1 + 1e-7)) ++moved;
    }
    EXPECT_GT(moved, 0) << row.name << " specific force";
    moves(row.name + " force exponent", row.forceExponent, Way::Dearer, all);
    moves(row.name + " life factor", row.lifeFactor, Way::Cheaper, all);
  }
}

TEST_F(Rows, OfLimitsMoveTheMoneyTheRightWay) {
  // A shop with cutters of cobalt steel and long slim ones, so that every limit binds somewhere.
  const auto shop = overlayTables(tables_, R"(
[[speed]]
material = "Ti-6Al-4V"
cutter = "cobalt steel"
for = "rough"
diameter_mm = 6
start_m_min = 15
low_m_min = 12
high_m_min = 18
[[chip_load]]
material = "Ti-6Al-4V"
cutter = "cobalt steel"
for = "rough"
diameter_mm = 6
rated_mm = 0.02
[[tool_life]]
material = "Ti-6Al-4V"
cutter = "cobalt steel"
taylor_n = 0.13
radial_exponent = 0.5
chip_exponent = 0.8
)",
                                  "shop.toml");
  ASSERT_TRUE(shop) << sentence(shop.error());
  tables_ = *shop;
  for (const char* id : {"flat-10", "flat-6", "flat-2", "ball-3"}) {
    Cutter slim = *findCutter(tables_, id);
    slim.id += "-slim";
    slim.neckDiameter = slim.neckLength = {};
    slim.shankDiameter = slim.diameter;
    slim.stickOut = slim.diameter * (toMm(slim.diameter) > 8 ? 16 : 9);
    tables_.crib.push_back(slim);
  }
  Cutter steel = *findCutter(tables_, "flat-6-slim");
  steel.id = "flat-6-steel";
  steel.material = "cobalt steel";
  tables_.crib.push_back(steel);
  std::vector<Job> all;
  for (const CutKind kind : kKinds)
    for (Job& job : jobs("Ti-6Al-4V", kind, [](const Cutter& c) {
           static const std::set<std::string> some{"flat-10",     "flat-1",      "ball-3",       "drill-3.8",
                                                   "flat-6-slim", "tap-M3",      "flat-6-steel", "reamer-5",
                                                   "flat-2-slim", "ball-3-slim", "flat-10-slim"};
           return some.count(c.id) > 0 || c.kind == CutterKind::Chamfer;
         }))
      all.push_back(job);
  const std::vector<std::pair<LimitName, Way>> expected{
      {LimitName::BendRough, Way::Cheaper},    {LimitName::BendSlot, Way::Cheaper},
      {LimitName::BendWall, Way::Cheaper},     {LimitName::BendFloor, Way::Cheaper},
      {LimitName::BendCarve, Way::Cheaper},    {LimitName::CarbideModulus, Way::Cheaper},
      {LimitName::SteelModulus, Way::Cheaper}, {LimitName::BendingStress, Way::Cheaper},
      {LimitName::CoreShare, Way::Cheaper},    {LimitName::HelixAngle, Way::Either},
      {LimitName::RadialForce, Way::Dearer},   {LimitName::EdgeRadius, Way::Dearer},
      {LimitName::RubbingShare, Way::Dearer},  {LimitName::ThinningMost, Way::Cheaper},
      {LimitName::LeastRadial, Way::Either},   {LimitName::SpindleEfficiency, Way::Cheaper},
      {LimitName::RampAngle, Way::Cheaper},    {LimitName::EntryFeed, Way::Cheaper},
      {LimitName::CurveFeed, Way::Cheaper},    {LimitName::PeckFree, Way::Cheaper},
      {LimitName::CutterChange, Way::Dearer},  {LimitName::BreakageSmall, Way::Dearer},
      {LimitName::BreakageLarge, Way::Dearer}, {LimitName::SparesLeast, Way::Dearer}};
  EXPECT_EQ(expected.size(), kLimitCount);
  for (const auto& [name, way] : expected) {
    LimitRow& row = tables_.limits.rows[static_cast<std::size_t>(name)];
    if (name == LimitName::SparesLeast) {  // whole cutters
      const double was = row.value;
      const double before = moneyOf(all.front(), tables_)->steady;
      row.value = was + 1;
      EXPECT_GT(moneyOf(all.front(), tables_)->steady, before);
      row.value = was;
      continue;
    }
    if (name == LimitName::BendingStress) {  // bites where a shop lets its cutters bend more
      auto rows = tables_.limits.rows;
      for (const LimitName bend : {LimitName::BendRough, LimitName::BendSlot, LimitName::BendWall})
        tables_.limits.rows[static_cast<std::size_t>(bend)].value = 50;
      moves(spec(name).key, row.value, way, all);
      tables_.limits.rows = rows;
      continue;
    }
    const bool besides = name == LimitName::RampAngle || name == LimitName::EntryFeed || name == LimitName::CurveFeed;
    moves(spec(name).key, row.value, way, all, besides ? kBesides : kSteady);
  }
}

TEST_F(Rows, OfCuttersMoveTheMoneyTheRightWay) {
  for (auto& cutter : tables_.crib) {
    std::vector<Job> all;
    for (const CutKind kind : kKinds)
      for (Job& job : jobs("Ti-6Al-4V", kind, [&](const Cutter& c) { return c.id == cutter.id; })) all.push_back(job);
    EXPECT_FALSE(all.empty()) << cutter.id << " can do nothing";
    const Cutter was = cutter;
    const auto step = [&](const char* what, Way way, bool mustMove, const std::function<void()>& enlarge) {
      ++values_;
      bool moved = false;
      for (const Job& job : all) {
        const auto before = moneyOf(job, tables_);
        enlarge();
        const auto after = moneyOf(job, tables_);
        cutter = was;
        if (!before || !after) continue;
        ++jobs_;
        const double change = (way == Way::Cheaper ? -1 : 1) * (after->steady / before->steady - 1);
        moved = moved || std::abs(change) > 1e-7 || std::abs(after->minutes / before->minutes - 1) > 1e-7;
        if (way == Way::Either) continue;
        worst_ = std::max(worst_, -change);
        EXPECT_GT(change, -kNoise) << cutter.id << " " << what << " " << word(job.request.kind) << " deep "
                                   << toMm(job.request.depth);
      }
      EXPECT_TRUE(moved || !mustMove) << cutter.id << " " << what;
    };
    step("price", Way::Dearer, true, [&] { cutter.price = money(toUnits(was.price) * 1.1); });
    if (cutter.lifeHoles > 0) {
      step("life in holes", Way::Cheaper, true, [&] { cutter.lifeHoles *= 1.1; });
    } else {
      step("life", Way::Cheaper, true, [&] { cutter.life = was.life * 1.1; });
    }
    // Geometry: what makes a cutter stiffer never costs more; which of several ways a larger one, one with more teeth
    // or with longer flutes goes depends on the work. Holders and point angles: tests/path.
    const bool mills = cutter.lifeHoles <= 0 && cutter.kind != CutterKind::Saw;
    if (mills || cutter.kind == CutterKind::ThreadMill) {
      step("stick-out", Way::Dearer, false, [&] { cutter.stickOut = was.stickOut * 1.1; });
      step("shank", Way::Cheaper, false, [&] { cutter.shankDiameter = was.shankDiameter * 1.1; });
      if (was.neckDiameter > Length{}) {
        step("neck diameter", Way::Cheaper, false, [&] { cutter.neckDiameter = was.neckDiameter * 1.05; });
        step("neck length", Way::Dearer, false, [&] { cutter.neckLength = was.neckLength * 1.1; });
      }
      if (was.cornerRadius > Length{})
        step("corner", Way::Either, cutter.kind == CutterKind::Ball,
             [&] { cutter.cornerRadius = was.cornerRadius * 0.9; });
    }
    step("diameter", Way::Either, cutter.kind != CutterKind::Tap, [&] { cutter.diameter = was.diameter * 1.05; });
    if (mills) {
      step("flutes", Way::Either, true, [&] { cutter.flutes = was.flutes + 1; });
      step("flute length", Way::Either, false, [&] { cutter.fluteLength = was.fluteLength * 1.1; });
    }
    if (was.threadPitch > Length{})
      step("pitch", cutter.kind == CutterKind::Tap ? Way::Cheaper : Way::Either, true,
           [&] { cutter.threadPitch = was.threadPitch * 1.1; });
  }
}

}  // namespace
