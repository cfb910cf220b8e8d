#include <chipledger/estimate/doubt.hpp>
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/estimate/plan_part.hpp>
#include <chipledger/estimate/price.hpp>
#include <chipledger/field/cell_size.hpp>
#include <chipledger/parallel/parallel.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace chipledger::estimate {
namespace {

/// Re-plans for detail prices run on cells this much coarser: minutes move by less than 1 % between 0.1 and 0.05 mm, and
/// the part with and without the detail are planned on the same cells.
constexpr int kCoarser = 2;
constexpr int kCoarsest_um = 100;

Stack stackOf(const ledger::Ledger& book) {
  Stack stack{};
  for (std::size_t l = 0; l < kLineCount; ++l) stack[l] = book.cost(ledger::kLines[l]);
  return stack;
}

Difference minus(const Stack& with, const Stack& without, int size) {
  Difference d;
  d.size = size;
  for (std::size_t l = 0; l < kLineCount; ++l) {
    d.lines[l] = with[l] - without[l];
    d.money += d.lines[l];
  }
  return d;
}

std::vector<path::HoleOrder> holeOrders(const detail::Details& details) {
  std::vector<path::HoleOrder> orders;
  for (std::size_t i = 0; i < details.list.size(); ++i) {
    const detail::Detail& d = details.list[i];
    const bool bore = d.kind == detail::DetailKind::Bore || d.kind == detail::DetailKind::Thread ||
                      d.kind == detail::DetailKind::Seat;
    if (!bore) continue;
    path::HoleOrder order;
    order.detail = static_cast<int>(i);
    order.tight = d.hint == "tight" || d.kind == detail::DetailKind::Seat;
    order.thread = d.thread;
    orders.push_back(order);
  }
  return orders;
}

TimeCount machineTime(const MachinePlan& plan) {
  TimeCount sum;
  for (const auto& run : plan.runs)
    for (const OperationMinutes& m : run->minutes) sum += m.moves.likely + m.change;
  return sum;
}

TimeCount roughingTime(const MachinePlan& plan) {
  TimeCount sum;
  for (const auto& run : plan.runs)
    for (std::size_t o = 0; o < run->minutes.size(); ++o) {
      const path::OperationKind kind = run->plan.operations[o].kind;
      if (kind == path::OperationKind::Rough || kind == path::OperationKind::RestRough ||
          kind == path::OperationKind::Skim)
        sum += run->minutes[o].moves.likely;
    }
  return sum;
}

std::vector<std::string> cuttersOf(const MachinePlan& plan) {
  std::vector<std::string> ids;
  for (const auto& run : plan.runs)
    for (const path::Operation& op : run->plan.operations) ids.push_back(op.cutter);
  std::sort(ids.begin(), ids.end());
  ids.erase(std::unique(ids.begin(), ids.end()), ids.end());
  return ids;
}

double minutesOf(TimeCount t) { return toMinutes(toDuration(t)); }

/// "6.35 plate instead of 2.54; +14.8 min roughing; +1 setup"
std::string why(const MachinePlan& with, const MachinePlan& without) {
  std::vector<std::string> causes;
  if (with.blank.step != without.blank.step)
    causes.push_back(fmt::format("{:.2f} plate instead of {:.2f}", toMm(with.blank.step), toMm(without.blank.step)));
  const double rough = minutesOf(roughingTime(with)) - minutesOf(roughingTime(without));
  const double all = minutesOf(machineTime(with)) - minutesOf(machineTime(without));
  if (std::abs(rough) >= 0.05) causes.push_back(fmt::format("{:+.1f} min roughing", rough));
  if (std::abs(all - rough) >= 0.05) causes.push_back(fmt::format("{:+.1f} min finishing", all - rough));
  std::vector<std::string> more;
  const auto a = cuttersOf(with), b = cuttersOf(without);
  std::set_difference(a.begin(), a.end(), b.begin(), b.end(), std::back_inserter(more));
  for (const std::string& id : more) causes.push_back("needs " + id);
  const int setups = static_cast<int>(with.runs.size()) - static_cast<int>(without.runs.size());
  if (setups != 0) causes.push_back(fmt::format("{:+d} setup{}", setups, std::abs(setups) == 1 ? "" : "s"));
  if (causes.empty()) return "hand work and scrap only";
  std::string text = causes.front();
  for (std::size_t i = 1; i < causes.size(); ++i) text += "; " + causes[i];
  return text;
}

/// With a detail its children go too: a bore in an island, a pocket in a pocket.
std::vector<char> dropWithChildren(const detail::Details& details, std::size_t index) {
  std::vector<char> dropped(details.list.size(), 0);
  dropped[index] = 1;
  for (bool more = true; more;) {
    more = false;
    for (std::size_t i = 0; i < details.list.size(); ++i) {
      const int parent = details.list[i].parent;
      if (dropped[i] == 0 && parent >= 0 && dropped[static_cast<std::size_t>(parent)] != 0) {
        dropped[i] = 1;
        more = true;
      }
    }
  }
  return dropped;
}

bool canBeTakenAway(detail::DetailKind kind) {
  using detail::DetailKind;
  switch (kind) {
    case DetailKind::Outline:
    case DetailKind::Body:
    case DetailKind::SideFace:
    case DetailKind::Undercut: return false;
    case DetailKind::Island:
    case DetailKind::Pocket:
    case DetailKind::OpenPocket:
    case DetailKind::Window:
    case DetailKind::Slot:
    case DetailKind::LockCut:
    case DetailKind::Thinning:
    case DetailKind::Bore:
    case DetailKind::Thread:
    case DetailKind::Seat:
    case DetailKind::Step:
    case DetailKind::Chamfer:
    case DetailKind::Round:
    case DetailKind::Lettering:
    case DetailKind::CarvedFace: return true;
  }
  return false;
}

class Estimator {
 public:
  Estimator(const part::Part& part, const part::Body& body, const shop::Shop& shop, const Options& options)
      : part_(part), body_(body), shop_(shop), options_(options) {}

