#include <chipledger/report/number.hpp>
#include <chipledger/report/route.hpp>

#include "report/csv_cell.hpp"

namespace chipledger::report {

std::string routeCsv(const route::ProductResult& result) {
  std::string out =
      "variant,route,sets,currency,cost,cost_per_set,fixed,variable,net_per_set,left,owner_h,per_owner_h,machinist_h,"
      "bench_h,packing_h,outside_h,spindle_h,weeks_low,weeks_high,bottleneck\n";
  const auto amount = [](Money m) { return shortest(toUnits(m)); };
  for (const route::VariantResult& v : result.variants)
    for (const route::RouteResult& r : v.routes)
      for (const route::BatchResult& b : r.batches) {
        out += csvCell(v.name) + ',' + csvCell(r.name) + ',' + std::to_string(b.sets) + ',' + csvCell(result.currency);
        for (const Money m : {b.stack.cost, b.stack.perSet, b.stack.fixed, b.stack.variable, b.netPerSet, b.left})
          out += ',' + amount(m);
        out += ',' + shortest(b.ownerHours) + ',' + (b.perOwnerHour ? shortest(*b.perOwnerHour) : "");
        for (const route::Who who :
             {route::Who::Machinist, route::Who::Bench, route::Who::Packing, route::Who::Outside})
          out += ',' + shortest(b.hours[static_cast<std::size_t>(who)]);
        out += ',' + shortest(b.spindleHours);
        const route::Capacity& c = b.capacity;
        const bool done = c.missing.empty();
        out += ',' + (done ? shortest(c.weeks.low) : "") + ',' + (done ? shortest(c.weeks.high) : "") + ',';
        if (c.bottleneck >= 0) out += csvCell(c.loads[static_cast<std::size_t>(c.bottleneck)].name);
        out += '\n';
      }
  return out;
}

}  // namespace chipledger::report
