#include <chipledger/route/reckon.hpp>
#include <chipledger/shop/learning.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace chipledger::route {

namespace {

/// Extra pieces per good one at the machine: s / (1 - s).
double lossOf(const MilledPiece& m, const Job* machine) {
  double s = m.scrap;
  if (machine != nullptr && machine->machineYield) s = 1.0 - *machine->machineYield;
  s = std::clamp(s, 0.0, 1.0 - kLeastYield);
  return s / (1.0 - s);
}

double hoursOf(TimeCount t) { return toHours(toDuration(t)); }

/// How much of something at what price, for the line's own words.
struct Amount {
  double quantity{};
  const char* unit{""};
  double rate{};
};

/// Lines of one batch while they are being booked; one line per name and layer.
class Booking {
public:
  explicit Booking(const RouteInputs& in) : in_(in) {}

  void add(const std::string& name, Layer layer, Money amount, bool bearsOverhead = true, Amount of = {}) {
    if (amount == Money{}) return;
    std::size_t i = 0;
    while (i < lines_.size() &&
           !(lines_[i].layer == layer && lines_[i].bearsOverhead == bearsOverhead && lines_[i].name == name))
      ++i;
    if (i == lines_.size()) {
      lines_.push_back({name, layer, amount, {}, bearsOverhead, ""});
      of_.push_back(of);
      return;
    }
    lines_[i].batch += amount;
    if (of_[i].rate == of.rate) {
      of_[i].quantity += of.quantity;
    } else {
      of_[i] = {};
    }
  }

  double rate(Who who) const {
    switch (who) {
      case Who::Owner:
        return 0.0;  // counted, not paid
      case Who::Machinist:
        return in_.rates.machinistPerHour;
      case Who::Bench:
        return in_.rates.benchPerHour;
      case Who::Packing:
        return in_.rates.packingPerHour;
      case Who::Outside:
        return in_.rates.outsidePerHour;
    }
    return 0.0;
  }

  /// Hours of the batch: `good` of them on what comes out good, `all` with the losses.
  void people(const Job& job, Layer layer, double good, double all, const std::string& name = "") {
    result.hours[static_cast<std::size_t>(job.who)] += all;
    if (job.who == Who::Owner && layer == Layer::Set) ownerPerSet += all;
    const std::string line = !name.empty() ? name : word(job.who);
    const double each = rate(job.who);
    const Money whole = money(all * each), sound = money(good * each);
    if (layer == Layer::Set) {
      add(line, layer, sound, job.bearsOverhead, {good, "h", each});
      add(lostBy(job), Layer::Lost, whole - sound, job.bearsOverhead);
    } else {
      add(line, layer, whole, job.bearsOverhead, {all, "h", each});
    }
  }

  void good(const std::string& name, Money each, double pieces, double allPieces, const std::string& lost,
            bool bearsOverhead = true, const char* unit = "") {
    const Money sound = money(toUnits(each) * pieces), whole = money(toUnits(each) * allPieces);
    add(name, Layer::Set, sound, bearsOverhead, {pieces, unit, toUnits(each)});
    add(lost, Layer::Lost, whole - sound, bearsOverhead);
  }

  void machine(double good, double all) {
    const double each = in_.rates.machinePerHour;
    const Money sound = money(good * each), whole = money(all * each);
    add("machine", Layer::Set, sound, true, {good, "h", each});
    add("lost at the machine", Layer::Lost, whole - sound);
  }

  static std::string lostBy(const Job& job) {
    const bool machine = job.takes == Takes::Machine || job.takes == Takes::Loading;
    return machine ? "lost at the machine" : "lost by hand";
  }

  std::vector<CostLine> lines() {
    for (std::size_t i = 0; i < lines_.size(); ++i)
      if (of_[i].rate > 0 && *of_[i].unit != 0)
        lines_[i].what = fmt::format("{:.1f} {} at {:.4g}", of_[i].quantity, of_[i].unit, of_[i].rate);
    return std::move(lines_);
  }

