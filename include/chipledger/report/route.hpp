#pragma once
// Shop-built against full custom: for a terminal, as JSON ("chipledger.route/1", docs/chipledger.route.schema.json) and
// as CSV. Same input, same bytes.
#include <chipledger/report/table.hpp>
#include <chipledger/route/route.hpp>

#include <string>

namespace chipledger::report {

inline constexpr const char* kRouteSchema = "chipledger.route/1";

/// The first screen answers for every variant; the rest is about the lead variant.
std::string renderRoute(const route::ProductResult& result, const TerminalOptions& options);
std::string routeJson(const route::ProductResult& result);
/// One row per variant, route and batch size:
/// variant,route,sets,currency,cost,cost_per_set,fixed,variable,net_per_set,left,owner_h,per_owner_h,machinist_h,bench_h,
/// packing_h,outside_h,spindle_h,weeks_low,weeks_high,bottleneck
std::string routeCsv(const route::ProductResult& result);

}  // namespace chipledger::report
