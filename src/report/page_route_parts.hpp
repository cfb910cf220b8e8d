#pragma once
// Pieces of the page of a product.
#include <chipledger/route/route.hpp>

#include <optional>
#include <string>

namespace chipledger::report {

/// A list price up to its step, to be opened.
std::string roundedOpened(const route::ProductResult& product, const route::ListPrice& list);
/// From list to what is left by channel, and the list prices for each aim.
std::string waterfalls(const route::ProductResult& product, const route::RouteResult& built);
std::string buyList(const route::ProductResult& product, const route::BuyList& buy);
/// "from 12 sets on", which opens to what is left there; `what` says what is held from there on.
std::string fromOpened(const route::RouteResult& built, const std::optional<int>& sets, const std::string& what,
                       const std::string& currency, const std::string& name = "");
/// Hours needed and to have of each person and machine in the weeks of the batch; `index` is that of the variant.
std::string capacityTable(const route::BatchResult& batch, std::size_t index);
/// What is left of the batch at the ends of each value's range.
std::string tornadoTable(const route::VariantResult& variant, std::size_t index, const route::BatchResult& batch,
                         const std::string& currency);
/// What details must earn, and what to cut for a target.
std::string earnings(const route::ProductResult& product, const route::VariantResult& variant);

}  // namespace chipledger::report
