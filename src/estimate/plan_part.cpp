#include <chipledger/estimate/plan_part.hpp>
#include <chipledger/field/cell_map.hpp>
#include <chipledger/field/left_on_part.hpp>
#include <chipledger/field/side_stock.hpp>
#include <chipledger/motion/operation_time.hpp>
#include <chipledger/parallel/parallel.hpp>
#include <chipledger/path/chart.hpp>

#include <fmt/format.h>

#include <algorithm>

#include "estimate/plan_memory.hpp"

namespace chipledger::estimate {
namespace {

/// Frame of the blank outside the outline and allowances stay below this share of the blank.
constexpr double kLeftWorthSaying = 0.03;
/// Of the part: what allowances, cusps and corners of usual radii leave stays well below this.
constexpr double kLeftOnPart = 0.0025;

bool isDropped(const PlanRequest& r, std::size_t i) { return i < r.dropped.size() && r.dropped[i] != 0; }

/// Which details a setup machines: those on its side; what goes through is cut where it is best held.
std::vector<int> servedBy(const PlanRequest& request, const setup::Setup& setup, bool first, bool last) {
  using detail::DetailKind;
  using detail::Side;
  std::vector<int> served;
  for (std::size_t i = 0; i < request.details->list.size(); ++i) {
    if (isDropped(request, i)) continue;
    const detail::Detail& d = request.details->list[i];
    bool here = false;
    if (!setup.plateSide) {
      // A further direction serves the details whose faces it was chosen for.
      here = d.side == Side::Other && std::any_of(d.faces.begin(), d.faces.end(), [&](part::FaceId f) {
               return std::find(setup.serves.begin(), setup.serves.end(), f) != setup.serves.end();
             });
    } else if (d.side == Side::Outer) {
      here = setup.fromAbove;
    } else if (d.side == Side::Back) {
      here = !setup.fromAbove;
    } else if (d.side == Side::Both) {
      switch (d.kind) {
        case DetailKind::Bore:
        case DetailKind::Thread:
        case DetailKind::Seat:
          here = first;
          break;  // the datum for everything after
        default:
          here = last;
          break;  // windows, slots, outline: on the fixture plate
      }
    }
    if (here) served.push_back(static_cast<int>(i));
  }
  return served;
}

field::GridSpec gridOver(Vec2 low, Vec2 high, int cell_um, double shift = 0.0) {
  field::GridSpec spec;
  spec.cell_um = cell_um;
  const double h = spec.cell();
  low = low - Vec2{shift * h, shift * h};
  spec.x0_mm = low.x;
  spec.y0_mm = low.y;
  spec.nx = std::max(1, static_cast<int>(std::ceil((high.x - low.x) / h - 1e-6)));
  spec.ny = std::max(1, static_cast<int>(std::ceil((high.y - low.y) / h - 1e-6)));
  return spec;
}

class Planner {
public:
  Planner(const PlanRequest& request, PlanMemory* memory, bool fill)
      : r_(request), details_(remaining(request)), memory_(memory), fill_(fill) {}

