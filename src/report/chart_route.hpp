#pragma once
// Charts of a product: when a batch pays, who has too little time, what moves what is left.
#include <chipledger/route/route.hpp>

#include <string>

namespace chipledger::report {

// `index` is that of the variant among those of the page: figures open the numbers of its tables (anchors.hpp).
/// Money per owner hour over the batch, against what the custom bench earns; the crossings are named.
std::string crossingChart(const route::VariantResult& variant, std::size_t index, const std::string& currency);
/// Hours needed beside hours to have in the weeks of the batch, for each person and machine; the neck is named.
std::string capacityChart(const route::Capacity& capacity, std::size_t index);
/// What is left of the batch at the ends of each value's range.
std::string tornadoChart(const route::VariantResult& variant, std::size_t index, Money left,
                         const std::string& currency);
inline constexpr std::size_t kTornadoRows = 10;

}  // namespace chipledger::report
