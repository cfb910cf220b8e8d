#include <chipledger/report/cautions.hpp>
#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/pages.hpp>
#include <chipledger/report/sections.hpp>
#include <chipledger/report/wording.hpp>

#include "report/anchors.hpp"
#include "report/chart_route.hpp"
#include "report/page.hpp"
#include "report/page_route_parts.hpp"
#include "report/sheet_parts.hpp"
#include "report/sheet_readers.hpp"

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
const char* const kPays = "what is left stays at or above nothing";
const char* const kBeats = "an hour of the owner earns at least what the custom bench does";

// What a line of the stack is: its layer and what went into it.
std::string stackLines(const route::Stack& stack, bool perSet) {
  std::string out = "<ul>";
  for (const route::CostLine& l : stack.lines)
    out += "<li>" + escaped(l.name) + " " + moneyText(perSet ? l.perSet : l.batch) + " (" + route::word(l.layer) +
           (l.what.empty() ? "" : "; " + escaped(l.what)) + ")</li>";
  return out + "</ul>";
}

std::string lineWords(const route::CostLine& l, int sets) {
  return std::string(route::word(l.layer)) + (l.what.empty() ? "" : ", " + l.what) + ": " + moneyText(l.batch) +
         " a batch / " + std::to_string(sets) + " sets = " + moneyText(l.perSet) + " a set.";
}

std::string setBody(const BatchResult& b) {
  return "<p>" + std::to_string(b.sets) + " sets cost " + moneyText(b.stack.cost) + "; a set " +
         moneyText(b.stack.perSet) + ":</p>" + stackLines(b.stack, true) + openedValues({});
}

std::string leftOpened(const BatchResult& b, const std::string& name = "") {
  return opened(moneyRounded(b.left),
                std::to_string(b.sets) + " sets \u00d7 net " + moneyText(b.netPerSet) + " = " + moneyText(b.income) +
                    ", minus cost " + moneyText(b.stack.cost) + " = " + moneyText(b.left) + ".",
                {}, "", name);
}

std::string perHourOpened(const BatchResult& b, const std::string& name = "") {
  return opened(hourText(b.perOwnerHour),
                "Left " + moneyText(b.left) + " over " + trimmed(b.ownerHours, 2) + " hours of the owner.", {}, "",
                name);
}

// The three lines of the batch that cost most.
std::string costliest(const BatchResult& b) {
  constexpr std::size_t kNamed = 3;
  std::vector<const route::CostLine*> lines;
  for (const route::CostLine& l : b.stack.lines) lines.push_back(&l);
  std::stable_sort(lines.begin(), lines.end(),
                   [](const route::CostLine* a, const route::CostLine* c) { return a->perSet > c->perSet; });
  std::string out;
  for (std::size_t i = 0; i < std::min(kNamed, lines.size()); ++i)
    out += "<li><span>" + escaped(lines[i]->name) + "</span><b>" +
           opened(moneyText(lines[i]->perSet), lineWords(*lines[i], b.sets)) + "</b></li>";
  return "<ul>" + out + "</ul>";
}

// Which details cost most a set, and what saves most; only where the parts were planned without their details.
std::string dearestAndChange(const ProductResult& p, const VariantResult& v) {
  std::string out;
  if (!v.earnings.empty() && v.earnings.front().perSet > Money{}) {
    const route::Earning& e = v.earnings.front();
    out += "<dt>The dearest that could be left out</dt><dd><ul><li><span><strong>" + escaped(e.what) + "</strong> of " +
           escaped(e.part) + ", a set</span><b>" +
           opened(moneyText(e.perSet), "With minus without, a piece, \u00d7 pieces of a set \u00d7 (1 + overhead).") +
           "</b></li></ul></dd>\n";
  }
  const route::MilledPiece* part = nullptr;
  const estimate::Advice* best = nullptr;
  Money most;
  for (const route::MilledPiece& m : v.milled)
    for (const estimate::Advice& a : m.advice) {
      if (a.saves.empty()) continue;
      const Money each = money(toUnits(a.saves.front().money) * m.piecesPerSet * (1 + p.overhead));
      if (each > most) part = &m, best = &a, most = each;
    }
  if (best != nullptr)
    out += "<dt>What to change</dt><dd><ul><li><span>" + escaped(part->name) + ": " + escaped(best->change) +
           " <small>(" + (best->seen ? "seen" : "hidden") + ")</small></span><b>saves " +
           opened(moneyText(most), "Saved a piece " + moneyText(best->saves.front().money) + " \u00d7 " +
                                       std::to_string(part->piecesPerSet) + " \u00d7 (1 + overhead " +
                                       percentText(p.overhead) + "). " + best->why) +
           "</b></li></ul></dd>\n";
  return out;
}

