#include <chipledger/compare/compare.hpp>
#include <chipledger/estimate/advice.hpp>

#include <algorithm>

namespace chipledger::compare {
namespace {

using detail::DetailKind;
using estimate::Estimate;
using estimate::GroupPrice;

std::optional<Money> priceOf(const std::vector<estimate::Difference>& differences, const Estimate& e) {
  const auto reference = static_cast<std::size_t>(e.referenceBatch);
  return reference < differences.size() ? std::optional(differences[reference].money) : std::nullopt;
}

bool starts(const std::string& name, const char* with) { return name.rfind(with, 0) == 0; }

/// The group of `among` that answers to `group`, if any.
const GroupPrice* sameSort(const GroupPrice& group, const std::vector<GroupPrice>& among, bool turnedOver) {
  const bool bySide = group.name == estimate::kOnTheBack || starts(group.name, estimate::kFromADirection);
  if (turnedOver && bySide) return nullptr;
  for (const GroupPrice& g : among) {
    // There is one smallest cutter, whichever it is.
    const bool smallest = starts(group.name, estimate::kNeedsACutter) && starts(g.name, estimate::kNeedsACutter);
    if (smallest || g.name == group.name) return &g;
  }
  return nullptr;
}

bool pocketLike(DetailKind kind) { return kind == DetailKind::Pocket || kind == DetailKind::OpenPocket; }

/// The only detail of the kind that the group takes whole: groups have two members and more.
const estimate::DetailPrice* onlyOne(const GroupPrice& group, const Estimate& of, const Estimate& other) {
  if (!starts(group.name, estimate::kAllOfAKind) || group.details.empty()) return nullptr;
  const DetailKind kind = of.details.list[static_cast<std::size_t>(group.details.front())].kind;
  const estimate::DetailPrice* found = nullptr;
  for (const estimate::DetailPrice& p : other.detailPrices) {
    const DetailKind k = other.details.list[static_cast<std::size_t>(p.detail)].kind;
    if (k != kind && !(pocketLike(k) && pocketLike(kind))) continue;
    if (found != nullptr) return nullptr;
    found = &p;
  }
  return found;
}

}  // namespace

std::vector<GroupChange> matchGroups(const Estimate& before, const Estimate& after, bool turnedOver) {
  std::vector<GroupChange> changes;
  const auto side = [&](const GroupPrice& group, const Estimate& of, const Estimate& other, std::string& name,
                        std::optional<Money>& price) {
    if (const GroupPrice* g = sameSort(group, other.groups, turnedOver)) {
      name = g->name;
      price = priceOf(g->withMinusWithout, other);
    } else if (const estimate::DetailPrice* p = onlyOne(group, of, other)) {
      name = other.details.list[static_cast<std::size_t>(p->detail)].name;
      price = priceOf(p->withMinusWithout, other);
    }
  };
  for (const GroupPrice& g : before.groups) {
    GroupChange c;
    c.before = g.name;
    c.beforePrice = priceOf(g.withMinusWithout, before);
    side(g, before, after, c.after, c.afterPrice);
    changes.push_back(std::move(c));
  }
  for (const GroupPrice& g : after.groups) {
    if (sameSort(g, before.groups, turnedOver) != nullptr) continue;
    GroupChange c;
    c.after = g.name;
    c.afterPrice = priceOf(g.withMinusWithout, after);
    side(g, after, before, c.before, c.beforePrice);
    changes.push_back(std::move(c));
  }
  return changes;
}

}  // namespace chipledger::compare