  Result<Estimate> run() {
    auto material = cutting::findMaterial(shop_.tables, options_.material);
    if (!material) return tl::make_unexpected(material.error());
    material_ = *material;
    tell("looking", 0, 0);
    auto setups = setup::planSetups(body_);
    if (!setups) return tl::make_unexpected(setups.error());
    setups_ = *setups;
    auto details = detail::findDetails(body_, setups_);
    if (!details) return tl::make_unexpected(details.error());
    details_ = *details;
    holes_ = holeOrders(details_);
    solid_ = std::make_unique<field::Solid>(body_, setups_.partToPlate);
    tell("planning", 0, 0);
    PlanRequest request = requestFor(*solid_, {}, cell());
    auto plan = planPart(request);
    if (!plan) return tl::make_unexpected(plan.error());
    plan_ = std::move(*plan);
    describe();
    price();
    if (options_.priceDetails) {
      auto priced = priceDetails();
      if (!priced) return tl::make_unexpected(priced.error());
    }
    return std::move(out_);
  }

 private:
  void tell(const std::string& step, int done, int of) const {
    if (options_.progress) options_.progress(step, done, of);
  }

  int cell() const {
    if (options_.cell_um > 0) return options_.cell_um;
    return 50;
  }

  PlanRequest requestFor(const field::Solid& solid, std::vector<char> dropped, int cell_um) const {
    PlanRequest request;
    request.body = &body_;
    request.setups = &setups_;
    request.details = &details_;
    request.solid = &solid;
    request.dropped = std::move(dropped);
    request.holes = holes_;
    request.shop = &shop_;
    request.material = &material_;
    request.cell_um = cell_um;
    return request;
  }

  PriceInput priceInput(const MachinePlan& plan, std::vector<char> dropped) const {
    PriceInput input;
    input.plan = &plan;
    input.details = &details_;
    input.dropped = std::move(dropped);
    input.holes = holes_;
    input.shop = &shop_;
    return input;
  }

