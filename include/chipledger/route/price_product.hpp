#pragma once
// From a product file to the answers: every milled part is read and estimated once, then every variant is reckoned by
// every route. Overhead is the product's or the shop's, on everything; the estimates are made without.
#include <chipledger/route/reckon.hpp>

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace chipledger::route {

/// Crossings are sought up to this batch.
inline constexpr int kLargestBatch = 1000;

struct RouteOptions {
  std::vector<int> batches;  ///< empty: the product's, else the shop's
  std::optional<int> sets;   ///< the batch the answers are for
  std::vector<std::vector<Change>> whatIfs;
  std::string variant;  ///< only this one; empty: all
  bool advice{};        ///< plan the parts without each detail: what they must earn, what to cut (slow)
  bool tornado{true};
  int cell_um{};  ///< 0: chosen
  std::size_t mostCells{field::kMostCells};
  std::optional<Money> targetList;                                          ///< instead of the product's
  std::function<Result<part::Part>(const std::string& step)> read;          ///< how a STEP file is read
  std::function<void(const std::string& step, int done, int of)> progress;  ///< may be empty
};

/// Reads and prices every milled part once, then reckons every variant by every route.
/// Fails: what the reader and the estimate fail with; BadFile when a route leaves out what the parts need.
Result<ProductResult> priceProduct(const Product& product, const std::vector<Route>& routes, const shop::Shop& shop,
                                   const RouteOptions& options);

}  // namespace chipledger::route