  Result<MachinePlan> plan() {
    const Region silhouette = r_.solid->shadowFromAbove(r_.solid->low());
    if (silhouette.empty())
      return fault(FaultCode::BadFile, r_.body->name, "The solid has no silhouette in the plate direction.",
                   "Export the part again as a closed solid.");
    const Box2 plan = box(silhouette);
    Box3 extent;
    extent.add({plan.min.x, plan.min.y, r_.solid->low()});
    extent.add({plan.max.x, plan.max.y, r_.solid->high()});
    const auto rules = r_.shop->plates.find(r_.material->name);
    if (rules == r_.shop->plates.end())
      return fault(FaultCode::Usage, r_.material->name, "No plate thicknesses and prices are known for this material.",
                   "Add [[plate]] rows for it to the shop file.");
    auto blank = stock::chooseBlank(extent, r_.solid->volume(), rules->second, mm2(area(silhouette)));
    if (!blank) return tl::make_unexpected(blank.error());
    out_.blank = *blank;
    out_.notes = blank->notes;
    out_.cell_um = r_.cell_um;

    const Vec3 low = out_.blank.min_mm, size = out_.blank.size_mm;
    Box3 blankBox;
    blankBox.add(low);
    blankBox.add(low + size);
    stock_ = field::fullBlank(gridOver(low.xy(), (low + size).xy(), r_.cell_um, r_.gridShift), blankBox);
    out_.blankVolume = field::metalLeft(stock_);

    const std::vector<setup::Setup>& setups = r_.setups->setups;
    int lastSide = -1, firstSide = -1;
    for (std::size_t k = 0; k < setups.size(); ++k) {
      if (!setups[k].plateSide) continue;
      if (firstSide < 0) firstSide = static_cast<int>(k);
      lastSide = static_cast<int>(k);
    }
    if (memory_ == nullptr || fill_) prepareSides();
    const bool both = lastSide > firstSide && cutAway() > r_.shop->practice.roughBothShare;
    for (int k = 0; k < static_cast<int>(setups.size()); ++k) {
      const path::Stage stage = both && k == firstSide ? path::Stage::Rough : path::Stage::All;
      auto done = setup(k, k == firstSide, k == lastSide, blankBox, stage);
      if (!done) return tl::make_unexpected(done.error());
      if (!both || k != lastSide) continue;
      // The part hangs in its tabs; the side that was only roughed comes up once more.
      done = setup(firstSide, true, false, blankBox, path::Stage::Finish);
      if (!done) return tl::make_unexpected(done.error());
    }
    balance();
    return std::move(out_);
  }

private:
  /// Details as drawn, but those taken away have neither place nor size: nothing is kept clear of them or slowed by
  /// them.
  static detail::Details remaining(const PlanRequest& request) {
    detail::Details details = *request.details;
    for (std::size_t i = 0; i < details.list.size(); ++i) {
      if (!isDropped(request, i)) continue;
      details.list[i].footprint = {};
      details.list[i].dimensions = {};
    }
    return details;
  }

  /// Of the blank, by exact volumes: what the drawing asks for, before anything is planned.
  double cutAway() const {
    const double blank = toMm3(out_.blank.volume);
    return blank > 0 ? 1.0 - toMm3(r_.solid->volume()) / blank : 0.0;
  }

  /// The shadows of the plate sides do not depend on what is cut: both are worked out before either is walked.
  void prepareSides() const {
    std::vector<field::SetupView> views;
    for (std::size_t k = 0; k < r_.setups->setups.size(); ++k)
      if (r_.setups->setups[k].plateSide) views.emplace_back(*r_.solid, *r_.body, *r_.setups, static_cast<int>(k));
    path::prepareCharts(views);
  }

  Result<int> setup(int k, bool first, bool last, const Box3& blankBox, path::Stage stage) {
    setup::Setup s = r_.setups->setups[static_cast<std::size_t>(k)];
    if (stage == path::Stage::Finish) s.name += "-again";
    path::Work work;
    work.served = servedBy(r_, s, first, last);
    if (!s.plateSide && work.served.empty()) return 0;
    const field::SetupView view(*r_.solid, *r_.body, *r_.setups, k);
    const Frame toSetup = view.plateToSetup();
    work.view = &view;
    work.setup = &s;
    work.setupIndex = static_cast<int>(out_.runs.size());
    work.details = &details_;
    work.body = r_.body;
    work.holes = r_.holes;
    Box3 block;
    if (s.plateSide) {
      block.add(toSetup.apply(blankBox.min));
      block.add(toSetup.apply(blankBox.max));
    } else {
      block = sideBlock(s);
    }
    work.blank = rectangle(block.min.xy(), block.max.xy());
    work.blankTop_mm = stage == path::Stage::Finish ? roughedTop_mm_ : block.max.z;
    work.stage = stage;
    work.blankBottom_mm = block.min.z;
    work.cutOutline = s.plateSide && last;
    work.firstSide = first && stage != path::Stage::Finish;
    work.material = r_.material;
    work.tables = &r_.shop->tables;
    work.crib = r_.shop->crib;
    work.spindle = r_.shop->machine.spindle;
    work.practice = r_.shop->practice;
    work.moneyPerMachineMinute =
        (r_.shop->rates.machinePerHour + r_.shop->rates.attendedShare * r_.shop->rates.machinistPerHour) / 60.0;
    work.toolChange = r_.shop->machine.toolChange;
    work.roughingShare = r_.shop->machineSide.roughingDerate;
    work.cell_um = r_.cell_um;

    field::StockBlock sideStock;
    if (!s.plateSide) {
      const field::GridSpec spec = gridOver(block.min.xy(), block.max.xy(), r_.cell_um);
      // The frame round the part and its tabs are gone by now: the part is held by itself.
      const field::StockBlock alone = field::withoutFrame(stock_, r_.solid->fromAbove(stock_.top.spec).height);
      sideStock = field::seenFrom(alone, sideCuts_, toSetup, spec, block.min.z, block.max.z);
    }
    field::StockBlock& stock = s.plateSide ? stock_ : sideStock;

    const auto keepTop = [&](const path::SetupPlan& plan) {
      if (stage == path::Stage::Rough) roughedTop_mm_ = plan.top_mm;
    };
    const auto keepSide = [&] {
      if (!s.plateSide) sideCuts_.push_back({toSetup, stock.top});
    };
    const std::uint64_t key = memory_ != nullptr ? setupKey(r_, view, stock, work) : 0;
    if (memory_ != nullptr) {
      if (const auto known = memory_->find(key)) {
        stock = known->after;
        keepSide();
        keepTop(known->run->plan);
        return accept(known->run, s);
      }
    }
    auto planned = path::planSetup(work, stock);
    if (!planned) return tl::make_unexpected(planned.error());
    keepSide();
    keepTop(*planned);
    auto run = std::make_shared<SetupRun>();
    run->setup = k;
    run->plan = std::move(*planned);
    auto timed = time(*run);
    if (!timed) return timed;
    timed = saw(*run, s, work.setupIndex);
    if (!timed) return timed;
    if (memory_ != nullptr && fill_)
      memory_->keep(key, std::make_shared<const PlanMemory::Known>(PlanMemory::Known{run, stock}));
    return accept(run, s);
  }