  void describe() {
    out_.file = part_.file;
    out_.bodyName = body_.name;
    out_.fingerprint = body_.fingerprint;
    out_.unit = part_.unit;
    out_.material = material_.name;
    out_.currency = shop_.currency;
    out_.quantity = body_.quantity;
    out_.bodies = static_cast<int>(part_.bodies.size());
    out_.faces = static_cast<int>(body_.faces.size());
    out_.partVolume = body_.volume;
    out_.partArea = body_.area;
    const Box2 plan = box(solid_->shadowFromAbove(solid_->low()));
    out_.size_mm = {plan.size().x, plan.size().y, solid_->high() - solid_->low()};
    out_.blank = plan_.blank;
    out_.partToStock = setups_.partToPlate;
    out_.blankVolume = plan_.blankVolume;
    out_.removed = plan_.removed;
    out_.left = plan_.left;
    out_.gouged = plan_.gouged;
    out_.cell_um = plan_.cell_um;
    out_.details = details_;
    out_.notes = part_.notes;
    for (const Notes* notes : {&setups_.notes, &details_.notes, &plan_.notes})
      out_.notes.insert(out_.notes.end(), notes->begin(), notes->end());
    out_.assumptions = shop::describe(shop_);
    if (!material_.caution.empty()) out_.cautions.push_back(material_.caution);
  }

  void price() {
    std::vector<int> sizes = options_.batches;
    for (int size : sizes) {
      const ledger::Ledger book = bookPiece(priceInput(plan_, {}), size);
      BatchPrice batch;
      batch.size = size;
      batch.lines = stackOf(book);
      batch.perPiece = book.cost();
      out_.batches.push_back(batch);
    }
    // Doubts and ranks are shown for the middle of what was asked, nearest to 50.
    out_.referenceBatch = 0;
    for (std::size_t b = 0; b < sizes.size(); ++b)
      if (std::abs(sizes[b] - 50) < std::abs(sizes[static_cast<std::size_t>(out_.referenceBatch)] - 50))
        out_.referenceBatch = static_cast<int>(b);
    out_.ledger = bookPiece(priceInput(plan_, {}), sizes[static_cast<std::size_t>(out_.referenceBatch)]);
    operations();
    bands();
    for (std::size_t i = 0; i < details_.list.size(); ++i) {
      DetailPrice d;
      d.detail = static_cast<int>(i);
      d.removed = out_.ledger.removedByDetail(d.detail);
      d.minutes = out_.ledger.minutesByDetail(d.detail);
      d.booked = out_.ledger.costByDetail(d.detail);
      out_.detailPrices.push_back(d);
    }
  }

  void operations() {
    int number = 0;
    for (std::size_t k = 0; k < plan_.runs.size(); ++k) {
      const SetupRun& run = *plan_.runs[k];
      SetupResult setup;
      setup.setup = plan_.setups[k];
      setup.removed = run.plan.removed;
      setup.machine = out_.ledger.minutesBySetup(static_cast<int>(k));
      setup.people = out_.ledger.handsBySetup(static_cast<int>(k));
      setup.perBatch = countTime(shop_.machineSide.setupPerBatch);
      out_.setups.push_back(setup);
      for (std::size_t o = 0; o < run.plan.operations.size(); ++o, ++number) {
        OperationResult op;
        op.operation = run.plan.operations[o];
        op.operation.setup = static_cast<int>(k);
        op.minutes = out_.ledger.minutesByOperation(number);
        op.airTime = run.minutes[o].air;
        for (const path::Move& move : op.operation.moves)
          if (move.kind == path::MoveKind::Cut || move.kind == path::MoveKind::Enter)
            op.pathLength_mm += length(move.segment);
        for (const ledger::Entry& e : out_.ledger.entries())
          if (e.operation == number && e.line == ledger::Line::Cutters) op.cutterMoney += e.cost;
        use(op, run.minutes[o].cutting);
        out_.operations.push_back(std::move(op));
      }
    }
  }

  void use(const OperationResult& op, TimeCount cutting) {
    auto it = std::find_if(out_.cutters.begin(), out_.cutters.end(),
                           [&](const CutterUse& u) { return u.cutter.id == op.operation.cutter; });
    if (it == out_.cutters.end()) {
      CutterUse fresh;
      const auto known = std::find_if(shop_.crib.begin(), shop_.crib.end(),
                                      [&](const cutting::Cutter& c) { return c.id == op.operation.cutter; });
      if (known == shop_.crib.end()) return;
      fresh.cutter = *known;
      out_.cutters.push_back(fresh);
      it = out_.cutters.end() - 1;
    }
    it->cutting += cutting;
    it->money += op.cutterMoney;
    const double whole = toUnits(it->cutter.price) * (1.0 + shop_.rates.cutterBreakage);
    it->shareUsed = whole > 0 ? toUnits(it->money) / whole : 0.0;
  }

