#include <chipledger/cutting/wear.hpp>
#include <chipledger/estimate/price.hpp>
#include <chipledger/shop/learning.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace chipledger::estimate {
namespace {

using detail::DetailKind;
using ledger::Line;

bool isDropped(const PriceInput& in, std::size_t i) { return i < in.dropped.size() && in.dropped[i] != 0; }

/// What is on the part, counted once.
struct Census {
  int islands{}, pockets{}, windows{}, slots{}, threads{}, tightBores{}, lettering{}, carved{};
};

Census count(const PriceInput& in) {
  Census c;
  for (std::size_t i = 0; i < in.details->list.size(); ++i) {
    if (isDropped(in, i)) continue;
    switch (in.details->list[i].kind) {
      case DetailKind::Island:
        ++c.islands;
        break;
      case DetailKind::Pocket:
      case DetailKind::OpenPocket:
      case DetailKind::Thinning:
        ++c.pockets;
        break;
      case DetailKind::Window:
        ++c.windows;
        break;
      case DetailKind::Slot:
      case DetailKind::LockCut:
        ++c.slots;
        break;
      case DetailKind::Lettering:
        ++c.lettering;
        break;
      case DetailKind::CarvedFace:
        ++c.carved;
        break;
      case DetailKind::Thread:
        ++c.threads;
        break;
      case DetailKind::Outline:
      case DetailKind::Body:
      case DetailKind::Bore:
      case DetailKind::Seat:
      case DetailKind::Step:
      case DetailKind::Chamfer:
      case DetailKind::Round:
      case DetailKind::SideFace:
      case DetailKind::Undercut:
        break;
    }
  }
  for (const path::HoleOrder& hole : in.holes) {
    if (hole.detail >= 0 && isDropped(in, static_cast<std::size_t>(hole.detail))) continue;
    if (hole.tight) ++c.tightBores;
    const bool already =
        hole.detail >= 0 && in.details->list[static_cast<std::size_t>(hole.detail)].kind == DetailKind::Thread;
    if (!hole.thread.empty() && !already) ++c.threads;
  }
  return c;
}

Money timesRate(TimeCount time, double perHour) { return money(toHours(toDuration(time)) * perHour); }

TimeCount scaled(TimeCount time, double factor) {
  return {static_cast<std::int64_t>(std::llround(static_cast<double>(time.ns) * factor))};
}

Money times(Money m, double factor) {
  return factor == 1.0 ? m : Money{static_cast<std::int64_t>(std::llround(static_cast<double>(m.micros) * factor))};
}

class Booker {
public:
  Booker(const PriceInput& in, int sets) : in_(in), shop_(*in.shop), pieces_(sets * shop_.piecesPerSet) {}

  ledger::Ledger book() {
    metal();
    for (std::size_t k = 0; k < in_.plan->runs.size(); ++k) setup(static_cast<int>(k), *in_.plan->runs[k]);
    bench();
    scrap();
    shared(Line::Setup, setupCost(), "setting up, once per batch");
    shared(Line::Fixture, fixtureCost(), "programming, fixture, first article: once per design");
    overhead();
    return std::move(book_);
  }

private:
  const Varied& v() const { return in_.varied; }
  double machineRate() const { return shop_.rates.machinePerHour * v().machineHour; }
  double machinistRate() const { return shop_.rates.machinistPerHour * v().wage; }
  double benchRate() const { return shop_.rates.benchPerHour * v().wage; }

  void shared(Line line, Money cost, std::string note, TimeCount hands = {}, int setup = ledger::kShared,
              int detail = ledger::kShared) {
    ledger::Entry entry;
    entry.line = line;
    entry.cost = cost;
    entry.hands = hands;
    entry.setup = setup;
    entry.detail = detail;
    entry.note = std::move(note);
    book_.book(std::move(entry));
  }

  void metal() {
    const stock::Blank& blank = in_.plan->blank;
    shared(Line::Metal, times(blank.price, v().metal),
           fmt::format("{} {:.2f} mm, {:.1f} x {:.1f} mm", blank.form, toMm(blank.step), blank.size_mm.x,
                       blank.size_mm.y));
  }

  void setup(int number, const SetupRun& run) {
    for (std::size_t o = 0; o < run.plan.operations.size(); ++o)
      operation(number, run.plan.operations[o], run.minutes[o]);
    const shop::MachineSide& side = shop_.machineSide;
    const TimeCount load = scaled(countTime(side.loadPerSetup), v().hands);
    shared(Line::People, timesRate(load, machinistRate()), "load, clean, turn over", load, number);
    probe(number);
    const bool heavy = in_.plan->cutAwayShare > side.bowShare;
    if (heavy && number > 0) {
      const TimeCount hands = scaled(countTime(side.bowCheck + side.reclamp), v().hands);
      shared(Line::People, timesRate(hands, machinistRate()), "bow check and light re-clamp", hands, number);
    }
  }

