#include "path/planner.hpp"

#include <chipledger/path/corners.hpp>
#include <chipledger/path/floor.hpp>
#include <chipledger/path/row_of_region.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace chipledger::path {
namespace {

constexpr double kLeastOpening_mm2 = 0.30;

}  // namespace

Planner::Planner(const Work& work, Chart chart, field::Removal& removal, std::vector<HolePlan> holes, Ground ground)
    : work_(work),
      chart_(std::move(chart)),
      ground_(std::move(ground)),
      removal_(removal),
      walk_(removal),
      holes_(std::move(holes)),
      top_mm_(work.blankTop_mm) {
  // Openings: what lies inside the outline and over no part of the part, one piece each.
  for (const Region& piece : pieces(subtract(chart_.outline(), chart_.part()))) {
    if (area(piece) < kLeastOpening_mm2) continue;
    Opening opening;
    opening.region = piece;
    double best = 0.0;
    const bool side = work_.setup != nullptr && !work_.setup->plateSide;
    if (side) {
      // Open through and through: down to where the stock ends, where there is any.
      opening.low_mm = stockBottom(piece);
      if (stockTop(piece) <= opening.low_mm) continue;
    }
    if (work_.details != nullptr && !side) {
      for (int index : work_.served) {
        const detail::Detail& d = work_.details->list[static_cast<std::size_t>(index)];
        if (!d.through) continue;
        const double shared = area(intersect(footprintInSetup(work_, d), piece));
        if (shared <= best) continue;
        best = shared;
        opening.detail = index;
        opening.low_mm = heightsInSetup(work_, d).first;
      }
    }
    opening.obstacle = chart_.obstacle(opening.low_mm);
    openings_.push_back(std::move(opening));
  }
  if (work_.cutOutline && work_.details != nullptr) openSlots();
}

// Slots that run out through the outline: no opening inside it, and too narrow for the cutter that goes round it.
void Planner::openSlots() {
  for (int index : work_.served) {
    const detail::Detail& d = work_.details->list[static_cast<std::size_t>(index)];
    if (!d.through || (d.kind != detail::DetailKind::Slot && d.kind != detail::DetailKind::LockCut)) continue;
    const Region foot = footprintInSetup(work_, d);
    if (area(intersect(foot, chart_.outline())) > 0.5 * area(foot)) continue;
    Opening opening;
    opening.detail = index;
    opening.low_mm = heightsInSetup(work_, d).first;
    opening.obstacle = chart_.obstacle(opening.low_mm);
    opening.region = subtract(foot, opening.obstacle);
    if (area(opening.region) >= kLeastOpening_mm2) openings_.push_back(std::move(opening));
  }
}

Style Planner::style(bool engaged, const Mill& mill, double top_mm) const {
  Style s;
  s.engaged = engaged;
  // Roughing may wander within its allowance: the smaller of 0.02 mm and half a cell (engine notes 3).
  constexpr double kRoughFit_mm = 0.02;
  constexpr double kFinishFitHere_mm = 0.006;
  s.fitTolerance_mm = engaged ? std::min(kRoughFit_mm, 0.5 * work_.cell_um / 1000.0) : kFinishFitHere_mm;
  s.slotStep_mm = mill.slotStep_mm;
  s.slotStepFeed = mill.slotStepFeed;
  s.step_mm = toMm(mill.conditions.radialStep);
  s.top_mm = top_mm;
  s.entryClearance_mm = toMm(work_.practice.entryClearance);
  s.clearance_mm = toMm(work_.practice.clearance);
  return s;
}

std::optional<Mill> Planner::mill(const cutting::Cutter& cutter, cutting::CutKind kind, double depth_mm,
                                  double reach_mm, ThinWork thin) {
  const auto um = [](double mm) { return std::llround(mm * 1000.0); };
  const double reach = reach_mm > 0 ? reach_mm : depth_mm;
  const MillKey key{cutter.id,         static_cast<int>(kind), um(depth_mm),        um(reach),
                    um(thin.floor_mm), um(thin.wall_mm),       um(thin.wallHigh_mm)};
  const auto found = known_.find(key);
  if (found != known_.end()) return found->second;
  return known_.emplace(key, millFor(work_, cutter, kind, depth_mm, reach, thin)).first->second;
}

void Planner::start(OperationKind kind, const Mill& mill, const Style& style, std::string why) {
  Operation operation;
  operation.setup = work_.setupIndex;
  operation.kind = kind;
  operation.cutter = mill.cutter->id;
  operation.conditions = mill.conditions;
  operation.why = std::move(why);
  walk_.begin(std::move(operation), *mill.cutter, style);
}