  BatchResult result;
  double ownerPerSet{};

private:
  const RouteInputs& in_;
  std::vector<CostLine> lines_;
  std::vector<Amount> of_;  ///< one per line
};

const char* const kLostAtMachine = "lost at the machine";
const char* const kLostByHand = "lost by hand";

}  // namespace

Reckoner::Reckoner(RouteInputs inputs) : inputs_(std::move(inputs)) {
  std::vector<double> good;
  machineJob_ = inputs_.jobs.size();
  const double madeSets = practiceLeft(inputs_.history.setsMade, inputs_.history.monthsSince);
  for (std::size_t j = 0; j < inputs_.jobs.size(); ++j) {
    const Job& job = inputs_.jobs[j];
    if (job.takes == Takes::Machine) machineJob_ = j;
    good.push_back(job.yield);
    practice_.emplace_back(job.learning, madeSets, inputs_.usualSets);
    if (job.takes == Takes::Bench) inputs_.benchLearning = job.learning;
  }
  yield_ = rollYield(good);
  if (machineJob_ < inputs_.jobs.size()) goodAtMachine_ = yield_.entering[machineJob_];
  for (const MilledPiece& m : inputs_.milled)
    benchPractice_.emplace_back(inputs_.benchLearning, madeSets * m.piecesPerSet, shop::kUsualPieces);
  mean_ = meanNet(inputs_.terms.list, inputs_.terms);
}

