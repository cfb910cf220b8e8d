// What a product sells for, what to order for it, what its details must earn.
#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/wording.hpp>

#include "report/page_route_parts.hpp"
#include "report/sheet_parts.hpp"

namespace chipledger::report {

using route::ProductResult;
using route::RouteResult;
using route::VariantResult;

std::string roundedOpened(const ProductResult& p, const route::ListPrice& l) {
  return opened(moneyRounded(l.rounded),
                moneyText(l.exact) + ", up to the next multiple of " + trimmed(p.terms.priceStep, 2) +
                    "; with sales tax " + moneyText(l.withTax) + ".",
                startingWith(p.assumptions, {"sales."}));
}

namespace {

std::string exactWords(const route::ListPrice& l) {
  std::string cost = "cost of a set";
  if (l.aim == route::ListPrice::Aim::CustomHour) cost += " with the owner's hours at what a custom earns";
  return "List = " + cost + " / ((1 - discount) \u00d7 (1 - fees - warranty" +
         (l.margin > 0 ? " - margin " + percentText(l.margin) : std::string{}) + ")) = " + moneyText(l.exact) + ".";
}

}  // namespace

std::string waterfalls(const ProductResult& p, const RouteResult& r) {
  HtmlTable table("From list to what is left, per set", {{"channel", ""},
                                                         {"share", ""},
                                                         {"list", p.currency},
                                                         {"discount", p.currency},
                                                         {"received", p.currency},
                                                         {"fees", p.currency},
                                                         {"warranty", p.currency},
                                                         {"net", p.currency},
                                                         {"cost", p.currency},
                                                         {"left", p.currency},
                                                         {"margin", ""}});
  table.column(1, " class=\"given\"");
  table.column(2, " class=\"given\"");
  for (const route::ChannelResult& c : r.channels) {
    const route::Waterfall& w = c.waterfall;
    const Assumptions terms = startingWith(p.assumptions, {"sales.", "channel"});
    const auto share = [&](Money part, const std::string& words) {
      return opened(moneyText(part),
                    words + ": " + moneyText(w.received) + " \u00d7 " +
                        percentText(w.received.micros > 0 ? toUnits(part) / toUnits(w.received) : 0) + " = " +
                        moneyText(part) + ".",
                    terms);
    };
    table.row(
        {escaped(c.channel.name), percentText(c.channel.share), moneyText(w.list),
         opened(moneyText(w.discount),
                moneyText(w.list) + " \u00d7 " + percentText(c.channel.discount) + " = " + moneyText(w.discount) + ".",
                terms),
         opened(moneyText(w.received), "List " + moneyText(w.list) + " minus discount " + moneyText(w.discount) + "."),
         share(w.fees, "Fees on what is received"), share(w.warranty, "Set aside for warranty"),
         opened(moneyText(w.net), "Received " + moneyText(w.received) + " minus fees " + moneyText(w.fees) +
                                      " minus warranty " + moneyText(w.warranty) + "."),
         opened(moneyText(w.cost), "Cost of a set in this batch, line by line under By batch."),
         opened(moneyText(w.left), "Net " + moneyText(w.net) + " minus cost " + moneyText(w.cost) + "."),
         opened(percentText(w.margin), "Left " + moneyText(w.left) + " of " + moneyText(w.received) + " received.")});
  }
  HtmlTable lists("List prices", {{"to", ""},
                                  {"through", "", " class=\"l\""},
                                  {"exact", p.currency},
                                  {"rounded up", p.currency},
                                  {"with sales tax", p.currency}});
  lists.column(1, " class=\"l\"");
  for (const route::ListPrice& l : r.lists) {
    const std::string aim =
        escaped(route::word(l.aim)) +
        (l.aim == route::ListPrice::Aim::WantedMargin ? " of " + percentText(l.margin) : std::string{});
    const std::string through = l.channel.empty() ? "all channels" : escaped(l.channel);
    if (l.possible)
      lists.row({aim, through,
                 opened(moneyText(l.exact), exactWords(l), startingWith(p.assumptions, {"sales.", "channel"})),
                 roundedOpened(p, l),
                 opened(moneyText(l.withTax),
                        moneyText(l.rounded) + " \u00d7 (1 + " + percentText(p.terms.salesTax) + " sales tax).")});
    else
      lists.row({aim, through, "", "fees leave nothing", ""});
  }
  return table.markup() + lists.markup();
}

std::string buyList(const ProductResult& p, const route::BuyList& buy) {
  HtmlTable table(
      "To order for " + std::to_string(buy.sets) + " sets",
      {{"what", ""}, {"how many", ""}, {"each", p.currency}, {"money", p.currency}, {"", "", " class=\"l\""}});
  table.column(4, " class=\"wrap\"");
  const std::string many = "What the sets need and what is lost on the way, rounded up.";
  const auto times = [](int count, Money each, Money all) {
    return opened(moneyText(all), std::to_string(count) + " \u00d7 " + moneyText(each) + " = " + moneyText(all) + ".");
  };
  table.column(2, " class=\"given\"");
  for (const route::PlateOrder& o : buy.plates)
    table.row(
        {escaped(o.part + ", " + o.material + " " + o.size),
         opened(std::to_string(o.blanks), many, startingWith(p.assumptions, {"scrap."})), "",
         opened(moneyText(o.money), "Blanks cut to size: " + std::to_string(o.blanks) + " \u00d7 the price of one."),
         o.sheets > 0 ? std::to_string(o.sheets) + " sheets of " + std::to_string(o.perSheet) + ", waste " +
                            percentText(o.waste) + ", " + moneyText(o.sheetMoney) + " bought whole"
                      : std::string("larger than a standard sheet")});
  for (const route::CutterOrder& o : buy.cutters)
    table.row({escaped(o.cutter),
               opened(std::to_string(o.worn + o.spare), trimmed(o.used, 2) + " used up and broken, so " +
                                                            std::to_string(o.worn) + " whole ones, and " +
                                                            std::to_string(o.spare) + " spare."),
               moneyText(o.each), times(o.worn + o.spare, o.each, o.money),
               trimmed(o.used, 2) + " worn, " + std::to_string(o.spare) + " spare"});
  for (const route::PartOrder& o : buy.parts)
    table.row({escaped(o.name), opened(std::to_string(o.order.quantity), many + " The order at its price break."),
               moneyText(o.order.each), times(o.order.quantity, o.order.each, o.order.money),
               o.order.leftOver > 0 ? std::to_string(o.order.leftOver) + " left over" : std::string{}});
  for (const route::WorkOrder& o : buy.work)
    table.row({escaped(o.name), opened(trimmed(o.pieces, 0), many), "",
               opened(moneyText(o.money), o.atMinimum ? "The minimum charge." : "Pieces \u00d7 price of one."),
               trimmed(o.daysLow, 0) + " to " + trimmed(o.daysHigh, 0) + " days" +
                   (o.atMinimum ? ", at the minimum charge" : "")});
  table.foot({"all", "", "", opened(moneyText(buy.total), "The lines above, added up exactly."), ""});
  return table.markup();
}

std::string earnings(const ProductResult& p, const VariantResult& v) {
  std::string out;
  if (!v.earnings.empty()) {
    HtmlTable table("What details must earn", {{"part", ""},
                                               {"details", "", " class=\"l\""},
                                               {"cost", p.currency + " a set"},
                                               {"list must rise by", p.currency}});
    table.column(1, " class=\"wrap\"");
    for (const route::Earning& e : v.earnings)
      table.row(
          {escaped(e.part), escaped(e.what),
           opened(moneyText(e.perSet), "With minus without, a piece, \u00d7 pieces of a set \u00d7 (1 + overhead)."),
           e.listRise ? opened(moneyText(*e.listRise),
                               "Cost " + moneyText(e.perSet) +
                                   " / ((1 - discount) \u00d7 (1 - fees - warranty)), over all "
                                   "channels.",
                               startingWith(p.assumptions, {"sales.", "channel"}))
                      : std::string("\u2013")});
    out += table.markup();
  }
  if (v.target) {
    HtmlTable table("What to cut for a list price of " + moneyRounded(v.target->list),
                    {{"part", ""},
                     {"change", "", " class=\"l\""},
                     {"saves", p.currency + " a set"},
                     {"needed", ""},
                     {"buyer", "", " class=\"l\""},
                     {"why", "", " class=\"l\""}});
    table.column(1, " class=\"wrap\"");
    table.column(4, " class=\"l\"");
    table.column(5, " class=\"wrap\"");
    for (const route::Cut& c : v.target->cuts)
      table.row({escaped(c.part), escaped(c.change),
                 opened(moneyText(c.perSet), "Saved a piece \u00d7 pieces of a set \u00d7 (1 + overhead). " + c.why),
                 c.needed ? "yes" : "", c.seen ? "sees it" : "does not see it", escaped(c.why)});
    out += "<p class=\"note\">To cut: <strong>" + moneyText(v.target->toCut) + "</strong> of " +
           moneyText(v.target->cost) + " a set; " +
           (v.target->reached ? "these changes reach it." : "no list reaches it.") + "</p>\n" + table.markup();
  }
  return out;
}

}  // namespace chipledger::report