void Planner::finish() {
  Operation operation = walk_.end();
  const bool works = std::any_of(operation.moves.begin(), operation.moves.end(),
                                 [](const Move& m) { return m.kind != MoveKind::Rapid; });
  if (!works) return;
  const std::string setup = work_.setup != nullptr ? work_.setup->name : fmt::format("setup-{}", work_.setupIndex + 1);
  operation.id = fmt::format("{}-{:02}-{}", setup, plan_.operations.size() + 1, word(operation.kind));
  plan_.removed += operation.removed;
  if (std::find(plan_.cuttersUsed.begin(), plan_.cuttersUsed.end(), operation.cutter) == plan_.cuttersUsed.end())
    plan_.cuttersUsed.push_back(operation.cutter);
  plan_.operations.push_back(std::move(operation));
}

void Planner::note(NoteSeverity severity, std::string code, std::string text, std::string about) {
  plan_.notes.push_back({severity, std::move(code), std::move(text), std::move(about)});
}

RoughSite Planner::site() const {
  RoughSite s;
  s.blank = work_.blank;
  s.top_mm = top_mm_;
  s.floorAllowance_mm = toMm(work_.practice.roughFloorAllowance);
  s.wallAllowance_mm = wallAllowance();
  s.finishPass_mm = toMm(work_.practice.finishFloorPass);
  // Open floors are cleared beyond the outline by the width of the cutter that will go round it.
  constexpr double kOpenMargin_mm = 10.0;
  s.margin_mm = kOpenMargin_mm;
  return s;
}

double Planner::stockTop(Vec2 place) const {
  const field::GridSpec& g = removal_.grid();
  const int i = g.column(place.x), j = g.row(place.y);
  if (i < 0 || j < 0 || i >= g.nx || j >= g.ny) return -1e9;
  const std::int32_t h = removal_.heights()(i, j);
  return h == field::kNoMetal ? -1e9 : h / 1000.0;
}

double Planner::stockTop(Vec2 centre, double radius_mm) const {
  const field::GridSpec& g = removal_.grid();
  double top = stockTop(centre);
  const int i0 = std::max(0, g.column(centre.x - radius_mm)), i1 = std::min(g.nx - 1, g.column(centre.x + radius_mm));
  const int j0 = std::max(0, g.row(centre.y - radius_mm)), j1 = std::min(g.ny - 1, g.row(centre.y + radius_mm));
  for (int j = j0; j <= j1; ++j)
    for (int i = i0; i <= i1; ++i)
      if (norm(g.centre(i, j) - centre) < radius_mm && removal_.heights()(i, j) != field::kNoMetal)
        top = std::max(top, removal_.heights()(i, j) / 1000.0);
  return top;
}

double Planner::stockBottom(const Region& region) const {
  const field::GridSpec& g = removal_.grid();
  double low = 1e9;
  const Box2 b = box(region);
  for (int j = std::max(0, g.row(b.min.y)); j <= std::min(g.ny - 1, g.row(b.max.y)); ++j) {
    const RowOfRegion row(region, g.centre(0, j).y);
    for (int i = std::max(0, g.column(b.min.x)); i <= std::min(g.nx - 1, g.column(b.max.x)); ++i)
      if (removal_.heights()(i, j) != field::kNoMetal && row.holds(g.centre(i, j).x))
        low = std::min(low, removal_.underside()(i, j) / 1000.0);
  }
  return low;
}

double Planner::stockTop(const Region& region) const {
  const field::GridSpec& g = removal_.grid();
  const Box2 b = box(region);
  double top = -1e9;
  // A few hundred places are enough: the metal over one opening is level but for earlier cuts.
  constexpr int kPlaces = 24;
  for (int i = 0; i <= kPlaces; ++i)
    for (int j = 0; j <= kPlaces; ++j) {
      const Vec2 p{b.min.x + (b.max.x - b.min.x) * i / kPlaces, b.min.y + (b.max.y - b.min.y) * j / kPlaces};
      if (contains(region, p)) top = std::max(top, stockTop(p));
    }
  (void)g;
  return top;
}