// The variants in one table, cheapest first to be seen.
std::string overview(const ProductResult& p) {
  if (p.variants.size() < 2) return "";
  HtmlTable table(
      "Variants side by side, at " + std::to_string(p.sets) + " sets; the least cost and the most left in bold",
      {{"variant", ""},
       {"cost", p.currency + " a set"},
       {"left", p.currency},
       {"per owner hour", p.currency},
       {"pays", "", " class=\"l\""},
       {"beats customs", "", " class=\"l\""},
       {"list for " + percentText(p.terms.wantedMargin), p.currency}});
  table.column(0, " class=\"wrap\"");
  table.column(4, " class=\"l\"");
  table.column(5, " class=\"l\"");
  Money least, most;
  bool first = true;
  const auto eachVariant = [&](const auto& take) {
    for (const VariantResult& v : p.variants) {
      if (v.shopBuilt >= v.routes.size()) continue;
      if (const BatchResult* now = referenceOf(v.routes[v.shopBuilt])) take(v, v.routes[v.shopBuilt], *now);
    }
  };
  eachVariant([&](const VariantResult&, const RouteResult&, const BatchResult& now) {
    if (first || now.stack.perSet < least) least = now.stack.perSet;
    if (first || now.left > most) most = now.left;
    first = false;
  });
  eachVariant([&](const VariantResult& v, const RouteResult& r, const BatchResult& now) {
    const auto bold = [](const std::string& cell, bool best) { return best ? "<strong>" + cell + "</strong>" : cell; };
    std::string list = "\u2013";
    for (const route::ListPrice& l : r.lists)
      if (l.channel.empty() && l.possible && l.aim == route::ListPrice::Aim::WantedMargin) list = roundedOpened(p, l);
    table.row({escaped(v.name.empty() ? p.name : v.name),
               bold(openedMarkup(moneyText(now.stack.perSet), setBody(now)), now.stack.perSet == least),
               bold(leftOpened(now), now.left == most), perHourOpened(now),
               fromOpened(r, r.crossing.cash, kPays, p.currency), fromOpened(r, r.crossing.perHour, kBeats, p.currency),
               list});
  });
  return section("Side by side", table.markup());
}

std::string answers(const ProductResult& p, std::size_t index, const RouteResult& built, const BatchResult& now) {
  const VariantResult& v = p.variants[index];
  std::string out =
      "<dl class=\"answers\">\n<dt>What a set costs</dt><dd><span class=\"cost\">" +
      openedMarkup(moneyRounded(now.stack.perSet), setBody(now)) + " " + escaped(p.currency) +
      " <small>in a batch of " + std::to_string(now.sets) + "</small></span>" + costliest(now) +
      "</dd>\n<dt>What is left</dt><dd><ul><li><span>of the "
      "batch, at a list price of " +
      moneyRounded(built.list) + "</span><b>" + leftOpened(now, toolAnchor(index, "left")) +
      "</b></li><li><span>per hour of the owner</span><b>" + perHourOpened(now) +
      "</b></li><li><span>the custom bench: " + escaped(v.customFrom) + "</span><b>" +
      opened(trimmed(v.customPerHour, 1),
             "(Price of a custom \u2212 its cost \u2212 its overhead) / the owner's hours on it: " + v.customFrom + ".",
             startingWith(p.assumptions, {"custom."}), "", toolAnchor(index, "custom")) +
      "</b></li></ul></dd>\n<dt>When it pays</dt><dd><ul><li><span>in "
      "cash</span><b>" +
      fromOpened(built, built.crossing.cash, kPays, p.currency, toolAnchor(index, "cash")) +
      "</b></li><li><span>more than customs</span><b>" +
      fromOpened(built, built.crossing.perHour, kBeats, p.currency, toolAnchor(index, "beats")) +
      "</b></li></ul></dd>\n";
  out += dearestAndChange(p, v);
  if (!v.tornado.empty())
    out += "<dt>How sure it is</dt><dd>Most moves with " + escaped(v.tornado.front().name) + ", " +
           escaped(v.tornado.front().range) + ": " + moneyRounded(v.tornado.front().low) + " to " +
           moneyRounded(v.tornado.front().high) + " left.</dd>\n";
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
           "</span><b>" + roundedOpened(p, l) + "</b></li>";
  }
  out += "</ul></dd>\n";
  return out + "</dl>\n";
}

std::string weeksWords(const BatchResult& b) {
  const route::Capacity& c = b.capacity;
  if (c.bottleneck < 0 || c.bottleneck >= static_cast<int>(c.loads.size())) return "Nobody is there for some of it.";
  const route::Load& l = c.loads[static_cast<std::size_t>(c.bottleneck)];
  return l.name + " is the neck: " + trimmed(l.need_h, 1) + " h needed, " + trimmed(l.have_h, 1) + " h a week (" +
         trimmed(std::max(l.best_h, l.have_h), 1) + " in a good one); the need may grow to " +
         trimmed(route::kNeedMayGrow, 2) + " times; work away comes on top.";
}

