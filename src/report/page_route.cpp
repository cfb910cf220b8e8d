#include <chipledger/report/cautions.hpp>
#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/pages.hpp>
#include <chipledger/report/sections.hpp>
#include <chipledger/report/wording.hpp>

#include "report/chart_route.hpp"
#include "report/page.hpp"
#include "report/sheet_parts.hpp"

#include <algorithm>

namespace chipledger::report {

namespace {

using route::BatchResult;
using route::ProductResult;
using route::RouteResult;
using route::VariantResult;

const BatchResult* referenceOf(const RouteResult& r) {
  return r.reference < r.batches.size() ? &r.batches[r.reference] : nullptr;
}

std::string hourText(const std::optional<double>& perHour) { return perHour ? trimmed(*perHour, 1) : "\u2013"; }
std::string fromText(const std::optional<int>& sets, int searchedTo) {
  return sets ? "from " + std::to_string(*sets) + " sets on" : "not up to " + std::to_string(searchedTo) + " sets";
}

// What a line of the stack is: its layer and what went into it.
std::string stackLines(const route::Stack& stack, bool perSet) {
  std::string out = "<ul>";
  for (const route::CostLine& l : stack.lines)
    out += "<li>" + escaped(l.name) + " " + moneyText(perSet ? l.perSet : l.batch) + " (" + route::word(l.layer) +
           (l.what.empty() ? "" : "; " + escaped(l.what)) + ")</li>";
  return out + "</ul>";
}

std::string answers(const ProductResult& p, const VariantResult& v, const RouteResult& built, const BatchResult& now) {
  std::string out =
      "<dl class=\"answers\">\n<dt>What a set costs</dt><dd><span class=\"cost\">" + moneyRounded(now.stack.perSet) +
      " " + escaped(p.currency) + " <small>in a batch of " + std::to_string(now.sets) +
      "</small></span></dd>\n<dt>What is left</dt><dd><ul><li><span>of the "
      "batch, at a list price of " +
      moneyRounded(built.list) + "</span><b>" + moneyRounded(now.left) +
      "</b></li><li><span>per hour of the owner</span><b>" + hourText(now.perOwnerHour) +
      "</b></li><li><span>the custom bench: " + escaped(v.customFrom) + "</span><b>" + trimmed(v.customPerHour, 1) +
      "</b></li></ul></dd>\n<dt>When it pays</dt><dd><ul><li><span>in "
      "cash</span><b>" +
      fromText(built.crossing.cash, built.crossing.searchedTo) + "</b></li><li><span>more than customs</span><b>" +
      fromText(built.crossing.perHour, built.crossing.searchedTo) + "</b></li></ul></dd>\n";
  out += "<dt>Whose time it takes</dt><dd>" + trimmed(now.ownerHours, 1) + " hours of the owner";
  if (now.customsDisplaced) out += ", or " + trimmed(*now.customsDisplaced, 1) + " customs not made";
  out += ". " + trimmed(now.capacity.weeks.low, 1) + " to " + trimmed(now.capacity.weeks.high, 1) + " weeks";
  if (now.capacity.bottleneck >= 0 && now.capacity.bottleneck < static_cast<int>(now.capacity.loads.size()))
    out += "; the neck is " + escaped(now.capacity.loads[static_cast<std::size_t>(now.capacity.bottleneck)].name);
  out += ".</dd>\n<dt>What it must sell for</dt><dd><ul>";
  for (const route::ListPrice& l : built.lists) {
    if (!l.channel.empty() || !l.possible) continue;
    out += "<li><span>" + escaped(route::word(l.aim)) +
           (l.aim == route::ListPrice::Aim::WantedMargin ? " of " + percentText(l.margin) : std::string{}) +
           "</span><b>" + moneyRounded(l.rounded) + "</b></li>";
  }
  out += "</ul></dd>\n";
  if (!v.tornado.empty())
    out += "<dt>How sure it is</dt><dd>Most moves with " + escaped(v.tornado.front().name) + ", " +
           escaped(v.tornado.front().range) + ": " + moneyRounded(v.tornado.front().low) + " to " +
           moneyRounded(v.tornado.front().high) + " left.</dd>\n";
  return out + "</dl>\n";
}

std::string batches(const ProductResult& p, const RouteResult& r) {
  HtmlTable table(r.name + ", by batch", {{"sets", ""},
                                          {"cost", p.currency + " a set"},
                                          {"net", p.currency + " a set"},
                                          {"left", p.currency},
                                          {"owner", "h"},
                                          {"per owner hour", p.currency},
                                          {"spindle", "h"},
                                          {"weeks", ""}});
  for (const BatchResult& b : r.batches)
    table.row(
        {std::to_string(b.sets),
         opened(moneyText(b.stack.perSet), "The lines of the batch divided by its sets.", {},
                stackLines(b.stack, true)),
         moneyText(b.netPerSet),
         opened(moneyText(b.left), std::to_string(b.sets) + " sets \u00d7 net " + moneyText(b.netPerSet) + " = " +
                                       moneyText(b.income) + ", minus cost " + moneyText(b.stack.cost) + "."),
         trimmed(b.ownerHours, 1),
         opened(hourText(b.perOwnerHour),
                "Left " + moneyText(b.left) + " over " + trimmed(b.ownerHours, 2) + " hours of the owner."),
         opened(trimmed(b.spindleHours, 1), trimmed(b.spindleLow, 1) + " to " + trimmed(b.spindleHigh, 1) + " hours."),
         trimmed(b.capacity.weeks.low, 1) + " to " + trimmed(b.capacity.weeks.high, 1)});
  return table.markup();
}

std::string stackTable(const ProductResult& p, const BatchResult& b) {
  HtmlTable table("Cost of a batch of " + std::to_string(b.sets), {{"line", ""},
                                                                   {"layer", "", " class=\"l\""},
                                                                   {"batch", p.currency},
                                                                   {"a set", p.currency},
                                                                   {"what", "", " class=\"l\""}});
  table.column(1, " class=\"l\"");
  table.column(4, " class=\"wrap\"");
  for (const route::CostLine& l : b.stack.lines)
    table.row({escaped(l.name), route::word(l.layer), moneyText(l.batch), moneyText(l.perSet), escaped(l.what)});
  table.foot({"all", "", moneyText(b.stack.cost), moneyText(b.stack.perSet), ""});
  return table.markup();
}

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
  for (const route::ChannelResult& c : r.channels) {
    const route::Waterfall& w = c.waterfall;
    table.row({escaped(c.channel.name), percentText(c.channel.share), moneyText(w.list), moneyText(w.discount),
               moneyText(w.received), moneyText(w.fees), moneyText(w.warranty), moneyText(w.net), moneyText(w.cost),
               opened(moneyText(w.left), "Net " + moneyText(w.net) + " minus cost " + moneyText(w.cost) + "."),
               percentText(w.margin)});
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
      lists.row({aim, through, moneyText(l.exact), moneyText(l.rounded), moneyText(l.withTax)});
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
  for (const route::PlateOrder& o : buy.plates)
    table.row({escaped(o.part + ", " + o.material + " " + o.size), std::to_string(o.blanks), "", moneyText(o.money),
               o.sheets > 0 ? std::to_string(o.sheets) + " sheets of " + std::to_string(o.perSheet) + ", waste " +
                                  percentText(o.waste) + ", " + moneyText(o.sheetMoney) + " bought whole"
                            : std::string("larger than a standard sheet")});
  for (const route::CutterOrder& o : buy.cutters)
    table.row({escaped(o.cutter), std::to_string(o.worn + o.spare), moneyText(o.each), moneyText(o.money),
               trimmed(o.used, 2) + " worn, " + std::to_string(o.spare) + " spare"});
  for (const route::PartOrder& o : buy.parts)
    table.row({escaped(o.name), std::to_string(o.order.quantity), moneyText(o.order.each), moneyText(o.order.money),
               o.order.leftOver > 0 ? std::to_string(o.order.leftOver) + " left over" : std::string{}});
  for (const route::WorkOrder& o : buy.work)
    table.row({escaped(o.name), trimmed(o.pieces, 0), "", moneyText(o.money),
               trimmed(o.daysLow, 0) + " to " + trimmed(o.daysHigh, 0) + " days" +
                   (o.atMinimum ? ", at the minimum charge" : "")});
  table.foot({"all", "", "", moneyText(buy.total), ""});
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
      table.row({escaped(e.part), escaped(e.what), moneyText(e.perSet),
                 e.listRise ? moneyText(*e.listRise) : std::string("\u2013")});
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
      table.row({escaped(c.part), escaped(c.change), moneyText(c.perSet), c.needed ? "yes" : "",
                 c.seen ? "sees it" : "does not see it", escaped(c.why)});
    out += "<p class=\"note\">To cut: <strong>" + moneyText(v.target->toCut) + "</strong> of " +
           moneyText(v.target->cost) + " a set; " +
           (v.target->reached ? "these changes reach it." : "no list reaches it.") + "</p>\n" + table.markup();
  }
  return out;
}

std::string whatIfs(const ProductResult& p, const VariantResult& v) {
  if (v.whatIfs.empty()) return "";
  HtmlTable table("What if", {{"change", ""},
                              {"cost before", p.currency + " a set"},
                              {"after", p.currency + " a set"},
                              {"left before", p.currency},
                              {"after", p.currency}});
  table.column(0, " class=\"wrap\"");
  for (const route::WhatIf& w : v.whatIfs) {
    std::string words;
    for (const route::Change& c : w.changes) words += (words.empty() ? "" : ", ") + c.words;
    table.row({escaped(words), moneyText(w.before.costPerSet), moneyText(w.after.costPerSet), moneyText(w.before.left),
               moneyText(w.after.left)});
  }
  return table.markup();
}

std::string variantMarkup(const ProductResult& p, const VariantResult& v) {
  if (v.shopBuilt >= v.routes.size()) return "<p>No route was reckoned.</p>\n";
  const RouteResult& built = v.routes[v.shopBuilt];
  const BatchResult* now = referenceOf(built);
  if (now == nullptr) return "<p>No batch was reckoned.</p>\n";
  std::string out;
  if (!v.name.empty()) {
    out += "<h2>" + escaped(v.name) + "</h2>\n";
    if (v.dearerThanFirst)
      out += "<p class=\"note\">" + moneyText(*v.dearerThanFirst) + " a set more than " +
             escaped(p.variants.front().name) +
             (v.listRiseAgainstFirst ? "; list must rise by " + moneyText(*v.listRiseAgainstFirst) : std::string{}) +
             ".</p>\n";
  }
  out += "<div class=\"first\">\n<div>\n" + answers(p, v, built, *now) + "</div>\n<section>\n<h2>When it pays</h2>\n" +
         crossingChart(v, p.currency) + capacityChart(now->capacity) + "</section>\n</div>\n";
  std::string all;
  for (const RouteResult& r : v.routes) all += batches(p, r);
  out += section(kByBatch, all + stackTable(p, *now)) +
         section(kOwnersHours,
                 [&] {
                   HtmlTable table("Hours of a batch of " + std::to_string(now->sets),
                                   {{"who", ""}, {"in the batch", "h"}, {"a set", "h"}});
                   for (const route::Who who : route::kEveryone) {
                     const double hours = now->hours[static_cast<std::size_t>(who)];
                     if (hours > 0) table.row({route::word(who), trimmed(hours, 1), trimmed(hours / now->sets, 2)});
                   }
                   return table.markup();
                 }()) +
         section(kListPrice, waterfalls(p, built) + earnings(p, v)) + section(kBuyList, buyList(p, v.buy));
  out += section(kDoubts, tornadoChart(v, now->left, p.currency) + whatIfs(p, v));
  return out;
}

}  // namespace

