#pragma once
// From reckoned routes to answers: crossings, list prices, what details must earn, what to cut, what moves the result.
#include <chipledger/route/price_product.hpp>

namespace chipledger::route {

struct Asked {
  const Product& product;
  const shop::Shop& shop;
  const RouteOptions& options;
  const std::vector<int>& batches;
  int sets{};
};

/// Fills the routes, the yardstick and everything that follows from them; `variant` holds its milled pieces.
void answer(VariantResult& variant, std::vector<Reckoner>& reckoners, const Asked& asked);

/// Each variant held against the first, at the reference batch.
void againstFirst(ProductResult& result);

/// What can be taken out or changed on the milled pieces, largest saving first; empty without advice.
std::vector<Cut> cutsOf(const std::vector<MilledPiece>& milled, double overhead);
/// Marks the shortest list that saves `wanted`; true when it does. A single cut that is just enough is taken before
/// several, else the largest first; two cuts of one detail are never taken together.
bool markNeeded(std::vector<Cut>& cuts, Money wanted);

/// The values typed in the product and the routes, and those of the shop that a route stands on.
Assumptions assumptionsOf(const Product& product, const std::vector<Route>& routes, const shop::Shop& shop);

}  // namespace chipledger::route