double Planner::topBeside(const Region& region, double z_mm) const {
  constexpr double kRing_mm = 0.1;
  constexpr double kCovered = 0.9;  // of the ring: the rest is the rounding of outlines
  const Region ring = subtract(offset(region, kRing_mm), region);
  const double whole = area(ring);
  const RoughSite s = site();
  double top = z_mm, covered = 0.0;
  for (const FloorLevel& floor : chart_.cleared()) {
    const double shared = area(intersect(floor.region, ring));
    if (shared <= 0.01 * whole) continue;
    covered += shared;
    if (floor.z_mm > z_mm)
      top = std::max(top, worthRoughing(s, floor.z_mm) ? floor.z_mm + s.floorAllowance_mm : top_mm_);
  }
  return covered < kCovered * whole ? top_mm_ : std::min(top, top_mm_);
}

bool Planner::isTop(const FloorLevel& floor) const {
  if (work_.details == nullptr || (work_.setup != nullptr && !work_.setup->plateSide))
    return floor.z_mm >= chart_.high() - kAboveLevel_mm;
  double covered = 0.0;
  for (const detail::Detail& d : work_.details->list)
    if (d.kind == detail::DetailKind::Island) covered += area(intersect(footprintInSetup(work_, d), floor.region));
  return covered > 0.5 * area(floor.region);
}

void Planner::skim() {
  // A side that is only roughed now keeps the metal of its last pass.
  const double end = chart_.high() + (work_.stage == Stage::Rough ? toMm(work_.practice.finishFloorPass) : 0.0);
  const double depth = work_.blankTop_mm - end;
  if (depth <= kAboveLevel_mm || chart_.floors().empty()) return;
  // A broad top face is skimmed over the whole blank; small tops (islands) are finished by themselves at the end.
  constexpr double kBroadShare = 0.25;
  const FloorLevel& highest = chart_.floors().front();
  if (highest.z_mm < chart_.high() - kAboveLevel_mm || area(highest.region) < kBroadShare * area(chart_.outline()))
    return;
  std::optional<Mill> best;
  double least = 1e300;
  for (const cutting::Cutter* c : flatMills(work_)) {
    const std::optional<Mill> m = mill(*c, cutting::CutKind::Floor, depth);
    if (!m || m->conditions.axialStep.base <= 0) continue;
    const double layers = std::ceil(depth / toMm(m->conditions.axialStep) - 1e-9);
    const double path = area(work_.blank) / toMm(m->conditions.radialStep) + 0.5 * perimeter(work_.blank);
    const double money = layers * path / m->conditions.feed.base * moneyPerSecond(work_, *c, m->conditions);
    if (money < least) {
      least = money;
      best = m;
    }
  }
  if (!best) {
    note(NoteSeverity::LeftOut, "no-skim-cutter",
         "No flat cutter in the crib has floor conditions for this material, so the skim is not priced.");
    return;
  }
  const double step = toMm(best->conditions.axialStep);
  const int layers = std::max(1, static_cast<int>(std::ceil(depth / step - 1e-9)));
  start(OperationKind::Skim, *best, style(false, *best, work_.blankTop_mm), "cheapest path over the whole blank");
  FloorTask task;
  task.floor = work_.blank;
  task.radius_mm = best->radius();
  task.step_mm = toMm(best->conditions.radialStep);
  for (int i = 1; i <= layers; ++i) {
    const double z = i == layers ? end : work_.blankTop_mm - depth * i / layers;
    walk_.follow(floorLayer(task, z));
    walk_.setTop(z);
  }
  finish();
  top_mm_ = end;
  skimmed_ = true;
}

std::optional<Candidate> Planner::candidate(const cutting::Cutter& cutter, double deepest_mm) {
  const std::optional<Mill> m = mill(cutter, cutting::CutKind::Rough, std::min(deepest_mm, reachOf(cutter)));
  if (!m || m->conditions.feed.base <= 0 || m->conditions.axialStep.base <= 0) return std::nullopt;
  Candidate k;
  k.radius_mm = m->radius();
  k.reach_mm = reachOf(cutter);
  k.step_mm = toMm(m->conditions.radialStep);
  k.layer_mm = toMm(m->conditions.axialStep);
  k.feed_mm_s = m->conditions.feed.base * work_.roughingShare;
  k.moneyPerSecond = moneyPerSecond(work_, cutter, m->conditions);
  k.slotStep_mm = m->slotStep_mm;
  k.slotFeed_mm_s = m->slotStepFeed.base;
  cutting::Conditions slot = m->conditions;
  slot.life = m->slotStepLife;
  k.slotMoneyPerSecond = moneyPerSecond(work_, cutter, slot);
  k.changeMoney = toSeconds(work_.toolChange) * work_.moneyPerMachineMinute / 60.0;
  k.obstacle = [this, c = &cutter](const Zone& z) -> const Region& {
    return z.obstacle.empty() ? z.obstacle : standing(*c, z.z_mm);
  };
  return k;
}

