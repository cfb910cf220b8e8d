#pragma once
// Sentences about routes that terminal and HTML share: shop-built or full custom, at what list price, how many of the
// owner's hours. Nothing here computes a result: it picks and words.
#include <chipledger/route/route.hpp>

#include <string>
#include <vector>

namespace chipledger::report {

/// With the currency's own decimals; in sentences whole units from 100 up.
std::string amountText(Money money, int decimals);
std::string amountRounded(Money money);

/// The variant that the sheet is about: most per owner hour at the batch asked for, shop-built; ties to the first.
std::size_t leadVariant(const route::ProductResult& result);
/// The batch asked for on the shop-built route.
const route::BatchResult& batchAsked(const route::VariantResult& variant);
const route::RouteResult& shopBuilt(const route::VariantResult& variant);

struct RouteSummary {
  std::string verdict;   ///< shop-built or full custom, and from which batch on
  std::string list;      ///< at what list price
  std::string hours;     ///< how many of the owner's hours
  std::string when;      ///< who is the bottleneck, weeks
  std::string channels;  ///< channels that sell at a loss, and what would mend it; empty without
  std::string moves;     ///< what moves the result most
};
RouteSummary summariseRoute(const route::ProductResult& result, std::size_t variant);

/// "from 32 sets", "from the first set", "not up to 1000 sets".
std::string fromBatch(const std::optional<int>& batch, int searchedTo);
std::string weeksText(const route::Capacity& capacity);
std::string listAimText(const route::ListPrice& price);

}  // namespace chipledger::report
