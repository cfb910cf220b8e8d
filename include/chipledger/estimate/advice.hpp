#pragma once
// What would make the part cheaper. Every candidate is a change to the drawing that is planned again in full; only
// those that save money are kept, dearest first.
#include <chipledger/detail/change.hpp>
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/estimate/replan.hpp>

namespace chipledger::estimate {

/// Beginnings of the names of groups; what follows names the kind, the direction, the cutter.
inline constexpr const char* kAllOfAKind = "all ";
inline constexpr const char* kOnTheBack = "everything on the back";
inline constexpr const char* kFromADirection = "everything from ";
inline constexpr const char* kNeedsACutter = "everything that needs ";

/// All islands, all pockets, everything on the back, everything that needs the smallest end mill.
std::vector<GroupPrice> priceGroups(const detail::Details& details, const Estimate& estimate,
                                    const Replanner& replanner);

/// Candidates: islands lowered to the next plate step; necks widened so that the next larger cutter passes; inside
/// radii opened to the next larger cutter, or all drawn as the widest; pockets made a quarter shallower; blind details
/// moved to the side that is up anyway; lock cuts sent out to be cut by wire; islands replaced by separate bosses,
/// pressed in or screwed on, with the price up to which one pays. `estimate` holds the part as drawn (blank, cutters,
/// reference batch). Kept: what saves at the reference batch more than 0.5 % of the price, bosses that would pay at
/// some price, and the lock cut by wire whether it pays or not: its `saves` may be below 0.
std::vector<Advice> advise(const Replanner& replanner, const shop::Shop& shop, const Estimate& estimate);

}  // namespace chipledger::estimate
