#include <chipledger/route/sales.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::route {

Waterfall stepDown(Money list, Money cost, const SaleTerms& terms) {
  Waterfall w;
  w.list = list;
  w.discount = money(toUnits(list) * terms.discount);
  w.received = list - w.discount;
  w.fees = money(toUnits(w.received) * terms.fees);
  w.warranty = money(toUnits(w.received) * terms.warranty);
  w.net = w.received - w.fees - w.warranty;
  w.cost = cost;
  w.left = w.net - cost;
  w.listWithTax = list + money(toUnits(list) * terms.salesTax);
  w.margin = w.received.micros > 0 ? toUnits(w.left) / toUnits(w.received) : 0.0;
  return w;
}

namespace {

/// Share of list that is received, over all channels.
double receivedShare(const Terms& terms) {
  double share = 0.0;
  for (const Channel& channel : terms.channels) share += channel.share * (1.0 - channel.discount);
  return share;
}

std::optional<Money> listFor(Money cost, double received, double keptOfReceived) {
  const double share = received * keptOfReceived;
  if (!(share > 0.0)) return std::nullopt;
  return money(toUnits(cost) / share);
}

}  // namespace

MeanNet meanNet(Money list, const Terms& terms) {
  const double received = receivedShare(terms);
  MeanNet mean;
  mean.netShare = received * (1.0 - terms.fees - terms.warranty);
  mean.received = money(toUnits(list) * received);
  mean.net = money(toUnits(list) * mean.netShare);
  return mean;
}

std::optional<Money> listToKeep(Money cost, double margin, const SaleTerms& terms) {
  return listFor(cost, 1.0 - terms.discount, 1.0 - terms.fees - terms.warranty - margin);
}

std::optional<Money> listToKeep(Money cost, double margin, const Terms& terms) {
  return listFor(cost, receivedShare(terms), 1.0 - terms.fees - terms.warranty - margin);
}

Money costAllowed(Money list, double margin, const Terms& terms) {
  return money(toUnits(list) * receivedShare(terms) * (1.0 - terms.fees - terms.warranty - margin));
}

std::optional<Money> listRise(Money cost, const Terms& terms) {
  return listFor(cost, receivedShare(terms), 1.0 - terms.fees - terms.warranty);
}

Money roundedUp(Money list, double step) {
  // A list price that is a multiple but for the last counts stays what it is.
  constexpr double kRounding = 1e-6;
  if (!(step > 0.0)) return list;
  return money(std::ceil(toUnits(list) / step - kRounding) * step);
}

SaleTerms termsOf(const Channel& channel, const Terms& terms) {
  return {channel.discount, terms.fees, terms.warranty, terms.salesTax};
}

}  // namespace chipledger::route
