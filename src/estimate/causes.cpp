#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "estimate/causes.hpp"

namespace chipledger::estimate {
namespace {

constexpr double kMinutesWorthSaying = 0.05;
constexpr double kHoursWorthSaying = 0.05;
constexpr double kScrapWorthSaying = 0.0005;

/// Operations as the owner groups them.
enum class Work { Roughing, Finishing, Carving, Holes, Edges, Count };
constexpr const char* kWords[] = {"roughing", "finishing", "carving", "holes", "edges"};

Work workOf(path::OperationKind kind) {
  using path::OperationKind;
  switch (kind) {
    case OperationKind::Skim:
    case OperationKind::Rough:
    case OperationKind::RestRough:
    case OperationKind::Slot:
      return Work::Roughing;
    case OperationKind::Floor:
    case OperationKind::Wall:
    case OperationKind::Outline:
    case OperationKind::IslandTop:
    case OperationKind::RootRadius:
    case OperationKind::Saw:
      return Work::Finishing;
    case OperationKind::Carve:
      return Work::Carving;
    case OperationKind::Spot:
    case OperationKind::Drill:
    case OperationKind::Ream:
    case OperationKind::Counterbore:
    case OperationKind::Tap:
    case OperationKind::ThreadMill:
      return Work::Holes;
    case OperationKind::Countersink:
    case OperationKind::Chamfer:
      return Work::Edges;
  }
  return Work::Finishing;
}

using Times = std::array<double, static_cast<std::size_t>(Work::Count)>;

Times timesOf(const MachinePlan& plan, double& changes) {
  Times times{};
  changes = 0.0;
  for (const auto& run : plan.runs)
    for (std::size_t o = 0; o < run->minutes.size(); ++o) {
      times[static_cast<std::size_t>(workOf(run->plan.operations[o].kind))] +=
          toMinutes(toDuration(run->minutes[o].moves.likely));
      changes += toMinutes(toDuration(run->minutes[o].change));
    }
  return times;
}

std::vector<std::string> cuttersOf(const MachinePlan& plan) {
  std::vector<std::string> ids;
  for (const auto& run : plan.runs)
    for (const path::Operation& op : run->plan.operations) ids.push_back(op.cutter);
  std::sort(ids.begin(), ids.end());
  ids.erase(std::unique(ids.begin(), ids.end()), ids.end());
  return ids;
}

std::string joined(const std::vector<std::string>& words) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i)
    text += (i == 0 ? "" : (i + 1 == words.size() ? " and " : ", ")) + words[i];
  return text;
}

}  // namespace

CauseSide causeSide(const PriceInput& input, const ledger::Ledger& book) {
  CauseSide side;
  side.plan = input.plan;
  for (const ledger::Entry& e : book.entries())
    if (e.line == ledger::Line::People && e.setup == ledger::kShared) side.bench += e.hands;
  side.scrapShare = scrapShare(input);
  side.once = designCost(input).hands;
  return side;
}

double carvingMinutes(const MachinePlan& plan) {
  double changes = 0.0;
  return timesOf(plan, changes)[static_cast<std::size_t>(Work::Carving)];
}

std::string causes(const CauseSide& with, const CauseSide& without) {
  std::vector<std::string> list;
  const MachinePlan& a = *with.plan;
  const MachinePlan& b = *without.plan;
  if (a.blank.step != b.blank.step)
    list.push_back(fmt::format("{:.2f} plate instead of {:.2f}", toMm(a.blank.step), toMm(b.blank.step)));
  double changesA = 0.0, changesB = 0.0;
  const Times x = timesOf(a, changesA), y = timesOf(b, changesB);
  const auto say = [&](double minutes, const char* word) {
    if (std::abs(minutes) >= kMinutesWorthSaying) list.push_back(fmt::format("{:+.1f} min {}", minutes, word));
  };
  for (std::size_t w = 0; w < x.size(); ++w) say(x[w] - y[w], kWords[w]);
  say(changesA - changesB, "tool changes");
  std::vector<std::string> only, spared;
  const auto p = cuttersOf(a), q = cuttersOf(b);
  std::set_difference(p.begin(), p.end(), q.begin(), q.end(), std::back_inserter(only));
  std::set_difference(q.begin(), q.end(), p.begin(), p.end(), std::back_inserter(spared));
  if (!only.empty()) list.push_back("alone needs " + joined(only));
  if (!spared.empty()) list.push_back("spares " + joined(spared));
  const int setups = static_cast<int>(a.runs.size()) - static_cast<int>(b.runs.size());
  if (setups != 0) list.push_back(fmt::format("{:+d} setup{}", setups, std::abs(setups) == 1 ? "" : "s"));
  say(toMinutes(toDuration(with.bench)) - toMinutes(toDuration(without.bench)), "bench");
  if (const double s = with.scrapShare - without.scrapShare; std::abs(s) >= kScrapWorthSaying)
    list.push_back(fmt::format("{:+.1f} % scrap", 100.0 * s));
  if (const double h = toHours(toDuration(with.once)) - toHours(toDuration(without.once));
      std::abs(h) >= kHoursWorthSaying)
    list.push_back(fmt::format("{:+.1f} h programming and fixture", h));
  if (list.empty()) return "less than a twentieth of a minute of anything";
  std::string text = list.front();
  for (std::size_t i = 1; i < list.size(); ++i) text += "; " + list[i];
  return text;
}

}  // namespace chipledger::estimate