// `named`: the index of the variant whose chart the numbers belong to.
std::string batches(const ProductResult& p, const RouteResult& r, std::optional<std::size_t> named) {
  HtmlTable table(r.name + ", by batch", {{"sets", ""},
                                          {"cost", p.currency + " a set"},
                                          {"net", p.currency + " a set"},
                                          {"left", p.currency},
                                          {"owner", "h"},
                                          {"per owner hour", p.currency},
                                          {"spindle", "h"},
                                          {"weeks", ""}});
  table.column(0, "");
  for (std::size_t i = 0; i < r.batches.size(); ++i) {
    const BatchResult& b = r.batches[i];
    table.row(
        {std::to_string(b.sets), openedMarkup(moneyText(b.stack.perSet), setBody(b)),
         opened(moneyText(b.netPerSet),
                "Mean over the channels: list " + moneyText(r.list) +
                    " \u00d7 (1 - discount) \u00d7 (1 - fees - warranty), by "
                    "the share of each.",
                startingWith(p.assumptions, {"sales.", "channel"})),
         leftOpened(b),
         opened(trimmed(b.ownerHours, 1),
                "Once and for each set: " + trimmed(b.ownerHoursPerSet, 2) + " h come with each further set."),
         perHourOpened(b, named ? toolAnchor(*named, "hour", i) : ""),
         opened(trimmed(b.spindleHours, 1), trimmed(b.spindleLow, 1) + " to " + trimmed(b.spindleHigh, 1) + " hours."),
         opened(trimmed(b.capacity.weeks.low, 1) + " to " + trimmed(b.capacity.weeks.high, 1), weeksWords(b))});
  }
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
    table.row(
        {escaped(l.name), route::word(l.layer),
         opened(moneyText(l.batch), std::string(route::word(l.layer)) + (l.what.empty() ? "" : ", " + l.what) + "."),
         opened(moneyText(l.perSet), lineWords(l, b.sets)), escaped(l.what)});
  const std::string sum = "The lines above, added up exactly.";
  table.foot({"all", "", opened(moneyText(b.stack.cost), sum), opened(moneyText(b.stack.perSet), sum), ""});
  return table.markup();
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
    const auto anew = [&](Money value, const char* how) { return opened(moneyText(value), how); };
    table.row({escaped(words), anew(w.before.costPerSet, "As it stands."),
               anew(w.after.costPerSet, "The whole route reckoned anew with the change."),
               anew(w.before.left, "As it stands."),
               anew(w.after.left, "The whole route reckoned anew with the change.")});
  }
  return table.markup();
}

std::string variantMarkup(const ProductResult& p, std::size_t index) {
  const VariantResult& v = p.variants[index];
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
  out += "<div class=\"first keep\">\n<div>\n" + answers(p, index, built, *now) +
         "</div>\n<section>\n<h2>When it pays</h2>\n" + crossingChart(v, index, p.currency) +
         capacityChart(now->capacity, index) + "</section>\n</div>\n";
  std::string all;
  for (std::size_t r = 0; r < v.routes.size(); ++r)
    all += batches(p, v.routes[r], r == v.shopBuilt ? std::optional(index) : std::nullopt);
  out += section(kByBatch, all + stackTable(p, *now)) +
         section(kOwnersHours,
                 [&] {
                   HtmlTable table("Hours of a batch of " + std::to_string(now->sets),
                                   {{"who", ""}, {"in the batch", "h"}, {"a set", "h"}});
                   for (const route::Who who : route::kEveryone) {
                     const double hours = now->hours[static_cast<std::size_t>(who)];
                     if (hours <= 0) continue;
                     table.row({route::word(who),
                                opened(trimmed(hours, 1),
                                       "Every step of theirs: once per design, once per batch, and "
                                       "for each set with its practice."),
                                opened(trimmed(hours / now->sets, 2),
                                       trimmed(hours, 2) + " h / " + std::to_string(now->sets) + " sets.")});
                   }
                   return table.markup() + capacityTable(*now, index);
                 }()) +
         section(kListPrice, waterfalls(p, built) + earnings(p, v)) + section(kBuyList, buyList(p, v.buy));
  out += section(kDoubts, tornadoChart(v, index, now->left, p.currency) + tornadoTable(v, index, *now, p.currency) +
                              whatIfs(p, v));
  return out;
}

}  // namespace

std::string routeHtml(const ProductResult& product, const SheetOptions& options) {
  if (options.reader == Reader::Client) return clientProductSheet(product, options);
  Page page;
  page.title = product.name;
  page.facts = {std::to_string(product.sets) + " sets",
                std::string("age: ") + word(options.age.value_or(ageOf(product.assumptions)))};
  page.foot = {product.file};
  if (!product.shop.empty()) page.foot.push_back("shop " + product.shop);
  page.main += overview(product);
  for (std::size_t v = 0; v < product.variants.size(); ++v) page.main += variantMarkup(product, v);
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
  page.main += valuesSection({{"", product.assumptions}});
  return pageHtml(page, options);
}

}  // namespace chipledger::report