  Box3 sideBlock(const setup::Setup& s) const {
    Box3 block;
    for (const Vec3& p : r_.body->mesh.points) block.add(s.partToSetup.apply(p));
    return block;
  }

  Result<int> time(SetupRun& run) const {
    motion::InSpindle held;
    for (const path::Operation& op : run.plan.operations) {
      auto times = motion::operationTimes(op, r_.shop->machine, held);
      if (!times) return tl::make_unexpected(times.error());
      const motion::CountedTimes moves = derated(op.kind, times->moves);
      run.minutes.push_back({{moves.lower, moves.likely, moves.upper},
                             times->change,
                             times->air.likely,
                             times->cutting.likely + times->enter.likely,
                             times->enter.likely,
                             times->link.likely,
                             times->rapid.likely});
      held = {op.cutter, op.conditions.spindle};
    }
    return 0;
  }

  /// Roughing reaches only a share of the table's feed in many shops; the shop file says which. Slots in full-width
  /// steps already run at what small cutters bear.
  motion::CountedTimes derated(path::OperationKind kind, motion::CountedTimes times) const {
    const double share = r_.shop->machineSide.roughingDerate;
    const bool roughing = kind == path::OperationKind::Rough || kind == path::OperationKind::RestRough;
    if (!roughing || share == 1.0) return times;
    for (TimeCount* t : {&times.lower, &times.likely, &times.upper})
      t->ns = std::llround(static_cast<double>(t->ns) / share);
    return times;
  }

  Result<int> accept(std::shared_ptr<const SetupRun> run, const setup::Setup& s) {
    out_.removed += run->plan.removed;
    if (!s.plateSide) removedFromSides_ += run->plan.removed;
    out_.gouged += run->plan.gouged;
    for (const Note& note : run->plan.notes) out_.notes.push_back(note);
    const auto sawing = run->sawing;
    if (!run->plan.operations.empty()) {
      out_.setups.push_back(s);
      out_.runs.push_back(std::move(run));
    }
    for (const auto& [setup, own] : sawing) {
      out_.removed += own->plan.removed;
      out_.setups.push_back(setup);
      out_.runs.push_back(own);
    }
    return 0;
  }

