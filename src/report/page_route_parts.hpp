#pragma once
// Pieces of the page of a product.
#include <chipledger/route/route.hpp>

#include <string>

namespace chipledger::report {

/// A list price up to its step, to be opened.
std::string roundedOpened(const route::ProductResult& product, const route::ListPrice& list);
/// From list to what is left by channel, and the list prices for each aim.
std::string waterfalls(const route::ProductResult& product, const route::RouteResult& built);
std::string buyList(const route::ProductResult& product, const route::BuyList& buy);
/// What details must earn, and what to cut for a target.
std::string earnings(const route::ProductResult& product, const route::VariantResult& variant);

}  // namespace chipledger::report
