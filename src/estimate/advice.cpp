#include <chipledger/estimate/advice.hpp>
#include <chipledger/parallel/parallel.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "estimate/candidates.hpp"

namespace chipledger::estimate {
namespace {

using detail::Detail;
using detail::DetailKind;

constexpr double kWorthSaying = 0.005;  ///< share of the price

}  // namespace

std::vector<GroupPrice> groupsOf(const detail::Details& details, const Estimate& estimate, const Replanner& replanner) {
  const std::vector<OperationResult>& operations = estimate.operations;
  std::vector<GroupPrice> groups;
  const auto add = [&](const std::string& name, std::vector<int> members) {
    if (members.size() < 2) return;
    GroupPrice group;
    group.name = name;
    group.details = std::move(members);
    groups.push_back(std::move(group));
  };
  add(std::string(kAllOfAKind) + "islands",
      where(details, [](const Detail& d) { return d.kind == DetailKind::Island; }));
  add(std::string(kAllOfAKind) + "pockets", where(details, [](const Detail& d) { return isPocket(d.kind); }));
  add(std::string(kAllOfAKind) + "windows",
      where(details, [](const Detail& d) { return d.kind == DetailKind::Window; }));
  add(kOnTheBack, where(details, [](const Detail& d) {
        return d.side == detail::Side::Back && d.kind != DetailKind::Body && d.kind != DetailKind::Outline;
      }));
  // A further direction is a setup, a fixture and its loading: what it serves, together.
  for (const setup::Setup& s : replanner.drawn().setups->setups) {
    if (s.plateSide) continue;
    add(kFromADirection + s.name, where(details, [&](const Detail& d) {
          return d.side == detail::Side::Other && d.kind != DetailKind::Undercut &&
                 std::any_of(d.faces.begin(), d.faces.end(), [&](part::FaceId f) {
                   return std::find(s.serves.begin(), s.serves.end(), f) != s.serves.end();
                 });
        }));
  }
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
  if (!smallest.empty()) add(kNeedsACutter + smallest, {touched.begin(), touched.end()});
  return groups;
}

void planGroup(const Replanner& replanner, GroupPrice& group) {
  const Replanned answer = replanner.without(group.details);
  group.withMinusWithout = answer.differences;
  group.why = answer.why;
}

std::vector<GroupPrice> priceGroups(const detail::Details& details, const Estimate& estimate,
                                    const Replanner& replanner) {
  std::vector<GroupPrice> groups = groupsOf(details, estimate, replanner);
  forEachTask(groups.size(), [&](std::size_t g) { planGroup(replanner, groups[g]); });
  return groups;
}

namespace {

/// What one separate boss may cost at each batch before milling it from solid is the cheaper way; `saves` are with
/// bosses for nothing.
void priceBosses(const Candidate& c, const shop::Shop& shop, const std::string& currency, Advice& advice) {
  const int count = c.variant.bosses.count;
  const double withOverhead = 1.0 + shop.rates.overhead;
  const bool screwed = c.variant.bosses.fixing == Bosses::Fixing::Screwed;
  const double screws = screwed ? static_cast<double>(c.variant.moreHoles.size()) * shop.boss.screwPrice : 0.0;
  std::string upTo;
  for (Difference& d : advice.saves) {
    const Money each = money(toUnits(d.money) / (count * withOverhead) - screws / count);
    advice.upTo.push_back(each);
    upTo += fmt::format("{}{:.2f} at {}", upTo.empty() ? "" : ", ", toUnits(each), d.size);
    const Money bought = money(count * shop.boss.price + screws);
    const Money overhead = money(toUnits(bought) * shop.rates.overhead);
    d.lines[static_cast<std::size_t>(ledger::Line::Metal)] -= bought;
    d.lines[static_cast<std::size_t>(ledger::Line::Overhead)] -= overhead;
    d.money -= bought + overhead;
  }
  advice.why += fmt::format("; reckoned with {:.2f} {} a boss, pays while one costs less than {}", shop.boss.price,
                            currency, upTo);
}

/// What an outside shop takes for the cuts goes against what milling them saves: cuts with the metal, the lot with
/// setting up, handling with the people.
void priceWire(int cuts, const shop::Shop& shop, const std::string& currency, Advice& advice) {
  const double withOverhead = 1.0 + shop.rates.overhead;
  std::string upTo;
  for (Difference& d : advice.saves) {
    const int pieces = std::max(1, d.size * shop.piecesPerSet);
    const Money cut = money(cuts * shop.wire.pricePerCut), lot = money(shop.wire.lotCharge / pieces),
                hands = money(toHours(shop.wire.handling) * shop.rates.benchPerHour);
    const double each = (toUnits(d.money) / withOverhead - toUnits(lot) - toUnits(hands)) / static_cast<double>(cuts);
    upTo += fmt::format("{}{:.2f} at {}", upTo.empty() ? "" : ", ", std::max(0.0, each), d.size);
    const Money overhead = money((toUnits(cut) + toUnits(lot) + toUnits(hands)) * shop.rates.overhead);
    const auto take = [&](ledger::Line line, Money m) {
      d.lines[static_cast<std::size_t>(line)] -= m;
      d.money -= m;
    };
    take(ledger::Line::Metal, cut);
    take(ledger::Line::Setup, lot);
    take(ledger::Line::People, hands);
    take(ledger::Line::Overhead, overhead);
  }
  advice.why += fmt::format(
      "; reckoned with {:.2f} {} a cut, {:.2f} a batch and {:.1f} min of handling; pays while one "
      "cut costs less than {}",
      shop.wire.pricePerCut, currency, shop.wire.lotCharge, toMinutes(shop.wire.handling), upTo);
}

}  // namespace

std::vector<Candidate> candidatesFor(const Replanner& replanner, const shop::Shop& shop, const Estimate& estimate) {
  const Ground ground{replanner, estimate, shop};
  std::vector<Candidate> candidates;
  lowerIslands(ground, candidates);
  widenNecks(ground, candidates);
  openRadii(ground, candidates);
  oneFamilyOfRadii(ground, candidates);
  shallowerPockets(ground, candidates);
  wipeSide(ground, candidates);
  wireCut(ground, candidates);
  separateBosses(ground, candidates);
  return candidates;
}

void planCandidate(const Replanner& replanner, Candidate& candidate) {
  // Cut outside, the lock cuts are as if they were taken away.
  const Replanned answer = candidate.variant.wireCuts > 0 ? replanner.without(candidate.advice.details)
                                                          : replanner.changed(candidate.variant);
  candidate.advice.saves = answer.differences;
  candidate.advice.why = answer.why;
}

std::vector<Advice> worthSaying(std::vector<Candidate> candidates, const shop::Shop& shop, const Estimate& estimate) {
  const auto reference = static_cast<std::size_t>(estimate.referenceBatch);
  const double price = toUnits(estimate.batches[reference].perPiece);
  std::vector<Advice> kept;
  for (Candidate& c : candidates) {
    if (c.advice.saves.empty()) continue;
    if (c.variant.bosses.count > 0) priceBosses(c, shop, estimate.currency, c.advice);
    // What a boss may cost is worth knowing even where today's boss would be dearer.
    if (c.variant.wireCuts > 0) priceWire(c.variant.wireCuts, shop, estimate.currency, c.advice);
    const bool wire = c.variant.wireCuts > 0;
    if (const Difference& d = c.advice.saves[reference]; wire && d.money < Money{})
      c.advice.change += fmt::format(": dearer by {:.2f} {} at {}, milling stays the cheaper way", -toUnits(d.money),
                                     estimate.currency, d.size);
    const bool boss = !c.advice.upTo.empty() && c.advice.upTo[reference].micros > 0;
    if (boss || wire || toUnits(c.advice.saves[reference].money) > kWorthSaying * price)
      kept.push_back(std::move(c.advice));
  }
  std::stable_sort(kept.begin(), kept.end(), [&](const Advice& a, const Advice& b) {
    return a.saves[reference].money > b.saves[reference].money;
  });
  return kept;
}

std::vector<Advice> advise(const Replanner& replanner, const shop::Shop& shop, const Estimate& estimate) {
  std::vector<Candidate> candidates = candidatesFor(replanner, shop, estimate);
  forEachTask(candidates.size(), [&](std::size_t c) { planCandidate(replanner, candidates[c]); });
  return worthSaying(std::move(candidates), shop, estimate);
}

}  // namespace chipledger::estimate