void Planner::chooseCutters() {
  const RoughSite s = site();
  const auto zone = [&](Region metal, Region obstacle, double z, const Region& place) {
    zones_.push_back({std::move(metal), std::move(obstacle), topBeside(place, z) - z, z, chart_.isTerrace(z)});
  };
  for (FloorZone& z : floorZones(chart_, s))
    if (!z.metal.empty()) zone(z.metal, z.obstacle, z.z_mm, z.metal);
  for (const Opening& o : openings_)
    if (std::min(top_mm_, stockTop(o.region)) > o.low_mm) zone(o.region, o.obstacle, o.low_mm, o.region);
  // Level floors that are only finished still decide which corners must be reached.
  for (const FloorLevel& f : chart_.floors())
    if (!worthRoughing(s, f.z_mm) && !chart_.obstacle(f.z_mm).empty() && f.z_mm < top_mm_ - kAboveLevel_mm)
      zone(f.region, chart_.obstacle(f.z_mm), f.z_mm, f.region);
  if (zones_.empty()) return;
  double deepest = 0.0;
  for (const Zone& z : zones_) deepest = std::max(deepest, z.depth_mm);

  std::vector<Candidate> candidates;
  std::vector<const cutting::Cutter*> mills;
  for (const cutting::Cutter* c : flatMills(work_)) {
    std::optional<Candidate> k = candidate(*c, deepest);
    if (!k) continue;
    // Two of one diameter: the one that stands first (by id) is kept.
    if (!candidates.empty() && candidates.back().radius_mm - k->radius_mm < 1e-9 &&
        candidates.back().reach_mm >= k->reach_mm)
      continue;
    candidates.push_back(std::move(*k));
    mills.push_back(c);
  }
  std::vector<double> heights;
  for (const Zone& z : zones_)
    if (!z.obstacle.empty()) heights.push_back(z.z_mm);
  prepareStanding(mills, heights);
  chain_ = chooseChain(zones_, candidates, fit(), wallAllowance());
  for (int i : chain_.cutters) cutters_.push_back(mills[static_cast<std::size_t>(i)]);
}

void Planner::closeNotes() {
  if (zones_.empty()) return;
  // Where no cutter fits anywhere the smallest of the crib tells what would have to be smaller.
  const std::vector<const cutting::Cutter*> mills = cutters_.empty() ? flatMills(work_) : cutters_;
  if (mills.empty()) {
    note(NoteSeverity::LeftOut, "no-rough-cutter",
         "No flat cutter in the crib can clear this side; its milling is not priced.");
    return;
  }
  const cutting::Cutter& smallest =
      **std::min_element(mills.begin(), mills.end(),
                         [](const cutting::Cutter* a, const cutting::Cutter* b) { return a->diameter < b->diameter; });
  std::vector<Corner> corners;
  for (std::size_t z = 0; z < zones_.size(); ++z) {
    if (zones_[z].soft) continue;
    Region left = z < chain_.left.size() ? chain_.left[z] : zones_[z].metal;
    if (!sawn_.empty()) left = subtract(left, offset(sawn_, kSawSlack_mm));
    for (Corner& c : cornersOf(zones_[z], left, 0.5 * toMm(smallest.diameter), fit())) corners.push_back(c);
  }
  for (const std::vector<Corner>& alike : grouped(corners)) {
    const Corner& first = alike.front();
    note(first.slot ? NoteSeverity::LeftOut : NoteSeverity::Doubt, first.slot ? "slot-left" : "corner-left",
         sentenceOf(alike, smallest.id, first.slot ? whyNotSawn(first.place) : std::string{}));
  }
}

SetupPlan Planner::run() {
  skim();
  if (work_.stage != Stage::Finish) drill(true);
  chooseCutters();
  findNarrow();
  if (work_.stage != Stage::Finish) rough();
  if (work_.stage != Stage::Rough) finishing();
  plan_.top_mm = top_mm_;
  plan_.gouged = removal_.gouged();
  return std::move(plan_);
}

void Planner::finishing() {
  floors(false);
  if (work_.stage == Stage::All) drill(false);
  openings();
  for (std::size_t i = 0; i < cutters_.size(); ++i) narrowWith(i);
  walls();
  roots();
  carve();
  floors(true);
  if (work_.cutOutline) outline();
  chamfers();
  saws();
  closeNotes();
}

}  // namespace chipledger::path
