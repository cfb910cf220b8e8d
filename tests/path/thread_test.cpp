// Threads: the helix against its closed form and against the thread it must cut, and the choice between tap and mill.
#include <chipledger/path/thread.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "path/shop_floor.hpp"

namespace chipledger::path {
namespace {

TEST(ThreadHelix, LengthIsTheClosedForm) {
  // M3 x 0.5 with a mill of 2.35, 3 mm deep: 6 turns of radius 0.325.
  const ThreadHelix helix{{4, 5}, 0.325, 0.5, -1.0, 2.0};
  EXPECT_EQ(threadTurns(helix), 6.0);
  double sum = 0.0;
  for (const Segment& s : threadPath(helix)) sum += length(s);
  EXPECT_NEAR(sum, threadLength(helix), 1e-9);
  EXPECT_NEAR(threadLength(helix),
              6.0 * std::sqrt(std::pow(2.0 * std::numbers::pi * 0.325, 2) + 0.25) +
                  2.0 * std::sqrt(std::pow(0.5 * std::numbers::pi * 0.325, 2) + 0.125 * 0.125),
              1e-12);
}

TEST(ThreadHelix, EveryPointLiesOnOneScrew) {
  // Angle round the axis and height go together all the way, in and out included: a groove cut twice is one groove.
  const ThreadHelix helix{{4, 5}, 0.325, 0.5, -1.0, 1.3};
  Vec3 last{};
  bool first = true;
  for (const Segment& s : threadPath(helix)) {
    EXPECT_TRUE(first || norm(s.start - last) < 1e-12);
    first = false;
    last = s.end;
    for (int k = 1; k < 40; ++k) {
      const Vec3 p = pointAt(s, k / 40.0);
      const Vec2 r = p.xy() - helix.centre;
      const double angle = std::atan2(r.y, r.x) / (2.0 * std::numbers::pi);
      const double off = (p.z - helix.from_mm) / helix.pitch_mm - angle;
      EXPECT_NEAR(off, std::round(off), 1e-9);
      EXPECT_LE(norm(r), helix.offset_mm + 1e-12);
    }
  }
}

struct Threaded {
  test::PlatePart part{test::roundedRectangle({0, 0}, {40, 20}, 3), 4.0, 4.0};
  std::vector<int> holes;
  explicit Threaded(int count) {
    for (int i = 0; i < count; ++i) holes.push_back(part.bore({6.0 + 6.0 * i, 10}, 2.5, detail::Side::Outer));
    part.finish();
  }
  SetupPlan plan(ShopFloor& floor) {
    std::vector<HoleOrder> orders;
    for (int h : holes) orders.push_back({h, false, "M3"});
    return floor.run(1, holes, false, orders);
  }
};

const Operation* operationOf(const SetupPlan& plan, OperationKind kind) {
  const auto found =
      std::find_if(plan.operations.begin(), plan.operations.end(), [&](const Operation& o) { return o.kind == kind; });
  return found == plan.operations.end() ? nullptr : &*found;
}

TEST(Threads, AreTappedWhereThatIsCheaper) {
  Threaded t(3);
  ShopFloor floor(t.part, 0.0, 4.0);
  const SetupPlan plan = t.plan(floor);
  ASSERT_NE(operationOf(plan, OperationKind::Tap), nullptr);
  EXPECT_EQ(operationOf(plan, OperationKind::Tap)->holes, 3.0);
  EXPECT_EQ(operationOf(plan, OperationKind::ThreadMill), nullptr);
}

TEST(Threads, AreMilledWhereATapIsDearOrMissing) {
  for (const bool missing : {false, true}) {
    Threaded t(3);
    ShopFloor floor(t.part, 0.0, 4.0);
    for (cutting::Cutter& c : floor.crib)
      if (c.id == "tap-M3") c.price = money(2000.0);  // over some 50 holes
    if (missing) std::erase_if(floor.crib, [](const cutting::Cutter& c) { return c.id == "tap-M3"; });
    const SetupPlan plan = t.plan(floor);
    EXPECT_EQ(operationOf(plan, OperationKind::Tap), nullptr);
    const Operation* milled = operationOf(plan, OperationKind::ThreadMill);
    ASSERT_NE(milled, nullptr);
    EXPECT_EQ(milled->cutter, "threadmill-M3");
    EXPECT_EQ(milled->holes, 3.0);
    // 4 mm of thread and 0.5 below: 9 turns in each hole, cut in real arcs.
    double cut = 0.0;
    int arcs = 0;
    for (const Move& m : milled->moves) {
      if (m.kind != MoveKind::Cut) continue;
      cut += length(m.segment);
      arcs += m.segment.shape == Segment::Shape::Line ? 0 : 1;
      EXPECT_GT(m.feed.base, 0);
      // Slower than its edge by 2 e / d.
      EXPECT_NEAR(m.feed.base, milled->conditions.feed.base * 0.65 / 3.0, 1e-9);
    }
    EXPECT_EQ(arcs, 9);
    EXPECT_NEAR(cut, 3.0 * threadLength({{0, 0}, 0.325, 0.5, -0.5, 4.0}), 1e-6);
    // The thread's own metal is not in the drawing: neither booked nor a gouge.
    EXPECT_EQ(milled->removed.um3, 0);
    EXPECT_EQ(plan.gouged.um3, 0);
    for (std::size_t i = 1; i < milled->moves.size(); ++i)
      EXPECT_LT(norm(milled->moves[i].segment.start - milled->moves[i - 1].segment.end), 1e-9);
  }
}

TEST(Threads, AShallowBlindHoleIsMilled) {
  test::PlatePart part(test::roundedRectangle({0, 0}, {30, 20}, 3), 4.0, 4.0);
  const int hole = part.bore({10, 10}, 2.5, detail::Side::Outer);
  detail::Detail& d = part.details.list[static_cast<std::size_t>(hole)];
  part.finish();
  Work work;
  work.details = &part.details;
  const field::SetupView view = part.view(1);
  work.view = &view;
  work.setup = &part.plan.setups[1];
  work.served = {hole};
  work.holes = {{hole, false, "M3"}};
  work.tables = &cutting::builtInTables();
  work.crib = cutting::builtInTables().crib;
  const cutting::Material material = *cutting::findMaterial(cutting::builtInTables(), "Ti-6Al-4V");
  work.material = &material;
  work.moneyPerMachineMinute = 1.0;
  // 4 mm are eight pitches: a tap has room, and at 9 pitches a lead of 2.5 leaves enough.
  EXPECT_NE(planHoles(work).front().tap, nullptr);
  d.through = false;
  EXPECT_NE(planHoles(work).front().tap, nullptr);
  // A lead of 2.5 and 3 full threads of 0.8 ask for 4.4 mm.
  work.holes = {{hole, false, "M5"}};
  d.dimensions.diameter = mm(4.2);
  cutting::Cutter mill = *cutting::findCutter(cutting::builtInTables(), "threadmill-M4");
  mill.id = "threadmill-M5";
  mill.threadPitch = mm(0.8);
  work.crib.push_back(mill);
  const HolePlan shallow = planHoles(work).front();
  EXPECT_EQ(shallow.tap, nullptr);
  ASSERT_NE(shallow.threadMill, nullptr);
  EXPECT_EQ(shallow.threadMill->id, "threadmill-M5");
}

TEST(Threads, WithoutACutterAreLeftOutAndSaid) {
  Threaded t(1);
  ShopFloor floor(t.part, 0.0, 4.0);
  std::erase_if(floor.crib, [](const cutting::Cutter& c) {
    return c.kind == cutting::CutterKind::Tap || c.kind == cutting::CutterKind::ThreadMill;
  });
  const SetupPlan plan = t.plan(floor);
  EXPECT_TRUE(std::any_of(plan.notes.begin(), plan.notes.end(), [](const Note& n) {
    return n.code == "no-thread-cutter" && n.severity == NoteSeverity::LeftOut;
  }));
}

// A thread's hole as planned when its table is `table`: nothing else of the shop changes.
HolePlan holeOf(const cutting::ThreadRow& row, const cutting::ThreadTable& table) {
  test::PlatePart part(test::roundedRectangle({0, 0}, {30, 20}, 3), 4.0, 4.0);
  const int hole = part.bore({10, 10}, row.tapDrill_mm, detail::Side::Outer);
  part.finish();
  cutting::CuttingTables tables = cutting::builtInTables();
  tables.threads = table;
  const field::SetupView view = part.view(1);
  const cutting::Material material = *cutting::findMaterial(tables, "Ti-6Al-4V");
  Work work;
  work.details = &part.details;
  work.view = &view;
  work.setup = &part.plan.setups[1];
  work.served = {hole};
  work.holes = {{hole, false, row.name}};
  work.tables = &tables;
  work.crib = cutting::builtInTables().crib;
  work.material = &material;
  work.moneyPerMachineMinute = 1.0;
  const std::vector<HolePlan> plans = planHoles(work);
  if (plans.empty()) return {};
  HolePlan plan = plans.front();
  // The crib of `work` ends here: what is kept are the same cutters of the built-in one.
  const auto kept = [](const cutting::Cutter*& cutter) {
    if (cutter == nullptr) return;
    const std::vector<cutting::Cutter>& crib = cutting::builtInTables().crib;
    cutter = &*std::find_if(crib.begin(), crib.end(), [&](const cutting::Cutter& c) { return c.id == cutter->id; });
  };
  kept(plan.drill);
  kept(plan.tap);
  kept(plan.threadMill);
  return plan;
}

// No value of a thread's row is dead: each decides which drill, tap or mill its hole gets, or which bores ask for it.
TEST(ThreadTable, EveryValueOfEveryRowDecides) {
  const cutting::ThreadTable& known = cutting::builtInThreads();
  for (std::size_t i = 0; i < known.size(); ++i) {
    const cutting::ThreadRow& row = known[i];
    SCOPED_TRACE(row.name);
    const auto with = [&](auto change) {
      cutting::ThreadTable table = known;
      change(table[i]);
      return table;
    };
    // Which bores ask whether they are this thread: each end of the range by each column that may set it.
    const auto asks = [&](const cutting::ThreadTable& table, double bore) {
      const auto found = cutting::threadsForBore(table, bore);
      return std::any_of(found.begin(), found.end(), [&](const auto* r) { return r->name == row.name; });
    };
    EXPECT_TRUE(asks(known, row.tapDrill_mm));
    const double beyond = 0.5 * (row.nominal_mm + std::max(row.minorMax_mm, row.looseDrill_mm));
    EXPECT_FALSE(asks(known, beyond));
    EXPECT_TRUE(asks(with([&](cutting::ThreadRow& r) { r.tapDrill_mm = beyond; }), beyond));
    EXPECT_TRUE(asks(with([&](cutting::ThreadRow& r) { r.minorMax_mm = beyond; }), beyond));
    EXPECT_TRUE(asks(with([&](cutting::ThreadRow& r) { r.looseDrill_mm = beyond; }), beyond));
    const double below = row.minor_mm - 0.1;
    EXPECT_FALSE(asks(known, below));
    EXPECT_TRUE(asks(with([&](cutting::ThreadRow& r) { r.minor_mm = below; }), below));

    const std::vector<cutting::Cutter>& crib = cutting::builtInTables().crib;
    const bool inCrib = std::any_of(crib.begin(), crib.end(), [&](const cutting::Cutter& c) {
      return c.kind == cutting::CutterKind::Tap && std::abs(toMm(c.diameter) - row.nominal_mm) < 1e-9;
    });
    if (!inCrib) continue;  // such a thread is asked about, and left out until the shop has a tap
    const HolePlan plan = holeOf(row, known);
    ASSERT_NE(plan.drill, nullptr);
    const double drill = toMm(plan.drill->diameter);
    constexpr double kFit = 0.021;
    EXPECT_GE(drill, row.minor_mm - kFit);
    EXPECT_LE(drill, std::max(row.minorMax_mm, row.looseDrill_mm) + kFit);
    ASSERT_NE(plan.tap, nullptr);
    EXPECT_NEAR(toMm(plan.tap->diameter), row.nominal_mm, 1e-9);
    EXPECT_EQ(plan.nominal_mm, row.nominal_mm);

    // No tap of another nominal size; the mill follows the pitch alone.
    EXPECT_EQ(holeOf(row, with([](cutting::ThreadRow& r) { r.nominal_mm *= 1.1; })).tap, nullptr);
    if (plan.threadMill != nullptr) {
      EXPECT_EQ(holeOf(row, with([](cutting::ThreadRow& r) { r.pitch_mm *= 1.1; })).threadMill, nullptr);
    }
    // A larger drill asked for is never answered by a smaller one, and the two ends of the range by different ones.
    const HolePlan tight = holeOf(row, with([](cutting::ThreadRow& r) { r.looseDrill_mm = r.minor_mm; }));
    const HolePlan loose = holeOf(row, with([](cutting::ThreadRow& r) { r.looseDrill_mm = 1.1 * r.minorMax_mm; }));
    ASSERT_NE(tight.drill, nullptr);
    ASSERT_NE(loose.drill, nullptr);
    EXPECT_LE(tight.drill->diameter, plan.drill->diameter);
    EXPECT_LT(tight.drill->diameter, loose.drill->diameter);
    // A drill below the minor diameter is not taken.
    const HolePlan above = holeOf(row, with([&](cutting::ThreadRow& r) { r.minor_mm = drill + 0.15; }));
    EXPECT_TRUE(above.drill == nullptr || above.drill->diameter != plan.drill->diameter);
  }
}

}  // namespace
}  // namespace chipledger::path
