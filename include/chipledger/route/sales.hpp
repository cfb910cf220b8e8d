#pragma once
// From list price to what is left, and back.
//   received = list (1 - discount)                      what buyer or dealer pays, before sales tax
//   net      = received (1 - fees - warranty)
//   left     = net - cost
//   margin   = left / received
//   list     = cost / ((1 - discount) (1 - fees - warranty - margin))      the list price that keeps a margin
// Sales tax is on top and never in the margin. Money per set in the shop's currency. Common practice, no source.
#include <chipledger/route/product.hpp>

#include <optional>
#include <vector>

namespace chipledger::route {

struct SaleTerms {
  double discount{}, fees{}, warranty{}, salesTax{};
};

/// Steps add up exactly: list - discount = received; received - fees - warranty = net; net - cost = left.
struct Waterfall {
  Money list, discount, received, fees, warranty, net, cost, left;
  Money listWithTax;
  double margin{};  ///< left / received; 0 when nothing is received
};
Waterfall stepDown(Money list, Money cost, const SaleTerms& terms);

/// Mean net per set over channels: sum of share x net.
struct MeanNet {
  Money received, net;
  double netShare{};  ///< of list
};
MeanNet meanNet(Money list, const Terms& terms);

/// Absent when fees, warranty and margin leave nothing to pay the cost from.
std::optional<Money> listToKeep(Money cost, double margin, const SaleTerms& terms);
/// The same over all channels of the terms.
std::optional<Money> listToKeep(Money cost, double margin, const Terms& terms);
/// Cost per set that a list price allows at a margin over all channels.
Money costAllowed(Money list, double margin, const Terms& terms);
/// By how much list must rise to earn `cost` per set back, over all channels; absent when nothing of list is kept.
std::optional<Money> listRise(Money cost, const Terms& terms);
/// Up to the next multiple of `step` units.
Money roundedUp(Money list, double step);

SaleTerms termsOf(const Channel& channel, const Terms& terms);

}  // namespace chipledger::route