  void bands() {
    for (BatchPrice& batch : out_.batches) {
      const Band band = priceBand(batch.lines);
      batch.low = band.low;
      batch.high = band.high;
    }
    out_.doubts = rankDoubts(out_.batches[static_cast<std::size_t>(out_.referenceBatch)].lines);
  }

  Result<int> priceDetails() {
    const int coarse = std::max(cell(), std::min(kCoarsest_um, kCoarser * cell()));
    const auto memory = makePlanMemory();
    const auto base = planPart(requestFor(*solid_, {}, coarse), memory.get(), true);
    if (!base) return tl::make_unexpected(base.error());
    std::vector<std::size_t> asked;
    for (std::size_t i = 0; i < details_.list.size(); ++i)
      if (canBeTakenAway(details_.list[i].kind)) asked.push_back(i);

    struct Answer {
      std::vector<Difference> differences;
      TimeCount time;
      std::string why;
      Notes notes;
    };
    std::vector<Stack> with;
    for (int size : options_.batches) with.push_back(stackOf(bookPiece(priceInput(*base, {}), size)));
    std::vector<Answer> answers(asked.size());
    forEachTask(asked.size(), [&](std::size_t a) {
      const std::size_t i = asked[a];
      const std::vector<char> dropped = dropWithChildren(details_, i);
      const field::Solid without = solid_->changed(detail::without(details_, static_cast<int>(i)));
      const auto plan = planPart(requestFor(without, dropped, coarse), memory.get(), false);
      Answer& answer = answers[a];
      if (!plan) {
        answer.notes.push_back({NoteSeverity::Doubt, "no-price-without", "Cannot be priced on its own: " + plan.error().what,
                                details_.list[i].name});
        return;
      }
      for (std::size_t b = 0; b < options_.batches.size(); ++b)
        answer.differences.push_back(
            minus(with[b], stackOf(bookPiece(priceInput(*plan, dropped), options_.batches[b])), options_.batches[b]));
      answer.time = {machineTime(*base).ns - machineTime(*plan).ns};
      answer.why = why(*base, *plan);
    });
    for (std::size_t a = 0; a < asked.size(); ++a) {
      DetailPrice& d = out_.detailPrices[asked[a]];
      d.withMinusWithout = answers[a].differences;
      d.machineDifference = answers[a].time;
      d.why = answers[a].why;
      out_.notes.insert(out_.notes.end(), answers[a].notes.begin(), answers[a].notes.end());
    }
    for (std::size_t b = 0; b < out_.batches.size(); ++b) {
      Difference rest;
      rest.size = out_.batches[b].size;
      rest.lines = out_.batches[b].lines;
      rest.money = out_.batches[b].perPiece;
      for (const DetailPrice& d : out_.detailPrices) {
        if (d.withMinusWithout.empty()) continue;
        rest.money -= d.withMinusWithout[b].money;
        for (std::size_t l = 0; l < kLineCount; ++l) rest.lines[l] -= d.withMinusWithout[b].lines[l];
      }
      out_.shared.push_back(rest);
    }
    return 0;
  }

  const part::Part& part_;
  const part::Body& body_;
  const shop::Shop& shop_;
  const Options& options_;
  cutting::Material material_;
  setup::Plan setups_;
  detail::Details details_;
  std::vector<path::HoleOrder> holes_;
  std::unique_ptr<field::Solid> solid_;
  MachinePlan plan_;
  Estimate out_;
};

}  // namespace

Money total(const Stack& stack) {
  Money sum;
  for (Money m : stack) sum += m;
  return sum;
}

Result<Estimate> estimateBody(const part::Part& part, const part::Body& body, const shop::Shop& shop,
                              const Options& options) {
  return Estimator(part, body, shop, options).run();
}

}  // namespace chipledger::estimate