  /// Setups of their own for the slots that this one leaves to the saw: one for each direction they run in.
  Result<int> saw(SetupRun& run, const setup::Setup& s, int setupIndex) const {
    constexpr double kParallel = 1.0 - 1e-9;
    std::vector<std::pair<setup::Setup, std::shared_ptr<SetupRun>>> all;
    for (const path::SawCut& cut : run.plan.sawCuts) {
      const Vec3 direction = s.partToSetup.turnBack(cut.toSaw.z);
      auto at = std::find_if(all.begin(), all.end(),
                             [&](const auto& one) { return dot(one.first.direction, direction) > kParallel; });
      if (at == all.end()) {
        setup::Setup up = s;
        up.name = s.name + "-saw" + (all.empty() ? "" : std::to_string(all.size() + 1));
        up.direction = direction;
        up.plateSide = false;
        up.holding = setup::Holding::Vise;
        up.serves.clear();
        up.partToSetup = {s.partToSetup.turnBack(cut.toSaw.x), s.partToSetup.turnBack(cut.toSaw.y), direction,
                          cut.toSaw.apply(s.partToSetup.shift)};
        at = all.insert(all.end(), {up, std::make_shared<SetupRun>()});
        at->second->setup = run.setup;
      }
      path::SetupPlan& plan = at->second->plan;
      path::Operation op = cut.operation;
      op.setup = setupIndex + static_cast<int>(at - all.begin()) + (run.plan.operations.empty() ? 0 : 1);
      op.id = fmt::format("{}-{:02}-{}", at->first.name, plan.operations.size() + 1, path::word(op.kind));
      plan.removed += op.removed;
      if (std::find(plan.cuttersUsed.begin(), plan.cuttersUsed.end(), op.cutter) == plan.cuttersUsed.end())
        plan.cuttersUsed.push_back(op.cutter);
      plan.operations.push_back(std::move(op));
    }
    for (auto& [setup, own] : all) {
      auto timed = time(*own);
      if (!timed) return timed;
      run.sawing.emplace_back(setup, own);
    }
    return 0;
  }

  // left = metal still on the blank that is no part; what further directions took is metal the plate sides left.
  void balance() {
    const field::GridSpec& spec = stock_.top.spec;
    field::HeightField above, below;
    VolumeCount left{};
    forEachTask(3, [&](std::size_t task) {
      if (task == 0) above = r_.solid->fromAbove(spec).height;
      if (task == 1) below = r_.solid->fromBelow(spec).height;
      if (task == 2) left = field::metalLeft(stock_);
    });
    std::int64_t sum = 0;
    forEachTask(2, [&](std::size_t task) {
      if (task == 0) out_.leftOnPart = field::leftOnPart(stock_, above, below);
      if (task == 1)
        for (std::size_t c = 0; c < spec.count(); ++c)
          if (above.cells[c] != field::kNoMetal) sum += above.cells[c] - below.cells[c];
    });
    out_.partVolume = {sum * spec.cell_um * spec.cell_um};
    // What only further directions see is metal of the stock until one of them takes it.
    if (r_.setups->setups.size() > 2 || !r_.setups->unseen.empty())
      out_.partVolume = out_.partVolume - r_.solid->hiddenVoids(spec);
    // Counted on the stock that the walks left behind, not worked out from what they booked: the two must agree.
    out_.left = left - out_.partVolume - removedFromSides_;
    out_.cutAwayShare = out_.blankVolume.um3 > 0
                            ? static_cast<double>(out_.removed.um3) / static_cast<double>(out_.blankVolume.um3)
                            : 0.0;
    sayWhatIsLeft();
  }

  // Metal that no operation takes is money that is missing: said, and the estimate counts as incomplete.
  void sayWhatIsLeft() {
    if (static_cast<double>(out_.leftOnPart.um3) > kLeftOnPart * static_cast<double>(out_.partVolume.um3))
      out_.notes.push_back(
          {NoteSeverity::LeftOut, "metal-left-on-part",
           fmt::format("{:.1f} mm3 still stand on the part ({:.1f} % of it): no operation takes them, and the price "
                       "leaves their minutes out.",
                       static_cast<double>(out_.leftOnPart.um3) * 1e-9,
                       100.0 * static_cast<double>(out_.leftOnPart.um3) /
                           static_cast<double>(std::max<std::int64_t>(1, out_.partVolume.um3))),
           ""});
    const double share =
        static_cast<double>(out_.left.um3) / static_cast<double>(std::max<std::int64_t>(1, out_.blankVolume.um3));
    if (share > kLeftWorthSaying)
      out_.notes.push_back(
          {NoteSeverity::LeftOut, "metal-left",
           fmt::format("{:.2f} cm3 of the blank ({:.0f} %) is neither part nor taken by any operation: the price "
                       "leaves its minutes out.",
                       static_cast<double>(out_.left.um3) * 1e-12, 100.0 * share),
           ""});
  }

  const PlanRequest& r_;
  const detail::Details details_;
  PlanMemory* memory_;
  bool fill_;
  field::StockBlock stock_;
  double roughedTop_mm_{};  ///< of the side that comes up again
  std::vector<field::SideCut> sideCuts_;
  VolumeCount removedFromSides_;
  MachinePlan out_;
};

}  // namespace

Result<MachinePlan> planPart(const PlanRequest& request, PlanMemory* memory, bool fill) {
  return Planner(request, memory, fill).plan();
}

}  // namespace chipledger::estimate