  // The place of the piece, touched off before the first cut where no fixture gives it.
  void probe(int setup) {
    const TimeCount touching =
        scaled(countTime(shop_.machine.probe * static_cast<double>(shop_.machineSide.probeTouches)), v().cutting);
    if (touching.ns == 0) return;
    ledger::Entry entry;
    entry.setup = setup;
    entry.minutes = {touching, touching, touching};
    entry.line = Line::Machine;
    entry.cost = timesRate(touching, machineRate());
    entry.note = "probe the piece";
    book_.book(std::move(entry));
  }

  // An operation's metal, minutes and money go to the details whose cells it cut; what it cut elsewhere is shared.
  void operation(int setup, const path::Operation& op, const OperationMinutes& minutes) {
    std::vector<double> weights;
    for (const path::Share& share : op.shares)
      weights.push_back(share.path_mm > 0 ? share.path_mm : static_cast<double>(share.removed.um3) * 1e-9);
    std::vector<path::Share> shares = op.shares;
    if (shares.empty()) {
      shares.push_back({ledger::kShared, op.removed, 0.0});
      weights.push_back(1.0);
    }
    const TimeCount likely = scaled(minutes.moves.likely + minutes.change, v().cutting);
    const auto lower = ledger::splitExactly(scaled(minutes.moves.lower + minutes.change, v().cutting).ns, weights);
    const auto middle = ledger::splitExactly(likely.ns, weights);
    const auto upper = ledger::splitExactly(scaled(minutes.moves.upper + minutes.change, v().cutting).ns, weights);
    const auto machine = ledger::splitExactly(timesRate(likely, machineRate()).micros, weights);
    const TimeCount attended = scaled(likely, shop_.rates.attendedShare);
    const auto people = ledger::splitExactly(timesRate(attended, machinistRate()).micros, weights);
    const auto hands = ledger::splitExactly(attended.ns, weights);
    const auto cutter = ledger::splitExactly(cutterMoney(op, minutes).micros, weights);
    const int number = operation_++;
    for (std::size_t s = 0; s < shares.size(); ++s) {
      ledger::Entry entry;
      entry.setup = setup;
      entry.operation = number;
      entry.detail = shares[s].detail;
      entry.removed = shares[s].removed;
      entry.minutes = {{lower[s]}, {middle[s]}, {upper[s]}};
      entry.line = Line::Machine;
      entry.cost = {machine[s]};
      entry.note = op.id;
      book_.book(entry);
      entry.removed = {};
      entry.minutes = {};
      entry.line = Line::People;
      entry.cost = {people[s]};
      entry.hands = {hands[s]};
      book_.book(entry);
      entry.hands = {};
      entry.line = Line::Cutters;
      entry.cost = {cutter[s]};
      book_.book(entry);
    }
  }

  Money cutterMoney(const path::Operation& op, const OperationMinutes& minutes) const {
    const auto cutter =
        std::find_if(shop_.crib.begin(), shop_.crib.end(), [&](const cutting::Cutter& c) { return c.id == op.cutter; });
    if (cutter == shop_.crib.end()) return {};
    // What was cut with metal on both sides dulls the edges faster.
    cutting::CutterUse use{toDuration(minutes.cutting), {}, op.conditions.lifeHoles > 0 ? op.holes : 0.0};
    if (op.conditions.lifeHoles > 0) use.cutting = {};
    if (op.conditions.slotFeed > Speed{}) use.fullWidth = op.slotting / op.conditions.slotFeed;
    const double broken = cutting::breakageShare(cutter->diameter, shop_.tables.limits);
    // Holes are counted, minutes are guessed.
    const double varied = (op.conditions.lifeHoles > 0 ? 1.0 : v().cutting) / v().cutterLife;
    return money(varied * cutting::shareOfCutter(op.conditions, use) * toUnits(cutter->price) * (1.0 + broken));
  }

  void bench() {
    const shop::Bench& b = shop_.bench;
    const double learn = shop::learningFactor(b.learning, pieces_);
    const auto add = [&](Duration time, int detail, const std::string& note) {
      const TimeCount hands = scaled(countTime(time), learn * v().bench);
      if (hands.ns != 0) shared(Line::People, timesRate(hands, benchRate()), note, hands, ledger::kShared, detail);
    };
    add(b.perPiece, ledger::kShared, "bench: deburr, finish, inspect, fit");
    if (in_.bosses.fixing != Bosses::Fixing::None) {
      const bool pressed = in_.bosses.fixing == Bosses::Fixing::Pressed;
      add((pressed ? shop_.boss.pressed : shop_.boss.screwed) * in_.bosses.count, ledger::kShared,
          pressed ? "bench: press bosses in" : "bench: screw bosses on");
    }
    for (std::size_t i = 0; i < in_.details->list.size(); ++i) {
      if (isDropped(in_, i)) continue;
      add(benchTime(b, in_.details->list[i].kind), static_cast<int>(i), "bench: " + in_.details->list[i].name);
    }
    for (const path::HoleOrder& hole : in_.holes) {
      if (hole.detail < 0 || isDropped(in_, static_cast<std::size_t>(hole.detail))) continue;
      const detail::Detail& d = in_.details->list[static_cast<std::size_t>(hole.detail)];
      if (hole.tight) add(b.perTightBore, hole.detail, "gauge: " + d.name);
      if (!hole.thread.empty() && d.kind != DetailKind::Thread)
        add(b.perThread, hole.detail, "bench: thread " + d.name);
    }
  }

