#include <chipledger/estimate/advice.hpp>
#include <chipledger/parallel/parallel.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <set>

namespace chipledger::estimate {
namespace {

using detail::Detail;
using detail::DetailKind;

constexpr double kSameHeight_mm = 0.05;   ///< islands within this are one height to the owner
constexpr double kLargestLowering = 0.6;  ///< of an island's height: beyond that it is another design
constexpr double kShallower = 0.25;       ///< of a pocket's depth
constexpr double kRounding_mm = 0.05;     ///< advice is given in steps a drawing would use
constexpr double kWorthSaying = 0.005;    ///< share of the price

bool isPocket(DetailKind kind) { return kind == DetailKind::Pocket || kind == DetailKind::OpenPocket; }

std::vector<int> where(const detail::Details& details, const std::function<bool(const Detail&)>& test) {
  std::vector<int> found;
  for (std::size_t i = 0; i < details.list.size(); ++i)
    if (test(details.list[i])) found.push_back(static_cast<int>(i));
  return found;
}

double downToStep(double value) { return std::floor(value / kRounding_mm + 1e-6) * kRounding_mm; }

struct Candidate {
  Advice advice;
  std::vector<field::Change> changes;
};

/// Lowers every island that reaches the top so far that the part fits the next thinner plate.
void lowerIslands(const detail::Details& details, const shop::Shop& shop, const Estimate& e,
                  std::vector<Candidate>& out) {
  const auto rules = shop.plates.find(e.material);
  if (rules == shop.plates.end()) return;
  const double needed = toMm(e.blank.needed);
  const auto& steps = rules->second.steps;
  double thinner = 0.0;
  for (Length step : steps)
    if (step < e.blank.step) thinner = toMm(step);
  if (thinner <= 0.0) return;
  double top = 0.0;
  const auto islands = where(details, [](const Detail& d) { return d.kind == DetailKind::Island; });
  for (int i : islands) top = std::max(top, details.list[static_cast<std::size_t>(i)].high_mm);
  if (islands.empty()) return;
  double lower = std::ceil((needed - thinner) / kRounding_mm - 1e-6) * kRounding_mm;
  Candidate c;
  double newHeight = 0.0;
  int count = 0;
  for (int i : islands) {
    const Detail& d = details.list[static_cast<std::size_t>(i)];
    // An island below the others need only come down to where they end.
    const double by = lower - (top - d.high_mm);
    if (by <= kSameHeight_mm / 2) continue;
    const double height = d.high_mm - d.low_mm;
    if (by > kLargestLowering * height) return;
    field::Change change;
    change.kind = field::Change::Kind::Lift;
    change.lift.region = d.footprint;
    change.lift.above_mm = d.low_mm + 0.75 * height;
    change.lift.by_mm = -by;
    c.changes.push_back(change);
    c.advice.about = d.name;
    newHeight = height - by;
    ++count;
  }
  if (count == 0) return;
  if (count > 1) c.advice.about = "all islands";
  c.advice.change =
      fmt::format("lower {} to {:.2f} mm ({:.2f} less): the part then fits the {:.2f} plate",
                  count > 1 ? fmt::format("{} islands", count) : c.advice.about, newHeight, lower, thinner);
  c.advice.seen = true;
  out.push_back(std::move(c));
}

/// Opens inside radii to what the next larger end mill in use reaches.
void openRadii(const detail::Details& details, const shop::Shop& shop, const Estimate& e, std::vector<Candidate>& out) {
  std::set<double> diameters;
  for (const CutterUse& use : e.cutters)
    if (use.cutter.kind == cutting::CutterKind::Flat || use.cutter.kind == cutting::CutterKind::Bull)
      diameters.insert(toMm(use.cutter.diameter));
  if (diameters.size() < 2) return;
  const double smallest = *diameters.begin(), next = *std::next(diameters.begin());
  const double radius = std::ceil((0.5 * next + toMm(shop.practice.fitClearance)) * 20.0) / 20.0;
  Candidate all;
  int count = 0;
  for (const Detail& d : details.list) {
    const bool recess = isPocket(d.kind) || d.kind == DetailKind::Window;
    if (!recess || !d.dimensions.cornerRadius || toMm(*d.dimensions.cornerRadius) >= radius) continue;
    if (toMm(*d.dimensions.cornerRadius) < 0.5 * smallest) continue;
    const Region opened = offset(offset(d.footprint, -radius), radius);
    if (opened.empty()) continue;
    field::Change change;
    change.prism.act = field::Prism::Act::Add;
    change.prism.region = offset(offset(subtract(d.footprint, opened), -0.005), 0.005);
    change.prism.low_mm = d.low_mm;
    change.prism.high_mm = d.high_mm;
    if (change.prism.region.empty()) continue;
    all.changes.push_back(change);
    all.advice.about = d.name;
    ++count;
  }
  if (count == 0) return;
  if (count > 1) all.advice.about = fmt::format("{} recesses", count);
  all.advice.change =
      fmt::format("open the inside radii of {} to R{:.2f}: \xC3\x98{:g} then does what needs \xC3\x98{:g} now",
                  all.advice.about, radius, next, smallest);
  out.push_back(std::move(all));
}

void shallowerPockets(const detail::Details& details, std::vector<Candidate>& out) {
  for (const Detail& d : details.list) {
    if (d.kind != DetailKind::Pocket || d.through || !d.dimensions.depth) continue;
    const double depth = toMm(*d.dimensions.depth);
    const double by = downToStep(kShallower * depth);
    if (by <= 0.0) continue;
    Candidate c;
    field::Change change;
    change.prism.act = field::Prism::Act::Add;
    change.prism.region = d.footprint;
    const bool fromOuter = d.side != detail::Side::Back;
    change.prism.low_mm = fromOuter ? d.low_mm : d.high_mm - by;
    change.prism.high_mm = fromOuter ? d.low_mm + by : d.high_mm;
    c.changes.push_back(change);
    c.advice.about = d.name;
    c.advice.change = fmt::format("make {} {:.2f} mm deep instead of {:.2f}", d.name, depth - by, depth);
    out.push_back(std::move(c));
  }
}

}  // namespace

std::vector<GroupPrice> priceGroups(const detail::Details& details, const Estimate& estimate,
                                    const Replanner& replanner) {
  const std::vector<OperationResult>& operations = estimate.operations;
  std::vector<GroupPrice> groups;
  const auto add = [&](const std::string& name, std::vector<int> members) {
    if (members.size() < 2) return;
    GroupPrice group;
    group.name = name;
    group.details = std::move(members);
    groups.push_back(std::move(group));
  };
  add("all islands", where(details, [](const Detail& d) { return d.kind == DetailKind::Island; }));
  add("all pockets", where(details, [](const Detail& d) { return isPocket(d.kind); }));
  add("all windows", where(details, [](const Detail& d) { return d.kind == DetailKind::Window; }));
  add("everything on the back", where(details, [](const Detail& d) {
        return d.side == detail::Side::Back && d.kind != DetailKind::Body && d.kind != DetailKind::Outline;
      }));
  // Whatever the smallest end mill touches.
  std::string smallest;
  Length diameter = mm(1e9);
  for (const CutterUse& use : estimate.cutters) {
    const bool mill = use.cutter.kind == cutting::CutterKind::Flat || use.cutter.kind == cutting::CutterKind::Bull;
    if (mill && use.cutter.diameter < diameter) {
      diameter = use.cutter.diameter;
      smallest = use.cutter.id;
    }
  }
  std::set<int> touched;
  for (const OperationResult& op : operations)
    if (op.operation.cutter == smallest)
      for (const path::Share& share : op.operation.shares)
        if (share.detail >= 0 && details.list[static_cast<std::size_t>(share.detail)].kind != DetailKind::Body &&
            details.list[static_cast<std::size_t>(share.detail)].kind != DetailKind::Outline)
          touched.insert(share.detail);
  if (!smallest.empty()) add("everything that needs " + smallest, {touched.begin(), touched.end()});

  forEachTask(groups.size(), [&](std::size_t g) {
    const Replanned answer = replanner.without(groups[g].details);
    groups[g].withMinusWithout = answer.differences;
    groups[g].why = answer.why;
  });
  return groups;
}

std::vector<Advice> advise(const detail::Details& details, const Replanner& replanner, const shop::Shop& shop,
                           const Estimate& estimate) {
  std::vector<Candidate> candidates;
  lowerIslands(details, shop, estimate, candidates);
  openRadii(details, shop, estimate, candidates);
  shallowerPockets(details, candidates);
  forEachTask(candidates.size(), [&](std::size_t c) {
    const Replanned answer = replanner.changed(candidates[c].changes);
    candidates[c].advice.saves = answer.differences;
    candidates[c].advice.why = answer.why;
  });
  const auto reference = static_cast<std::size_t>(estimate.referenceBatch);
  const double price = toUnits(estimate.batches[reference].perPiece);
  std::vector<Advice> kept;
  for (Candidate& c : candidates)
    if (!c.advice.saves.empty() && toUnits(c.advice.saves[reference].money) > kWorthSaying * price)
      kept.push_back(std::move(c.advice));
  std::stable_sort(kept.begin(), kept.end(), [&](const Advice& a, const Advice& b) {
    return a.saves[reference].money > b.saves[reference].money;
  });
  return kept;
}

}  // namespace chipledger::estimate
