#pragma once
// What would make the part cheaper. Every candidate is a change to the metal that is planned again in full; only those
// that save money are kept, dearest first.
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/estimate/replan.hpp>

namespace chipledger::estimate {

/// All islands, all pockets, everything on the back, everything that needs the smallest end mill.
std::vector<GroupPrice> priceGroups(const detail::Details& details, const Estimate& estimate,
                                    const Replanner& replanner);

/// Candidates: islands lowered to the next plate step; inside radii opened to the next larger cutter; pockets made a
/// quarter shallower. `estimate` holds the part as drawn (blank, operations, reference batch).
std::vector<Advice> advise(const detail::Details& details, const Replanner& replanner, const shop::Shop& shop,
                           const Estimate& estimate);

}  // namespace chipledger::estimate