std::string routeHtml(const ProductResult& product, const SheetOptions& options) {
  Page page;
  page.title = product.name;
  page.facts = {std::to_string(product.sets) + " sets"};
  page.foot = {product.file};
  if (!product.shop.empty()) page.foot.push_back("shop " + product.shop);
  for (const VariantResult& v : product.variants) page.main += variantMarkup(product, v);
  std::string notes, cautions;
  const auto add = [&](const Notes& more) {
    for (const Note& n : more) notes += "<li>" + escaped(noteSentence(n)) + "</li>\n";
  };
  add(product.notes);
  int open = 0;
  for (const VariantResult& v : product.variants) {
    add(v.notes);
    for (const route::MilledPiece& m : v.milled) open += m.openQuestions;
  }
  if (!notes.empty()) page.main += section("Notes", "<ul class=\"caution\">\n" + notes + "</ul>\n");
  page.main += section(kStillToAnswer, open == 0 ? std::string("<p>Nothing is open.</p>\n")
                                                 : "<p>" + std::to_string(open) +
                                                       " questions about the milled parts are open; their own sheets "
                                                       "list them.</p>\n");
  for (const std::string& c : product.cautions) cautions += "<li>" + escaped(c) + "</li>\n";
  cautions += std::string("<li>") + escaped(lockCaution()) + "</li>\n";
  page.main += section(kCautions, "<ul class=\"caution\">\n" + cautions + "</ul>\n");
  HtmlTable values("Every value this stands on, guessed first", {{"value", ""},
                                                                 {"is", ""},
                                                                 {"unit", "", " class=\"l\""},
                                                                 {"from", "", " class=\"l\""},
                                                                 {"source", "", " class=\"l\""}});
  for (const std::size_t c : {2U, 3U}) values.column(c, " class=\"l\"");
  values.column(4, " class=\"wrap\"");
  for (const Assumption& a : guessedFirst(product.assumptions))
    values.row({escaped(a.name), trimmed(a.value, 6), escaped(a.unit), fromMark(a.from), escaped(a.source)});
  page.main += "<section id=\"values\">\n<h2>Values</h2>\n" + values.markup() + "</section>\n";
  return pageHtml(page, options);
}

}  // namespace chipledger::report