BatchResult Reckoner::at(int sets) {
  const RouteInputs& in = inputs_;
  Booking book(in);
  const double n = sets, G = goodAtMachine_;
  const Job* machine = machineJob_ < in.jobs.size() ? &in.jobs[machineJob_] : nullptr;
  const bool milledOutside = machine != nullptr && machine->who == Who::Outside;

  for (std::size_t p = 0; p < in.milled.size(); ++p) {
    const MilledPiece& m = in.milled[p];
    const double loss = lossOf(m, machine), spent = G * (1.0 + m.spentWhenLost * loss), pieces = n * m.piecesPerSet;
    const double runs = m.ownBatch > 0 ? n / m.ownBatch : 1.0;
    book.good("metal", m.metal, pieces, pieces * G * (1.0 + loss), kLostAtMachine, true, "blanks");
    book.good("cutters", m.cutters, pieces, pieces * spent, kLostAtMachine, true, "pieces");
    for (std::size_t j = 0; j < in.jobs.size(); ++j) {
      const Job& job = in.jobs[j];
      const double times = job.times;
      switch (job.takes) {
        case Takes::Nothing:
          break;
        case Takes::Machine: {
          const double hours = hoursOf(m.machine.likely) * times;
          if (milledOutside) {
            book.people(job, Layer::Set, pieces * hours, pieces * spent * hours, "milling outside");
            break;
          }
          book.machine(pieces * hours, pieces * spent * hours);
          book.people(job, Layer::Set, pieces * hours * job.attended, pieces * spent * hours * job.attended);
          book.result.spindleHours += pieces * spent * hours;
          book.result.spindleLow += pieces * spent * hoursOf(m.machine.lower) * times;
          book.result.spindleHigh += pieces * spent * hoursOf(m.machine.upper) * times;
          break;
        }
        case Takes::Loading: {
          const double hours = hoursOf(m.loading) * times;
          book.people(job, Layer::Set, pieces * hours, pieces * spent * hours);
          break;
        }
        case Takes::SettingUp: {
          const double hours = runs * m.setups * hoursOf(m.setUpEach) * times;
          book.people(job, Layer::Batch, hours, hours, "setting up");
          if (milledOutside) break;
          book.add("machine set up", Layer::Batch, money(hours * in.rates.machinePerHour), true,
                   {hours, "h", in.rates.machinePerHour});
          book.result.spindleHours += hours;
          book.result.spindleLow += hours;
          book.result.spindleHigh += hours;
          break;
        }
        case Takes::Programming: {
          const double hours = hoursOf(m.programming) * m.plates * times;
          book.people(job, Layer::Design, hours, hours, "programming, fixture, first article");
          book.add("bought for fixture and gauges", Layer::Design, money(toUnits(m.boughtOnce) * m.plates * times));
          break;
        }
        case Takes::Bench: {
          const int lot = (m.ownBatch > 0 ? m.ownBatch : sets) * m.piecesPerSet;
          const double hours = hoursOf(m.bench) * times * benchPractice_[p].factor(lot);
          book.people(job, Layer::Set, pieces * hours, pieces * hours * yield_.entering[j]);
          break;
        }
      }
    }
  }
  for (std::size_t j = 0; j < in.jobs.size(); ++j) {
    const Job& job = in.jobs[j];
    const double entering = yield_.entering[j];
    book.people(job, Layer::Design, job.perDesign_h * job.times, job.perDesign_h * job.times, job.name);
    const double perBatch_h = job.perBatch_min / 60.0 * job.times;
    book.people(job, Layer::Batch, perBatch_h, perBatch_h, job.name);
    const double perSet_h = job.perSet_min / 60.0 * job.times * practice_[j].factor(sets);
    book.people(job, Layer::Set, n * perSet_h, n * entering * perSet_h);
    book.add(job.name, Layer::Design, money(toUnits(job.costPerDesign) * job.times), job.bearsOverhead);
    book.add(job.name, Layer::Batch, money(toUnits(job.costPerBatch) * job.times), job.bearsOverhead);
    book.good(job.name, money(toUnits(job.costPerSet) * job.times), n, n * entering, kLostByHand, job.bearsOverhead);
  }
  const auto enteringAt = [&](const std::string& step) {
    for (std::size_t j = 0; j < in.jobs.size(); ++j)
      if (in.jobs[j].name == step) return yield_.entering[j];
    return in.jobs.empty() ? 1.0 : yield_.entering.back();
  };
  for (const BoughtPart& part : in.bought) {
    const double wanted = n * part.quantity, need = wanted * enteringAt(part.at);
    const Order order = orderOf(need, part);
    if (order.quantity == 0) continue;
    // What the minimum order leaves over is paid once per batch; all else comes with the sets.
    const int whole = order.quantity - order.leftOver;
    const Money atMinimum = need < part.minimumOrder ? Money{order.each.micros * (order.quantity - whole)} : Money{};
    book.add("minimum orders", Layer::Batch, atMinimum);
    const Money rest = order.money - atMinimum, sound = money(toUnits(rest) * wanted / need);
    book.add("parts bought", Layer::Set, sound);
    book.add(kLostByHand, Layer::Lost, rest - sound);
  }
  Away away;
  for (const SentOut& work : in.sentOut) {
    const double wanted = n * work.quantity, pieces = wanted * enteringAt(work.at);
    const Money charge = chargeOf(pieces, work), byPiece = money(toUnits(work.each) * pieces);
    book.add("minimum charges", Layer::Batch, charge - byPiece);
    const Money sound = money(toUnits(work.each) * wanted);
    book.add("work sent out", Layer::Set, sound);
    book.add(kLostByHand, Layer::Lost, byPiece - sound);
    away.daysLow += work.daysLow;
    away.daysHigh += work.daysHigh;
  }

  BatchResult r = std::move(book.result);
  r.sets = sets;
  double& owner = r.hours[static_cast<std::size_t>(Who::Owner)];
  owner *= in.ownerTimes;
  r.ownerHours = owner;
  r.ownerHoursPerSet = book.ownerPerSet * in.ownerTimes / n;
  r.stack = stackUp(book.lines(), in.overhead, sets);
  r.netPerSet = mean_.net;
  r.income = {mean_.net.micros * sets};
  r.left = r.income - r.stack.cost;
  r.perOwnerHour = perOwnerHour(r.left, r.ownerHours);
  const shop::Week& w = in.week;
  const auto need = [&](Who who) { return r.hours[static_cast<std::size_t>(who)]; };
  r.capacity = capacityOf({{"owner", need(Who::Owner), w.owner, w.ownerBest},
                           {"machinist", need(Who::Machinist), w.machinist, w.machinistBest},
                           {"bench", need(Who::Bench), w.bench, w.benchBest},
                           {"packing", need(Who::Packing), w.packing, w.packingBest},
                           {"machine", r.spindleHours, w.spindle, w.spindleBest}},
                          away);
  return r;
}

