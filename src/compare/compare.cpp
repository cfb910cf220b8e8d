#include <chipledger/compare/compare.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace chipledger::compare {
namespace {

using estimate::Estimate;
using ledger::Line;

constexpr double kLargestBatch = 100000;

double roughingMinutes(const Estimate& e) {
  double sum = 0.0;
  for (const estimate::OperationResult& op : e.operations) {
    const path::OperationKind kind = op.operation.kind;
    if (kind == path::OperationKind::Rough || kind == path::OperationKind::RestRough ||
        kind == path::OperationKind::Slot || kind == path::OperationKind::Skim)
      sum += toMinutes(toDuration(op.minutes.likely));
  }
  return sum;
}

double allMinutes(const Estimate& e) { return toMinutes(toDuration(e.ledger.minutes().likely)); }
double handMinutes(const Estimate& e) { return toMinutes(toDuration(e.ledger.hands())); }

std::string noteOf(const Estimate& e, Line line) {
  for (const ledger::Entry& entry : e.ledger.entries())
    if (entry.line == line && !entry.note.empty()) return entry.note;
  return "";
}

std::string causeOf(const Estimate& a, const Estimate& b, Line line) {
  switch (line) {
    case Line::Metal:
      if (a.blank.step != b.blank.step)
        return fmt::format("{:.2f} plate instead of {:.2f}", toMm(b.blank.step), toMm(a.blank.step));
      return fmt::format("{:.1f} cm3 of plate instead of {:.1f}", toCm3(b.blank.volume), toCm3(a.blank.volume));
    case Line::Machine: {
      const double rough = roughingMinutes(b) - roughingMinutes(a);
      return fmt::format("{:+.1f} min roughing, {:+.1f} min of the rest", rough, allMinutes(b) - allMinutes(a) - rough);
    }
    case Line::People:
      return fmt::format("{:+.1f} min of hands", handMinutes(b) - handMinutes(a));
    case Line::Cutters: {
      std::string more;
      for (const estimate::CutterUse& use : b.cutters) {
        const bool known = std::any_of(a.cutters.begin(), a.cutters.end(),
                                       [&](const estimate::CutterUse& u) { return u.cutter.id == use.cutter.id; });
        if (!known) more += (more.empty() ? "also needs " : ", ") + use.cutter.id;
      }
      return more.empty() ? "minutes in metal" : more;
    }
    case Line::Setup:
    case Line::Fixture:
      return a.setups.size() == b.setups.size()
                 ? "what is on the part"
                 : fmt::format("{:+d} setup", static_cast<int>(b.setups.size()) - static_cast<int>(a.setups.size()));
    case Line::Scrap:
      return noteOf(a, line) + " -> " + noteOf(b, line);
    case Line::Overhead:
      return "follows the rest";
  }
  return "";
}

/// Price per piece is each + once / n.
struct Curve {
  double each{}, once{};
};

/// Of one batch: lines that are paid once are shared by its pieces, overhead follows the rest.
Curve curveOf(const estimate::BatchPrice& batch) {
  double shared = 0.0, overhead = 0.0, all = 0.0;
  for (std::size_t l = 0; l < estimate::kLineCount; ++l) {
    const double line = toUnits(batch.lines[l]);
    all += line;
    if (ledger::kLines[l] == Line::Overhead) overhead = line;
    if (ledger::kLines[l] == Line::Setup || ledger::kLines[l] == Line::Fixture) shared += line;
  }
  if (all > overhead) shared *= all / (all - overhead);
  return {all - shared, shared * batch.size};
}
Curve curveThrough(const estimate::BatchPrice& a, const estimate::BatchPrice& b) {
  const double once = (toUnits(a.perPiece) - toUnits(b.perPiece)) / (1.0 / a.size - 1.0 / b.size);
  return {toUnits(a.perPiece) - once / a.size, once};
}

/// A stretch of batch sizes and the curve of each variant over it: above `from`, up to `to`.
struct Stretch {
  double from{}, to{};
  std::vector<Curve> curves;
};

std::vector<Stretch> stretchesOf(const std::vector<Estimate>& variants) {
  std::vector<std::size_t> bySize(variants.front().batches.size());
  std::iota(bySize.begin(), bySize.end(), std::size_t{0});
  const auto size = [&](std::size_t b) { return variants.front().batches[b].size; };
  std::sort(bySize.begin(), bySize.end(), [&](std::size_t a, std::size_t b) { return size(a) < size(b); });
  bySize.erase(std::unique(bySize.begin(), bySize.end(), [&](auto a, auto b) { return size(a) == size(b); }),
               bySize.end());
  std::vector<Stretch> all;
  if (bySize.size() < 2) {
    Stretch whole{0.0, kLargestBatch, {}};
    for (const Estimate& v : variants) whole.curves.push_back(curveOf(v.batches[bySize.front()]));
    return {whole};
  }
  for (std::size_t k = 0; k + 1 < bySize.size(); ++k) {
    Stretch s{k == 0 ? 0.0 : size(bySize[k]), k + 2 == bySize.size() ? kLargestBatch : size(bySize[k + 1]), {}};
    for (const Estimate& v : variants) s.curves.push_back(curveThrough(v.batches[bySize[k]], v.batches[bySize[k + 1]]));
    all.push_back(std::move(s));
  }
  return all;
}

void findCrossings(const std::vector<Estimate>& variants, Comparison& out) {
  for (const Stretch& s : stretchesOf(variants))
    for (std::size_t i = 0; i < variants.size(); ++i)
      for (std::size_t j = 0; j < variants.size(); ++j) {
        const Curve &a = s.curves[i], &b = s.curves[j];
        // i is dearer each but cheaper at once: j takes over from the crossing on.
        if (!(a.each > b.each) || !(a.once < b.once)) continue;
        const double n = (b.once - a.once) / (a.each - b.each);
        const double first = std::floor(n) + 1.0;
        if (n > s.from && n <= s.to && first >= 2.0 && first <= kLargestBatch)
          out.crossings.push_back({j, i, static_cast<int>(first)});
      }
}

std::optional<Money> priceOf(const Estimate& e, const std::string& detail) {
  for (std::size_t i = 0; i < e.detailPrices.size() && i < e.details.list.size(); ++i) {
    const auto& differences = e.detailPrices[i].withMinusWithout;
    if (e.details.list[i].name == detail && !differences.empty())
      return differences[static_cast<std::size_t>(e.referenceBatch)].money;
  }
  return std::nullopt;
}

/// Matched details with their prices, those that differ in shape or noticeably in price: a little goes with the share
/// of scrap in every price.
void changesOf(const Estimate& first, const Estimate& other, Against& out) {
  constexpr double kNoticed = 0.05, kNoticedLeast = 0.10;  // of the price; currency units
  Matching matching = matchDetails(first.details, other.details);
  out.turnedOver = matching.turnedOver;
  out.groups = matchGroups(first, other, matching.turnedOver);
  for (DetailChange& change : matching.changes) {
    if (!change.before.empty()) change.beforePrice = priceOf(first, change.before);
    if (!change.after.empty()) change.afterPrice = priceOf(other, change.after);
    bool noticed = change.fate != Fate::Same;
    if (change.beforePrice && change.afterPrice) {
      const double before = toUnits(*change.beforePrice), moved = std::abs(toUnits(*change.afterPrice) - before);
      noticed = noticed || moved > std::max(kNoticedLeast, kNoticed * std::abs(before));
    }
    if (noticed) out.details.push_back(std::move(change));
  }
}

}  // namespace

