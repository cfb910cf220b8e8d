#pragma once
// Charts of a product: when a batch pays, who has too little time, what moves what is left.
#include <chipledger/route/route.hpp>

#include <string>

namespace chipledger::report {

/// Money per owner hour over the batch, against what the custom bench earns; the crossings are named.
std::string crossingChart(const route::VariantResult& variant, const std::string& currency);
/// Hours needed beside hours to have in the weeks of the batch, for each person and machine; the neck is named.
std::string capacityChart(const route::Capacity& capacity);
/// What is left of the batch at the ends of each value's range.
std::string tornadoChart(const route::VariantResult& variant, Money left, const std::string& currency);

}  // namespace chipledger::report