CurvePoint Reckoner::point(int sets) {
  const BatchResult r = at(sets);
  return {sets, r.left, r.stack.perSet, r.ownerHours};
}

std::vector<CurvePoint> Reckoner::curve(int largest) {
  std::vector<CurvePoint> points;
  for (int n = 1; n <= largest; ++n) points.push_back(point(n));
  return points;
}

BuyList Reckoner::buyList(int sets, const shop::Shop& shop) const {
  const RouteInputs& in = inputs_;
  const Job* machine = machineJob_ < in.jobs.size() ? &in.jobs[machineJob_] : nullptr;
  BuyList list;
  list.sets = sets;
  std::vector<CutterOrder> cutters;
  for (const MilledPiece& m : in.milled) {
    const double loss = lossOf(m, machine), pieces = static_cast<double>(sets) * m.piecesPerSet * goodAtMachine_;
    PlateOrder plate;
    plate.part = m.name;
    plate.material = m.material;
    plate.size = fmt::format("{:.1f} x {:.1f} x {:.2f} mm", m.blank_mm.x, m.blank_mm.y, m.blank_mm.z);
    constexpr double kWhole = 1e-9;
    plate.blanks = static_cast<int>(std::ceil(pieces * (1.0 + loss) - kWhole));
    plate.money = {m.metal.micros * plate.blanks};
    const double length = toMm(shop.sheet.length), width = toMm(shop.sheet.width);
    const Nesting nesting = nest(m.blank_mm.x, m.blank_mm.y, length, width, toMm(shop.sheet.kerf));
    if (nesting.count > 0) {
      plate.perSheet = nesting.count;
      plate.sheets = (plate.blanks + nesting.count - 1) / nesting.count;
      plate.waste = 1.0 - plate.blanks * m.blank_mm.x * m.blank_mm.y / (plate.sheets * length * width);
      const auto rules = shop.plates.find(m.material);
      if (rules != shop.plates.end()) {
        const double kg = plate.sheets * length * width * m.blank_mm.z * rules->second.density_g_cm3 * 1e-6;
        plate.sheetMoney = money(kg * rules->second.pricePerKg);
      }
    }
    list.total += plate.money;
    list.plates.push_back(std::move(plate));
    for (const CutterNeed& need : m.cutterNeeds) {
      auto at = std::find_if(cutters.begin(), cutters.end(), [&](const CutterOrder& c) { return c.cutter == need.id; });
      if (at == cutters.end()) {
        CutterOrder fresh;
        fresh.cutter = need.id;
        fresh.each = need.price;
        cutters.push_back(fresh);
        at = cutters.end() - 1;
      }
      at->used += need.share * (1.0 + need.breakage) * pieces * (1.0 + m.spentWhenLost * loss);
    }
  }
  for (CutterOrder& c : cutters) {
    c.worn = static_cast<int>(std::ceil(c.used));
    // One more of each, so that an accident does not stop the batch.
    c.spare = 1;
    c.money = {c.each.micros * (c.worn + c.spare)};
    list.total += c.money;
  }
  list.cutters = std::move(cutters);
  const auto enteringAt = [&](const std::string& step) {
    for (std::size_t j = 0; j < in.jobs.size(); ++j)
      if (in.jobs[j].name == step) return yield_.entering[j];
    return in.jobs.empty() ? 1.0 : yield_.entering.back();
  };
  for (const BoughtPart& part : in.bought) {
    const Order order = orderOf(sets * part.quantity * enteringAt(part.at), part);
    list.total += order.money;
    list.parts.push_back({part.name, order});
  }
  for (const SentOut& work : in.sentOut) {
    const double pieces = sets * work.quantity * enteringAt(work.at);
    const Money charge = chargeOf(pieces, work);
    list.total += charge;
    list.work.push_back(
        {work.name, pieces, charge, work.daysLow, work.daysHigh, charge > money(toUnits(work.each) * pieces)});
  }
  return list;
}

}  // namespace chipledger::route
