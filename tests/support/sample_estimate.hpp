#pragma once
// An estimate built by hand for renderers: the numbers are plausible and add up, nothing here is computed by a planner.
#include "support/sample_body.hpp"

#include <chipledger/estimate/estimate.hpp>

#include <array>
#include <string>
#include <vector>

namespace chipledger::support {

inline VolumeCount cm3(double v) { return countVolume(mm3(1000.0 * v)); }
inline ledger::Minutes threeMinutes(double lower, double likely, double upper) {
  return {countTime(minutes(lower)), countTime(minutes(likely)), countTime(minutes(upper))};
}

inline detail::Details sampleDetails() {
  using detail::DetailKind;
  detail::Details out;
  out.bodyHigh_mm = kSampleThickness_mm;
  const auto add = [&](std::string name, DetailKind kind, detail::Side side, std::vector<int> faces, const Ring& ring,
                       double low, double high) -> detail::Detail& {
    detail::Detail d;
    d.name = std::move(name);
    d.kind = kind;
    d.side = side;
    for (const int f : faces) d.faces.push_back({f});
    d.footprint.rings = {ring};
    d.low_mm = low;
    d.high_mm = high;
    const Vec2 c = box(ring).centre();
    d.dimensions.centre = Vec3{c.x, c.y, high};
    out.list.push_back(d);
    return out.list.back();
  };
  {
    detail::Detail& d = add("outline", DetailKind::Outline, detail::Side::Both, {2}, sampleOutline(), 0, 2);
    d.dimensions.length = mm(98);
    d.dimensions.width = mm(26);
    d.dimensions.cornerRadius = mm(6);
  }
  for (int i = 0; i < 2; ++i) {
    detail::Detail& d = add("island-" + std::to_string(i + 1), DetailKind::Island, detail::Side::Outer, {3 + i, 5 + i},
                            sampleIsland(i), 2, 5.2);
    d.dimensions.length = mm(i == 0 ? 14 : 9);
    d.dimensions.width = mm(6);
    d.dimensions.height = mm(3.2);
    d.dimensions.rootRadius = mm(0.5);
  }
  {
    detail::Detail& d = add("lock-cut-1", DetailKind::LockCut, detail::Side::Both, {7}, sampleSlot(), 0, 2);
    d.dimensions.length = mm(45);
    d.dimensions.width = mm(1.2);
    d.dimensions.depth = mm(2);
    d.dimensions.cornerRadius = mm(0.6);
    d.through = true;
  }
  int face = 8;
  for (const SampleHole& hole : sampleHoles()) {
    const auto kind = hole.name.starts_with("thread") ? DetailKind::Thread
                      : hole.name.starts_with("seat") ? DetailKind::Seat
                                                      : DetailKind::Bore;
    detail::Detail& d =
        add(hole.name, kind, detail::Side::Both, {face++}, circleRing(hole.centre, hole.diameter / 2), 0, 2);
    d.dimensions.diameter = mm(hole.diameter);
    d.dimensions.depth = mm(2);
    d.through = true;
  }
  for (int i = 0; i < 2; ++i) {
    out.list[static_cast<std::size_t>(1 + i)].parent = -1;
  }
  out.faceDetail.assign(static_cast<std::size_t>(face), -1);
  for (std::size_t i = 0; i < out.list.size(); ++i)
    for (const part::FaceId f : out.list[i].faces) out.faceDetail[static_cast<std::size_t>(f.index)] = static_cast<int>(i);
  out.questions.push_back({"thread-1.thread", "thread-1", "Is the bore of 2.05 mm an M2.5 thread?", "M2.5, tapped"});
  out.questions.push_back({"bore-1.tight", "bore-1", "Is the bore of 5 mm a tight fit?", "H7, reamed"});
  return out;
}

inline path::Operation sampleOperation(std::string id, int setup, path::OperationKind kind, std::string cutter,
                                       double feed, double depth) {
  path::Operation op;
  op.id = std::move(id);
  op.setup = setup;
  op.kind = kind;
  op.cutter = std::move(cutter);
  op.conditions.feed = mmPerMin(feed);
  op.conditions.slotFeed = mmPerMin(0.6 * feed);
  op.conditions.enterFeed = mmPerMin(0.4 * feed);
  op.conditions.spindle = rpm(3980);
  op.conditions.surface = mPerMin(75);
  op.conditions.chipLoad = mm(0.03);
  op.conditions.axialStep = mm(depth);
  op.conditions.radialStep = mm(0.42);
  op.conditions.heldBackBy = "table step";
  const double z = 6.35 - depth;
  path::Move rapid{path::MoveKind::Rapid, line({-52, 0, 11}, {-40, 3, 11}), {}, {}, {}};
  // A helix of one and a half turns down to the depth, then a quarter arc at depth, a line and the way out.
  path::Move helix{path::MoveKind::Enter,
                   arc({-40, 3, 11}, {-44, 3, z}, {-42, 3}, Segment::Shape::ArcCcw, 1.0),
                   mmPerMin(0.4 * feed),
                   {},
                   {}};
  path::Move quarter{path::MoveKind::Cut,
                     arc({-44, 3, z}, {-42, 1, z}, {-42, 3}, Segment::Shape::ArcCcw),
                     mmPerMin(feed),
                     mm(0.42),
                     {}};
  path::Move straight{path::MoveKind::Cut, line({-42, 1, z}, {30, 1, z}), mmPerMin(feed), mm(0.42), {}};
  path::Move link{path::MoveKind::Link, line({30, 1, z}, {30, 1, 7.35}), mmPerMin(2000), {}, {}};
  op.moves = {rapid, helix, quarter, straight, link};
  op.why = "widest that passes the neck of 8 mm";
  return op;
}

inline cutting::Cutter sampleCutter(std::string id, cutting::CutterKind kind, double diameter, double corner,
                                    double price, From from, std::string source) {
  cutting::Cutter c;
  c.id = std::move(id);
  c.kind = kind;
  c.diameter = mm(diameter);
  c.cornerRadius = mm(corner);
  c.flutes = 4;
  c.fluteLength = mm(2.5 * diameter);
  c.shankDiameter = mm(diameter < 6 ? 6 : diameter);
  c.stickOut = mm(20);
  c.material = "carbide";
  c.price = money(price);
  c.life = minutes(60);
  c.from = from;
  c.source = std::move(source);
  return c;
}

inline estimate::Estimate sampleEstimate() {
  using ledger::Line;
  estimate::Estimate e;
  const part::Body body = sampleBody();
  e.file = "medlar-islands.step";
  e.bodyName = body.name;
  e.fingerprint = body.fingerprint;
  e.unit = "mm";
  e.material = "Ti-6Al-4V";
  e.currency = "EUR";
  e.faces = static_cast<int>(body.faces.size());
  e.partVolume = body.volume;
  e.partArea = body.area;
  e.size_mm = {98, 26, 5.2};
  e.cell_um = 50;
  e.details = sampleDetails();

  e.blank.size_mm = {104, 32, 6.35};
  e.blank.min_mm = {-52, -16, -0.45};
  e.blank.step = mm(6.35);
  e.blank.needed = mm(6.1);
  e.blank.leftBeforeNextStep = mm(0.25);
  e.blank.skimPerSide = mm(0.3);
  e.blank.volume = mm3(104 * 32 * 6.35);
  e.blank.mass_g = 93.4;
  e.blank.price = money(8.06);
  e.blankVolume = countVolume(e.blank.volume);
  e.left = {1'250'000'000};
  const VolumeCount part = countVolume(e.partVolume);
  e.removed = e.blankVolume - part - e.left;
  e.cutAway = money(8.06 * static_cast<double>(e.removed.um3) / static_cast<double>(e.blankVolume.um3));

  for (int s = 0; s < 2; ++s) {
    estimate::SetupResult r;
    r.setup.name = s == 0 ? "back" : "outer";
    r.setup.direction = {0, 0, s == 0 ? -1.0 : 1.0};
    r.setup.fromAbove = s == 1;
    if (s == 0) {
      r.setup.partToSetup.y = {0, -1, 0};
      r.setup.partToSetup.z = {0, 0, -1};
      r.setup.partToSetup.shift = {0, 0, 5.2};
    }
    r.setup.holding = s == 0 ? setup::Holding::Vise : setup::Holding::FixturePlate;
    r.people = countTime(minutes(3));
    r.perBatch = countTime(minutes(45));
    e.setups.push_back(r);
  }

  struct Row {
    const char* id;
    int setup;
    path::OperationKind kind;
    const char* cutter;
    double cm3, lower, likely, upper, cutterMoney;
    int detail;
  };
  using path::OperationKind;
  const Row rows[] = {
      {"back-01-skim", 0, OperationKind::Skim, "flat-10", 0.998, 1.9, 2.0, 2.4, 0.61, ledger::kShared},
      {"back-02-drill", 0, OperationKind::Drill, "drill-2.05", 0.028, 0.5, 0.6, 0.7, 0.30, 5},
      {"back-03-ream", 0, OperationKind::Ream, "reamer-5", 0.039, 0.6, 0.7, 0.8, 0.45, 4},
      {"back-04-rough", 0, OperationKind::Rough, "flat-1", 0.107, 6.8, 7.4, 9.1, 3.10, 3},
      {"outer-01-skim", 1, OperationKind::Skim, "flat-10", 0.998, 1.9, 2.0, 2.4, 0.61, ledger::kShared},
      {"outer-02-rough", 1, OperationKind::Rough, "flat-6", 10.9, 12.6, 14.8, 18.3, 6.20, 1},
      {"outer-03-floor", 1, OperationKind::Floor, "bull-6-r0.5", 0.71, 2.1, 2.3, 2.9, 1.00, 1},
      {"outer-04-outline", 1, OperationKind::Outline, "flat-6", 2.1, 3.1, 3.4, 4.2, 1.40, 0},
  };
  VolumeCount booked;
  int number = 0;
  for (const Row& row : rows) {
    estimate::OperationResult o;
    o.operation = sampleOperation(row.id, row.setup, row.kind, row.cutter, 940, 2);
    o.operation.removed = cm3(row.cm3);
    o.operation.shares = {{row.detail, o.operation.removed, 120}};
    o.minutes = threeMinutes(row.lower, row.likely, row.upper);
    o.airTime = countTime(minutes(0.1 * row.likely));
    o.pathLength_mm = 900 * row.likely;
    o.cutterMoney = money(row.cutterMoney);
    ledger::Entry entry;
    entry.setup = row.setup;
    entry.operation = number++;
    entry.detail = row.detail;
    entry.removed = o.operation.removed;
    entry.minutes = o.minutes;
    entry.cost = money(row.likely * 60.0 / 60.0);
    entry.note = path::word(row.kind);
    e.ledger.book(entry);
    booked += o.operation.removed;
    e.setups[static_cast<std::size_t>(row.setup)].removed += o.operation.removed;
    e.setups[static_cast<std::size_t>(row.setup)].machine += o.minutes;
    e.operations.push_back(std::move(o));
  }
  ledger::Entry rest;
  rest.removed = e.removed - booked;
  rest.note = "tabs and edges";
  e.ledger.book(rest);

  e.cutters = {
      {sampleCutter("flat-10", cutting::CutterKind::Flat, 10, 0, 55, From::Table, "catalogue, p. 12"),
       countTime(minutes(4)), 0.02, 0, money(1.22), {}},
      {sampleCutter("flat-6", cutting::CutterKind::Flat, 6, 0, 32, From::Entered, "shop.toml line 41"),
       countTime(minutes(18.2)), 0.24, 0, money(7.60), {}},
      {sampleCutter("bull-6-r0.5", cutting::CutterKind::Bull, 6, 0.5, 36, From::Clocked, "own machine, 12 pieces"),
       countTime(minutes(2.3)), 0.03, 0, money(1.00), {}},
      {sampleCutter("flat-1", cutting::CutterKind::Flat, 1, 0, 24, From::Guessed, "common practice, no source"),
       countTime(minutes(7.4)), 0.13, 0, money(3.10), {}},
      {sampleCutter("drill-2.05", cutting::CutterKind::Drill, 2.05, 0, 18, From::Table, "catalogue, p. 40"),
       countTime(minutes(0.6)), 0.017, 0, money(0.30), {}},
      {sampleCutter("reamer-5", cutting::CutterKind::Reamer, 5, 0, 62, From::Guessed, "common practice, no source"),
       countTime(minutes(0.7)), 0.007, 0, money(0.45), {}}};

  const int sizes[] = {1, 10, 25, 50, 100};
  // Money per piece of each line that does not fall with the batch, then what is paid once.
  const auto lines = [](int size) {
    const double n = size;
    const double setup = 120.0 / n, fixture = 980.0 / n;
    const std::array<double, 8> v{
        8.06, 25.30, 21.40, 13.67, setup, fixture, 5.10 + 0.02 * setup, 9.80 + 0.12 * (setup + fixture)};
    estimate::Stack stack{};
    for (std::size_t i = 0; i < v.size(); ++i) stack[i] = money(v[i]);
    return stack;
  };
  const auto sum = [](const estimate::Stack& stack) {
    Money m;
    for (const Money& line : stack) m += line;
    return m;
  };
  for (const int size : sizes) {
    estimate::BatchPrice b;
    b.size = size;
    b.lines = lines(size);
    b.perPiece = sum(b.lines);
    b.low = money(0.78 * toUnits(b.perPiece));
    b.high = money(1.32 * toUnits(b.perPiece));
    e.batches.push_back(b);
  }
  e.referenceBatch = 3;

  // Run money, once-per-batch money and reason of each detail; an empty reason: cannot be taken away.
  struct Caused {
    double run, once;
    const char* why;
  };
  const Caused caused[] = {{0, 0, ""},
                           {31.2, 420, "6.35 plate instead of 2.54; +14.8 min roughing; a nest for the second side"},
                           {1.9, 18, "+0.9 min walls and top"},
                           {9.4, 12, "flat-1 at full width for 45 mm; only this detail needs it"},
                           {2.7, 9, "reamed, gauged"},
                           {1.1, 6, "+0.4 min"},
                           {1.6, 3, "+0.5 min; a broken tap scraps the plate"},
                           {1.6, 3, "+0.5 min; a broken tap scraps the plate"},
                           {1.6, 3, "+0.5 min; a broken tap scraps the plate"},
                           {1.6, 3, "+0.5 min; a broken tap scraps the plate"},
                           {1.3, 4, "pressed seat, reamed"}};
  e.shared.resize(std::size(sizes));
  for (std::size_t d = 0; d < e.details.list.size(); ++d) {
    estimate::DetailPrice p;
    p.detail = static_cast<int>(d);
    p.removed = e.ledger.removedByDetail(p.detail);
    p.minutes = e.ledger.minutesByDetail(p.detail);
    p.booked = e.ledger.costByDetail(p.detail);
    p.why = caused[d].why;
    if (!p.why.empty()) {
      p.machineDifference = countTime(minutes(0.4 * caused[d].run));
      for (const int size : sizes) {
        estimate::Difference diff;
        diff.size = size;
        const double run = caused[d].run, once = caused[d].once / size;
        const std::array<double, 8> v{0.18 * run, 0.36 * run, 0.2 * run, 0.16 * run,
                                      0.2 * once, 0.8 * once, 0.1 * run, 0.1 * once};
        for (std::size_t i = 0; i < v.size(); ++i) diff.lines[i] = money(v[i]);
        diff.money = sum(diff.lines);
        p.withMinusWithout.push_back(diff);
      }
    }
    e.detailPrices.push_back(p);
  }
  for (std::size_t b = 0; b < std::size(sizes); ++b) {
    estimate::Difference& s = e.shared[b];
    s.size = sizes[b];
    s.lines = e.batches[b].lines;
    for (const estimate::DetailPrice& p : e.detailPrices) {
      if (p.withMinusWithout.empty()) continue;
      for (std::size_t l = 0; l < s.lines.size(); ++l) s.lines[l] -= p.withMinusWithout[b].lines[l];
    }
    s.money = sum(s.lines);
  }

  {
    estimate::GroupPrice group;
    group.name = "all islands";
    group.details = {1, 2};
    group.why = "2.54 plate is enough";
    estimate::Advice advice;
    advice.change = "island-1 3.1 high instead of 3.2";
    advice.about = "island-1";
    advice.why = "6.0 plate instead of 6.35";
    advice.seen = true;
    for (std::size_t b = 0; b < std::size(sizes); ++b) {
      estimate::Difference both, saves;
      both.size = saves.size = sizes[b];
      for (std::size_t l = 0; l < both.lines.size(); ++l) {
        both.lines[l] = e.detailPrices[1].withMinusWithout[b].lines[l] + e.detailPrices[2].withMinusWithout[b].lines[l];
        saves.lines[l] = money(0.3);
      }
      both.money = sum(both.lines);
      saves.money = sum(saves.lines);
      group.withMinusWithout.push_back(both);
      advice.saves.push_back(saves);
    }
    e.groups.push_back(group);
    e.advice.push_back(advice);
  }
  e.doubts = {{"cutter life", money(98.2), money(139.5), "x0.5 to x2"},
              {"roughing rate", money(101.0), money(128.0), "40 % to 60 % of the table"},
              {"scrap", money(108.0), money(117.5), "x0.5 to x2"}};
  e.assumptions = {{"rates.machine_per_hour", 46, "per hour", From::Entered, "shop.toml line 8"},
                   {"rates.machinist_per_hour", 40, "per hour", From::Entered, "shop.toml line 12"},
                   {"rates.attended_share", 0.35, "share", From::Guessed, "common practice, no source"},
                   {"plate.price", 75, "per kg", From::Entered, "shop.toml line 20"},
                   {"plate.under-thickness", 0.3, "mm", From::Guessed, "from memory"},
                   {"plate.density", 4.42, "g/cm3", From::Table, "trade-magazine article, 2009"},
                   {"speed.rough", 75, "m/min", From::Table, "catalogue, p. 1301"},
                   {"cutter.flat-6.life", 60, "min", From::Clocked, "own machine, 12 pieces"},
                   {"scrap.any_island_share", 0.065, "share", From::Guessed, "common practice, no source"},
                   {"rates.overhead_share", 0.18, "share", From::Entered, "shop.toml line 30"}};
  e.notes = {
      {NoteSeverity::LeftOut, "bench", "Hand deburring and finishing are not in the price.", ""},
      {NoteSeverity::Doubt, "thin-slot", "The slot of 1.2 mm is cut at full width with a 1 mm cutter.", "lock-cut-1"},
      {NoteSeverity::Info, "one-body", "The file holds one body.", ""}};
  e.cautions = {"Titanium chips and dust burn."};
  return e;
}

}  // namespace chipledger::support