Result<Comparison> compareVariants(const std::vector<Estimate>& variants) {
  if (variants.size() < 2)
    return fault(FaultCode::Usage, "compare", "There is only one part to compare.", "Give two or more STEP files.");
  const Estimate& first = variants.front();
  for (const Estimate& v : variants) {
    const bool same = v.currency == first.currency &&
                      std::equal(v.batches.begin(), v.batches.end(), first.batches.begin(), first.batches.end(),
                                 [](const auto& a, const auto& b) { return a.size == b.size; });
    if (!same)
      return fault(FaultCode::Usage, v.file,
                   "The variants were priced for different batches or in different currencies.",
                   "Price them with the same shop file and --batch.");
  }
  Comparison out;
  const auto reference = static_cast<std::size_t>(first.referenceBatch);
  for (std::size_t k = 1; k < variants.size(); ++k) {
    const Estimate& other = variants[k];
    Against against;
    against.variant = k;
    against.sameGeometry = !first.fingerprint.empty() && first.fingerprint == other.fingerprint;
    if (!against.sameGeometry) changesOf(first, other, against);
    for (std::size_t b = 0; b < first.batches.size(); ++b) {
      estimate::Difference d;
      d.size = first.batches[b].size;
      for (std::size_t l = 0; l < estimate::kLineCount; ++l) {
        d.lines[l] = other.batches[b].lines[l] - first.batches[b].lines[l];
        d.money += d.lines[l];
      }
      against.differences.push_back(d);
    }
    for (std::size_t l = 0; l < estimate::kLineCount; ++l) {
      const Money money = against.differences[reference].lines[l];
      if (money != Money{})
        against.lines.push_back({ledger::kLines[l], money, causeOf(first, other, ledger::kLines[l])});
    }
    std::stable_sort(against.lines.begin(), against.lines.end(), [](const LineDifference& a, const LineDifference& b) {
      return std::abs(a.money.micros) > std::abs(b.money.micros);
    });
    out.against.push_back(std::move(against));
  }
  for (std::size_t b = 0; b < first.batches.size(); ++b) {
    std::vector<std::size_t> order(variants.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t i, std::size_t j) {
      return variants[i].batches[b].perPiece < variants[j].batches[b].perPiece;
    });
    out.cheapest.push_back(order.front());
    out.order.push_back(std::move(order));
  }
  findCrossings(variants, out);
  return out;
}

}  // namespace chipledger::compare
