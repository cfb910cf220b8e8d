#include <chipledger/route/client.hpp>

#include <algorithm>

namespace chipledger::route {

namespace {

const RouteResult* shopBuilt(const VariantResult& v) {
  if (v.shopBuilt >= v.routes.size()) return nullptr;
  const RouteResult& r = v.routes[v.shopBuilt];
  return r.reference < r.batches.size() ? &r : nullptr;
}

class Asker {
public:
  Asker(const ProductResult& product, Money list, Money cost) : product_(product), list_(list), cost_(cost) {}

  ClientPrice at(int sets, Money cost, const Capacity& capacity) const {
    ClientPrice p;
    p.sets = sets;
    const Money more = listRise(cost - cost_, product_.terms).value_or(Money{});
    p.price = roundedUp(std::max(Money{}, list_ + more), product_.terms.priceStep);
    p.withTax = p.price + money(toUnits(p.price) * product_.terms.salesTax);
    if (capacity.missing.empty()) p.weeks = capacity.weeks;
    return p;
  }

private:
  const ProductResult& product_;
  Money list_, cost_;
};

}  // namespace

std::size_t listedVariant(const ProductResult& product) {
  const auto stands =
      std::find_if(product.variants.begin(), product.variants.end(), [](const VariantResult& v) { return v.asInFile; });
  return stands == product.variants.end() ? 0 : static_cast<std::size_t>(stands - product.variants.begin());
}

std::vector<ClientOption> clientOptions(const ProductResult& product) {
  if (product.variants.empty()) return {};
  const std::size_t listed = listedVariant(product);
  const RouteResult* base = shopBuilt(product.variants[listed]);
  if (base == nullptr || !listRise(money(1), product.terms)) return {};
  const Money cost = base->batches[base->reference].stack.perSet;
  Money list = base->list;
  if (list <= Money{}) list = listToKeep(cost, product.terms.wantedMargin, product.terms).value_or(Money{});
  const Asker asker(product, list, cost);
  std::vector<ClientOption> options;
  const auto add = [&](std::size_t index) {
    const VariantResult& v = product.variants[index];
    const RouteResult* r = shopBuilt(v);
    if (r == nullptr) return;
    ClientOption option{v.name, index == listed, {}};
    for (const BatchResult& b : r->batches) option.prices.push_back(asker.at(b.sets, b.stack.perSet, b.capacity));
    options.push_back(std::move(option));
    const BatchResult& now = r->batches[r->reference];
    for (const Earning& e : v.earnings) {
      if (e.perSet <= Money{}) continue;
      ClientOption without{v.name + (v.name.empty() ? "" : " ") + "without " + e.what, false, {}};
      without.prices.push_back(asker.at(now.sets, now.stack.perSet - e.perSet, now.capacity));
      options.push_back(std::move(without));
    }
  };
  add(listed);
  for (std::size_t i = 0; i < product.variants.size(); ++i)
    if (i != listed) add(i);
  return options;
}

std::optional<Money> askedFor(Money cost, const Terms& terms) {
  const auto exact = listToKeep(cost, terms.wantedMargin, terms);
  if (!exact) return std::nullopt;
  return roundedUp(*exact, terms.priceStep);
}

}  // namespace chipledger::route
