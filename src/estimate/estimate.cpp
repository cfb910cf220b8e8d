#include <chipledger/estimate/advice.hpp>
#include <chipledger/estimate/doubt.hpp>
#include <chipledger/estimate/drawn_part.hpp>
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/estimate/numeric_doubt.hpp>
#include <chipledger/estimate/plan_part.hpp>
#include <chipledger/estimate/price.hpp>
#include <chipledger/estimate/replan.hpp>
#include <chipledger/parallel/parallel.hpp>
#include <chipledger/result/nearest.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <optional>

#include "estimate/candidates.hpp"

namespace chipledger::estimate {
namespace {

/// Why a detail has no price of its own; empty when it can be taken away.
std::string cannotBeTakenAway(const detail::Detail& d) {
  using detail::DetailKind;
  switch (d.kind) {
    case DetailKind::Outline:
      return "The outline is the plate itself: without it there is no part. Its cost is within the shared cost.";
    case DetailKind::Body:
      return "The body carries all else: its cost is that of the plain plate and within the shared cost.";
    case DetailKind::SideFace:
      // What a further direction mills falls away with that direction's work.
      return d.side == detail::Side::Other
                 ? ""
                 : "These walls bound the body and belong to no detail of their own: within the shared cost.";
    case DetailKind::Undercut:
      return "No cutter that looks along a machining direction gets under it: it is not in the price at all, with or "
             "without.";
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
    case DetailKind::CarvedFace:
      return "";
  }
  return "";
}

class Estimator {
public:
  Estimator(const part::Part& part, const part::Body& body, const shop::Shop& shop, const Options& options)
      : part_(part), body_(body), shop_(shop), options_(options) {}

