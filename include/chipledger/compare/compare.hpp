#pragma once
// Variants of one part side by side: which details moved, grew, came or went, and what that does to the price.
// The first variant is the one the others are held against. Money is per piece.
#include <chipledger/estimate/estimate.hpp>

#include <optional>
#include <string>
#include <vector>

namespace chipledger::compare {

enum class Fate { Same, Changed, Moved, Added, Gone };
const char* word(Fate fate);

/// One detail of the first variant or of the other.
struct DetailChange {
  Fate fate{Fate::Same};
  std::string before, after;  ///< names; empty when it is not there
  std::string what;           ///< "height 3.20 -> 3.50 mm; moved 1.2 mm"
  /// With minus without at the reference batch, where the details were priced and it can be taken away.
  std::optional<Money> beforePrice, afterPrice;
};

/// Details that go together in one variant, and those of the same sort in the other: "all islands". Where the other has
/// a single detail of that kind, that one stands for the group.
struct GroupChange {
  std::string before, after;                     ///< names of group or detail; empty where there is none
  std::optional<Money> beforePrice, afterPrice;  ///< with minus without at the reference batch
};

/// One line of the price at one batch size: other minus first.
struct LineDifference {
  ledger::Line line{ledger::Line::Metal};
  Money money;
  std::string cause;  ///< "6.35 plate instead of 2.54", "+9.8 min roughing, +1.2 min finishing"
};

struct Against {
  std::size_t variant{};                          ///< index into the list given
  bool sameGeometry{};                            ///< the two files hold the same part
  bool turnedOver{};                              ///< lies the other way up: its outer side is the first one's back
  std::vector<DetailChange> details;              ///< what is not the same, in shape or in price
  std::vector<GroupChange> groups;                ///< of either, in the order of the first, then of the other
  std::vector<estimate::Difference> differences;  ///< per batch
  std::vector<LineDifference> lines;              ///< at the reference batch, largest first
};

/// From this batch on `cheaper` costs less than `dearer`, below it the other way round. Between two batches that were
/// priced, and beyond the first and the last, a price is v + f / n through the two nearest: exact where no minutes fall
/// with the batch, else within the bend that learning leaves between them. With one batch the lines paid once are f.
struct Crossing {
  std::size_t cheaper{}, dearer{};
  int batch{};
};

struct Comparison {
  std::vector<Against> against;                 ///< one per variant after the first
  std::vector<std::size_t> cheapest;            ///< per batch: index of the cheapest variant
  std::vector<std::vector<std::size_t>> order;  ///< per batch: cheapest first
  std::vector<Crossing> crossings;              ///< within 1 ... 100,000 pieces
};

/// All variants must have been priced for the same batch sizes. Fails: Usage (fewer than two, different batches or
/// currencies).
Result<Comparison> compareVariants(const std::vector<estimate::Estimate>& variants);

/// How the details of `after` answer to those of `before`: by kind, side, place and size, each used once. Which side is
/// the outer one is found on each part by itself, so `after` is also tried turned over and end for end; what fits best
/// counts, as it lies when two fit alike.
struct Matching {
  std::vector<DetailChange> changes;
  bool turnedOver{};
};
Matching matchDetails(const detail::Details& before, const detail::Details& after);

/// Groups of both estimates side by side: by kind, by the side or direction they are cut from, by the smallest cutter
/// of each. With `after` turned over nothing on a side answers to the same words.
std::vector<GroupChange> matchGroups(const estimate::Estimate& before, const estimate::Estimate& after,
                                     bool turnedOver);

}  // namespace chipledger::compare
