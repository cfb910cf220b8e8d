#include <chipledger/ledger/ledger.hpp>

#include <algorithm>
#include <numeric>

namespace chipledger::ledger {

const char* word(Line line) {
  switch (line) {
    case Line::Metal: return "metal";
    case Line::Machine: return "machine";
    case Line::People: return "people";
    case Line::Cutters: return "cutters";
    case Line::Setup: return "setup";
    case Line::Fixture: return "fixture";
    case Line::Scrap: return "scrap";
    case Line::Overhead: return "overhead";
  }
  return "";
}

namespace {
template <class Value, class Pick, class Keep>
Value sum(const std::vector<Entry>& entries, Pick pick, Keep keep) {
  Value total{};
  for (const Entry& entry : entries)
    if (keep(entry)) total += pick(entry);
  return total;
}
const auto kAll = [](const Entry&) { return true; };
const auto kRemoved = [](const Entry& e) { return e.removed; };
const auto kMinutes = [](const Entry& e) { return e.minutes; };
const auto kHands = [](const Entry& e) { return e.hands; };
const auto kCost = [](const Entry& e) { return e.cost; };
}  // namespace

VolumeCount Ledger::removed() const { return sum<VolumeCount>(entries_, kRemoved, kAll); }
VolumeCount Ledger::removedBySetup(int setup) const {
  return sum<VolumeCount>(entries_, kRemoved, [=](const Entry& e) { return e.setup == setup; });
}
VolumeCount Ledger::removedByDetail(int detail) const {
  return sum<VolumeCount>(entries_, kRemoved, [=](const Entry& e) { return e.detail == detail; });
}
Minutes Ledger::minutes() const { return sum<Minutes>(entries_, kMinutes, kAll); }
Minutes Ledger::minutesBySetup(int setup) const {
  return sum<Minutes>(entries_, kMinutes, [=](const Entry& e) { return e.setup == setup; });
}
Minutes Ledger::minutesByOperation(int operation) const {
  return sum<Minutes>(entries_, kMinutes, [=](const Entry& e) { return e.operation == operation; });
}
Minutes Ledger::minutesByDetail(int detail) const {
  return sum<Minutes>(entries_, kMinutes, [=](const Entry& e) { return e.detail == detail; });
}
TimeCount Ledger::hands() const { return sum<TimeCount>(entries_, kHands, kAll); }
TimeCount Ledger::handsBySetup(int setup) const {
  return sum<TimeCount>(entries_, kHands, [=](const Entry& e) { return e.setup == setup; });
}
Money Ledger::cost() const { return sum<Money>(entries_, kCost, kAll); }
Money Ledger::cost(Line line) const {
  return sum<Money>(entries_, kCost, [=](const Entry& e) { return e.line == line; });
}
Money Ledger::costByDetail(int detail) const {
  return sum<Money>(entries_, kCost, [=](const Entry& e) { return e.detail == detail; });
}

std::vector<std::int64_t> splitExactly(std::int64_t whole, const std::vector<double>& weights) {
  std::vector<std::int64_t> parts(weights.size(), 0);
  if (weights.empty()) return parts;
  const double total = std::accumulate(weights.begin(), weights.end(), 0.0);
  if (!(total > 0)) {
    parts.back() = whole;
    return parts;
  }
  std::vector<std::pair<double, std::size_t>> remainders;
  std::int64_t given = 0;
  for (std::size_t i = 0; i < weights.size(); ++i) {
    const double share = static_cast<double>(whole) * (weights[i] / total);
    parts[i] = static_cast<std::int64_t>(share);
    given += parts[i];
    remainders.emplace_back(-(share - static_cast<double>(parts[i])), i);
  }
  std::stable_sort(remainders.begin(), remainders.end());
  std::int64_t rest = whole - given;
  const std::int64_t step = rest < 0 ? -1 : 1;
  for (std::size_t k = 0; rest != 0; k = (k + 1) % remainders.size(), rest -= step) parts[remainders[k].second] += step;
  return parts;
}

}  // namespace chipledger::ledger