  Result<Estimate> run() {
    tell("looking", 0, 0);
    auto drawn = drawnPart(body_, shop_, options_);
    if (!drawn) return tl::make_unexpected(drawn.error());
    drawn_ = std::move(*drawn);
    out_.notes = drawn_.notes;
    if (options_.onlyDetail) {
      if (auto known = knownDetail(*options_.onlyDetail); !known) return tl::make_unexpected(known.error());
    }
    holes_ = holeOrders(drawn_.details);
    tell("planning", 0, 0);
    PlanRequest request = requestFor(*drawn_.solid, {}, cell());
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

  Result<int> knownDetail(const std::string& name) const {
    std::vector<std::string> names;
    for (const detail::Detail& d : drawn_.details.list) {
      if (d.name == name) return 0;
      names.push_back(d.name);
    }
    return fault(FaultCode::Usage, name, "There is no detail of this name on the part.",
                 fmt::format("Nearest: {}. All: {}.", nearestOf(name, names), fmt::join(names, ", ")));
  }

  int cell() const { return drawn_.cell_um; }

  PlanRequest requestFor(const field::Solid& solid, std::vector<char> dropped, int cell_um) const {
    PlanRequest request;
    request.body = &body_;
    request.setups = &drawn_.setups;
    request.details = &drawn_.details;
    request.solid = &solid;
    request.dropped = std::move(dropped);
    request.holes = holes_;
    request.shop = &shop_;
    request.material = &drawn_.material;
    request.cell_um = cell_um;
    return request;
  }

  PriceInput priceInput(const MachinePlan& plan, std::vector<char> dropped) const {
    PriceInput input;
    input.plan = &plan;
    input.details = &drawn_.details;
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
    out_.material = drawn_.material.name;
    out_.currency = shop_.currency;
    out_.quantity = body_.quantity;
    out_.piecesPerSet = shop_.piecesPerSet;
    out_.bodies = static_cast<int>(part_.bodies.size());
    out_.faces = static_cast<int>(body_.faces.size());
    out_.partVolume = body_.volume;
    out_.partArea = body_.area;
    const Box2 plan = box(drawn_.solid->shadowFromAbove(drawn_.solid->low()));
    out_.size_mm = {plan.size().x, plan.size().y, drawn_.solid->high() - drawn_.solid->low()};
    out_.blank = plan_.blank;
    out_.partToStock = drawn_.setups.partToPlate;
    out_.blankVolume = plan_.blankVolume;
    out_.removed = plan_.removed;
    out_.left = plan_.left;
    out_.leftOnPart = plan_.leftOnPart;
    out_.partOnGrid = plan_.partVolume;
    out_.gouged = plan_.gouged;
    out_.cell_um = plan_.cell_um;
    if (plan_.blankVolume.um3 > 0)
      out_.cutAway = money(toUnits(plan_.blank.price) * static_cast<double>(plan_.removed.um3) /
                           static_cast<double>(plan_.blankVolume.um3));
    out_.details = drawn_.details;
    for (const Notes* notes :
         std::initializer_list<const Notes*>{&part_.notes, &drawn_.setups.notes, &drawn_.details.notes, &plan_.notes})
      out_.notes.insert(out_.notes.end(), notes->begin(), notes->end());
    out_.assumptions = shop::describe(shop_);
    // The blank is paid by weight: the price of its plate belongs to what the metal stands on.
    for (const cutting::PlateRow& row : cutting::platesOf(shop_.tables, out_.material)) {
      if (mm(row.thickness_mm) != plan_.blank.step) continue;
      out_.assumptions.push_back({"plate.price_per_kg", row.pricePerKg, "per kg", row.origin.from, row.origin.source});
      break;
    }
    if (shop_.piecesPerSet > 1)
      out_.notes.push_back({NoteSeverity::Info, "sets",
                            fmt::format("A batch counts sets of {} pieces; money is per piece.", shop_.piecesPerSet),
                            ""});
    if (!drawn_.material.caution.empty()) out_.cautions.push_back(drawn_.material.caution);
  }

  void price() {
    std::vector<int> sizes = options_.batches;
    out_.once = designCost(priceInput(plan_, {}));
    out_.scrapShare = scrapShare(priceInput(plan_, {}));
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
    for (std::size_t i = 0; i < drawn_.details.list.size(); ++i) {
      DetailPrice d;
      d.detail = static_cast<int>(i);
      d.removed = out_.ledger.removedByDetail(d.detail);
      d.minutes = out_.ledger.minutesByDetail(d.detail);
      d.booked = out_.ledger.costByDetail(d.detail);
      d.cannot = cannotBeTakenAway(drawn_.details.list[i]);
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
        op.enterTime = run.minutes[o].enter;
        op.linkTime = run.minutes[o].link;
        op.rapidTime = run.minutes[o].rapid;
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
    const cutting::Limits& limits = shop_.tables.limits;
    it->breakage = cutting::breakageShare(it->cutter.diameter, limits);
    const double whole = toUnits(it->cutter.price) * (1.0 + it->breakage);
    it->shareUsed = whole > 0 ? toUnits(it->money) / whole : 0.0;
    it->buy.clear();
    for (const int size : options_.batches)
      it->buy.push_back(cutting::cuttersToBuy(it->shareUsed, size * shop_.piecesPerSet, it->cutter.diameter, limits));
  }

  void bands() {
    for (BatchPrice& batch : out_.batches) {
      const Band band = priceBand(priceInput(plan_, {}), batch.size);
      batch.low = band.low;
      batch.high = band.high;
    }
    const int reference = out_.batches[static_cast<std::size_t>(out_.referenceBatch)].size;
    out_.doubts = rankDoubts(priceInput(plan_, {}), reference);
    out_.swings = fifthSwings(priceInput(plan_, {}), reference);
  }

  Result<int> priceDetails() {
    tell(kPlanningForDetails, 0, 0);
    const PlanRequest drawn = requestFor(*drawn_.solid, {}, coarser(cell()));
    const auto replanner = Replanner::make(drawn, options_.batches);
    if (!replanner) return tl::make_unexpected(replanner.error());
    std::vector<std::size_t> asked;
    for (std::size_t i = 0; i < drawn_.details.list.size(); ++i) {
      const bool named = !options_.onlyDetail || drawn_.details.list[i].name == *options_.onlyDetail;
      if (named && out_.detailPrices[i].cannot.empty()) asked.push_back(i);
    }
    std::vector<GroupPrice> groups = groupsOf(drawn_.details, out_, *replanner);
    std::vector<Candidate> candidates = candidatesFor(*replanner, shop_, out_);
    std::vector<Replanned> answers(asked.size());
    std::optional<MachinePlan> elsewhere;
    // All plans beside each other: of the details, the groups, the advice, and one more on cells that lie elsewhere.
    const std::size_t firstGroup = asked.size(), firstAdvice = firstGroup + groups.size(),
                      last = firstAdvice + candidates.size();
    std::atomic<int> done{0};
    tell(kPricingDetails, 0, static_cast<int>(last + 1));
    forEachTask(last + 1, [&](std::size_t t) {
      if (t < firstGroup)
        answers[t] = replanner->without({static_cast<int>(asked[t])});
      else if (t < firstAdvice)
        planGroup(*replanner, groups[t - firstGroup]);
      else if (t < last)
        planCandidate(*replanner, candidates[t - firstAdvice]);
      else
        elsewhere = planElsewhere(drawn);
      tell(kPricingDetails, ++done, static_cast<int>(last + 1));
    });
    numericDoubts(replanner->base(), elsewhere);
    for (std::size_t a = 0; a < asked.size(); ++a) {
      DetailPrice& d = out_.detailPrices[asked[a]];
      d.withMinusWithout = answers[a].differences;
      d.machineDifference = answers[a].machine;
      d.why = answers[a].why;
      if (!answers[a].failure.empty()) {
        d.cannot = "The part without it cannot be planned: " + answers[a].failure;
        out_.notes.push_back({NoteSeverity::Doubt, "no-price-without",
                              "Cannot be priced on its own: " + answers[a].failure,
                              drawn_.details.list[asked[a]].name});
      }
    }
    if (!options_.onlyDetail) shareOut();
    out_.groups = std::move(groups);
    out_.advice = worthSaying(std::move(candidates), shop_, out_);
    return 0;
  }

  // The coarse plan is there for the details anyway; one more on cells that lie elsewhere shows what the grid does.
  std::optional<MachinePlan> planElsewhere(PlanRequest coarse) const {
    coarse.gridShift = kGridShift;
    auto plan = planPart(coarse);
    return plan ? std::optional(std::move(*plan)) : std::nullopt;
  }

  void numericDoubts(const MachinePlan& base, const std::optional<MachinePlan>& elsewhere) {
    const int pieces = out_.batches[static_cast<std::size_t>(out_.referenceBatch)].size;
    std::vector<CountedOn> plans;
    const auto add = [&](const MachinePlan& plan, const char* shifted) {
      plans.push_back({fmt::format("{:.3g} mm{}", plan.cell_um / 1000.0, shifted),
                       toMinutes(toDuration(machineTime(plan))), bookPiece(priceInput(plan, {}), pieces).cost()});
    };
    add(plan_, "");
    if (base.cell_um != plan_.cell_um) add(base, "");
    if (elsewhere) add(*elsewhere, " shifted");
    out_.doubts.push_back(numericDoubt(plans));
    std::stable_sort(out_.doubts.begin(), out_.doubts.end(),
                     [](const Doubt& a, const Doubt& b) { return a.high - a.low > b.high - b.low; });
  }

  // What the details do not explain is shared: the price minus the sum of with-minus-without.
  void shareOut() {
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
  }

  const part::Part& part_;
  const part::Body& body_;
  const shop::Shop& shop_;
  const Options& options_;
  DrawnPart drawn_;
  std::vector<path::HoleOrder> holes_;
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