  static Duration benchTime(const shop::Bench& b, DetailKind kind) {
    switch (kind) {
      case DetailKind::Island:
        return b.perIsland;
      case DetailKind::Pocket:
      case DetailKind::OpenPocket:
      case DetailKind::Thinning:
        return b.perPocket;
      case DetailKind::Window:
        return b.perWindow;
      case DetailKind::Slot:
      case DetailKind::LockCut:
        return b.perSlot;
      case DetailKind::Thread:
        return b.perThread;
      case DetailKind::Lettering:
        return b.perLettering;
      case DetailKind::CarvedFace:
        return b.perCarvedFace;
      case DetailKind::Outline:
      case DetailKind::Body:
      case DetailKind::Bore:
      case DetailKind::Seat:
      case DetailKind::Step:
      case DetailKind::Chamfer:
      case DetailKind::Round:
      case DetailKind::SideFace:
      case DetailKind::Undercut:
        return {};
    }
    return {};
  }

  // A lost piece costs its metal and what had been spent at the machine when it was lost.
  void scrap() {
    const double s = std::clamp(scrapShare(in_) * v().scrap, 0.0, 0.9);
    Money benchMoney;
    for (const ledger::Entry& e : book_.entries())
      if (e.line == Line::People && e.setup == ledger::kShared) benchMoney += e.cost;
    const double spent = toUnits(book_.cost(Line::Machine)) + toUnits(book_.cost(Line::People)) - toUnits(benchMoney) +
                         toUnits(book_.cost(Line::Cutters));
    const double lost = toUnits(book_.cost(Line::Metal)) + shop_.scrap.spentWhenLost * spent;
    shared(Line::Scrap, money(lost * s / (1.0 - s)), fmt::format("{:.1f} % of pieces lost", 100.0 * s));
  }

  Money setupCost() const {
    const double hoursEach = toHours(shop_.machineSide.setupPerBatch) * v().hands;
    const double rate = machineRate() + machinistRate();
    return money(static_cast<double>(in_.plan->runs.size()) * hoursEach * rate / pieces_);
  }

  Money fixtureCost() const {
    const DesignCost once = designCost(in_);
    const double each = toHours(toDuration(once.hands)) * machinistRate() + toUnits(once.bought);
    return money(each * v().once * once.plates / pieces_);
  }

  void overhead() {
    if (shop_.rates.overhead <= 0) return;
    shared(Line::Overhead, money(toUnits(book_.cost()) * shop_.rates.overhead),
           fmt::format("{:.0f} % on cost", 100.0 * shop_.rates.overhead));
  }

  const PriceInput& in_;
  const shop::Shop& shop_;
  int pieces_;
  int operation_{0};
  ledger::Ledger book_;
};

}  // namespace

double scrapShare(const PriceInput& input) {
  const Census c = count(input);
  const shop::Scrap& s = input.shop->scrap;
  double share = s.plain + c.islands * s.perIsland + c.threads * s.perThread;
  if (c.islands > 0) share += s.anyIsland;
  if (c.pockets > 0) share += s.anyPocket;
  if (c.carved > 0) share += s.carved;
  if (input.bosses.fixing != Bosses::Fixing::None) share += input.shop->boss.scrap;
  return share;
}

DesignCost designCost(const PriceInput& input) {
  const Census census = count(input);
  const shop::OncePerDesign& o = input.shop->once;
  const double further = std::max(0.0, static_cast<double>(input.plan->runs.size()) - 2.0);
  double hoursEach = o.hoursPlain + further * o.hoursPerFurtherSetup;
  double bought = o.boughtPlain + further * o.boughtPerFurtherSetup;
  if (census.islands > 0) hoursEach += o.hoursIslands, bought += o.boughtIslands;
  if (census.pockets > 0) hoursEach += o.hoursPockets, bought += o.boughtPockets;
  if (census.carved > 0) hoursEach += o.hoursCarved, bought += o.boughtCarved;
  if (input.bosses.fixing != Bosses::Fixing::None)
    hoursEach += input.shop->boss.hoursOnce, bought += input.shop->boss.boughtOnce;
  return {countTime(hours(hoursEach)), money(bought), 1.0 + (input.shop->piecesPerSet - 1) * (o.mateFactor - 1.0)};
}

ledger::Ledger bookPiece(const PriceInput& input, int sets) { return Booker(input, sets).book(); }

}  // namespace chipledger::estimate
