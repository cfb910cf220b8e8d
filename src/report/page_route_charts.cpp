// The figures of a product's charts, to be opened.
#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>

#include "report/anchors.hpp"
#include "report/chart_route.hpp"
#include "report/page_route_parts.hpp"
#include "report/sheet_parts.hpp"

#include <algorithm>

namespace chipledger::report {

std::string fromOpened(const route::RouteResult& built, const std::optional<int>& sets, const std::string& what,
                       const std::string& currency, const std::string& name) {
  const std::string searched = std::to_string(built.crossing.searchedTo);
  if (!sets) return "not up to " + searched + " sets";
  std::string made = "Every batch from 1 to " + searched + " sets was reckoned; from here on " + what + ".";
  for (const route::CurvePoint& p : built.curve) {
    if (p.sets != *sets) continue;
    made += " Here " + moneyText(p.left) + " " + currency + " are left";
    if (const auto hour = route::perOwnerHour(p.left, p.ownerHours))
      made += ", over " + trimmed(p.ownerHours, 2) + " hours of the owner " + trimmed(*hour, 1) + " an hour";
    made += "; a set costs " + moneyText(p.costPerSet) + ".";
  }
  return opened("from " + std::to_string(*sets) + " sets on", made, {}, "", name);
}

std::string capacityTable(const route::BatchResult& batch, std::size_t index) {
  const route::Capacity& c = batch.capacity;
  if (c.loads.empty()) return "";
  const std::string weeks = trimmed(c.usualWeeks, 1);
  HtmlTable table("Hours needed for " + std::to_string(batch.sets) + " sets and to have in " + weeks + " weeks",
                  {{"who", ""}, {"needed", "h"}, {"to have", "h"}, {"a week", "h"}, {"weeks", ""}});
  table.column(3, " class=\"given\"");
  for (std::size_t i = 0; i < c.loads.size(); ++i) {
    const route::Load& load = c.loads[i];
    const std::string need = trimmed(load.need_h, 1), have = trimmed(load.have_h, 1);
    table.row({escaped(load.name),
               opened(need, "Every step of theirs, once and for each set; the lines are under By batch.", {}, "",
                      toolAnchor(index, "need", i)),
               opened(trimmed(load.have_h * c.usualWeeks, 1), have + " h a week \u00d7 " + weeks + " weeks."), have,
               load.have_h > 0 ? opened(trimmed(route::weeksOf(load), 1), need + " h / " + have + " h a week.")
                               : std::string("\u2013")});
  }
  return table.markup();
}

std::string tornadoTable(const route::VariantResult& variant, std::size_t index, const route::BatchResult& batch,
                         const std::string& currency) {
  if (variant.tornado.empty()) return "";
  HtmlTable table("What is left of the batch at the ends of each value's range",
                  {{"value", ""}, {"range", "", " class=\"l\""}, {"low", currency}, {"high", currency}});
  table.column(1, " class=\"l\"");
  const std::size_t count = std::min(kTornadoRows, variant.tornado.size());
  for (std::size_t i = 0; i < count; ++i) {
    const route::TornadoBar& bar = variant.tornado[i];
    const auto end = [&](Money left, const char* which) {
      return opened(moneyRounded(left),
                    "The whole route reckoned anew with " + bar.name + " at one end of " + bar.range +
                        " and all else as it stands: " + moneyText(batch.left) + " left becomes " + moneyText(left) +
                        ", " + moneySigned(left - batch.left) + ".",
                    {}, "", toolAnchor(index, which, i));
    };
    table.row({escaped(bar.name), escaped(bar.range), end(bar.low, "low"), end(bar.high, "high")});
  }
  return table.markup();
}

}  // namespace chipledger::report
