#include <chipledger/report/cautions.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/route.hpp>
#include <chipledger/report/route_wording.hpp>
#include <chipledger/report/sections.hpp>
#include <chipledger/report/wording.hpp>

#include "report/terminal_parts.hpp"

#include <algorithm>

namespace chipledger::report {

namespace {

using route::BatchResult;
using route::ProductResult;
using route::RouteResult;
using route::VariantResult;

class Sheet {
public:
  Sheet(const ProductResult& result, const TerminalOptions& options)
      : r_(result), o_(options), lead_(leadVariant(result)), v_(result.variants[lead_]) {}

  std::string text() const {
    std::string out = firstScreen();
    if (r_.variants.size() > 1)
      out += paragraph("The rest of the sheet is about " + plain(v_.name) + "; --variant NAME shows another.", o_);
    const auto section = [&](const std::string& heading, const std::string& body) {
      if (!body.empty()) out += headingText(heading, o_) + body;
    };
    section("By batch", byBatch());
    section("What a set costs", stack());
    section("From list to what is left", waterfall());
    section("List price", lists());
    section("Routes side by side", routes());
    section("Owner's hours and everyone's", hands());
    section("What the details must earn", earnings());
    section("What must go for the target", target());
    section("What if", whatIfs());
    section("What moves it most", tornado());
    section("To buy", buy());
    section("Doubts", doubts());
    section(kCautions, cautions());
    return out;
  }

private:
  std::string amount(Money m) const { return amountText(m, r_.decimals); }
  static std::string hour(const std::optional<double>& perHour) {
    return perHour ? amountRounded(money(*perHour)) : "no hours";
  }
  static std::string batchText(const std::optional<int>& batch) { return batch ? std::to_string(*batch) : "never"; }

  std::string firstScreen() const {
    std::string out = titleText(r_.name, std::to_string(r_.sets) + " sets, " + kEstimateNotQuote, o_);
    const RouteSummary s = summariseRoute(r_, lead_);
    if (r_.variants.size() > 1) out += variants() + '\n';
    const std::string which = r_.variants.size() > 1 ? v_.name + ": " : "";
    out += labelled("shop-built/custom", which + s.verdict, o_, Tone::Strong);
    out += labelled("at what list price", s.list, o_);
    out += labelled("my hours", s.hours, o_);
    out += labelled("when, and who", s.when, o_);
    if (!s.channels.empty()) out += labelled("sold at a loss", s.channels, o_, Tone::Alert);
    for (const VariantResult& v : r_.variants) {
      if (&v == &r_.variants.front() || !v.listRiseAgainstFirst || *v.listRiseAgainstFirst <= Money{}) continue;
      out += labelled(&v == &r_.variants[1] ? "to keep a detail" : "",
                      "To have " + v.name + " instead of " + r_.variants.front().name + ", list must rise by " +
                          amountRounded(*v.listRiseAgainstFirst) + " " + r_.currency + ".",
                      o_);
    }
    if (!s.moves.empty()) out += labelled("what moves it most", s.moves, o_);
    return out;
  }

  std::string variants() const {
    Table table({{"shop-built", "", Align::Left, 0, true},
                 {"cost", r_.currency + "/set", Align::Right, 1},
                 {"left", r_.currency, Align::Right},
                 {"per hour", "of yours", Align::Right},
                 {"even", "from sets", Align::Right, 2},
                 {"beats custom", "from sets", Align::Right},
                 {"list to keep " + percentText(r_.terms.wantedMargin), r_.currency, Align::Right, 3},
                 {"weeks", "", Align::Right, 4}});
    for (const VariantResult& v : r_.variants) {
      const BatchResult& b = batchAsked(v);
      const RouteResult& route = shopBuilt(v);
      std::string keep = "-";
      for (const route::ListPrice& p : route.lists)
        if (p.aim == route::ListPrice::Aim::WantedMargin && p.channel.empty() && p.possible)
          keep = amountRounded(p.rounded);
      table.add({plain(v.name), amount(b.stack.perSet), amountRounded(b.left), hour(b.perOwnerHour),
                 batchText(route.crossing.cash), batchText(route.crossing.perHour), keep, weeksText(b.capacity)},
                &v == &v_ ? Tone::Strong : Tone::Plain);
    }
    return table.text(o_);
  }

  std::string byBatch() const {
    Table table({{"sets", ""},
                 {"cost", r_.currency + "/set"},
                 {"fixed", r_.currency + "/set", Align::Right, 3},
                 {"left", r_.currency},
                 {"your hours", "h", Align::Right, 1},
                 {"per hour", "of yours"},
                 {"customs", "not made", Align::Right, 4},
                 {"bottleneck", "", Align::Left, 2},
                 {"weeks", "", Align::Right, 2}});
    const RouteResult& route = shopBuilt(v_);
    for (std::size_t i = 0; i < route.batches.size(); ++i) {
      const BatchResult& b = route.batches[i];
      const route::Capacity& c = b.capacity;
      table.add({std::to_string(b.sets), amount(b.stack.perSet), amount(money(toUnits(b.stack.fixed) / b.sets)),
                 amountRounded(b.left), fixed(b.ownerHours, 1), hour(b.perOwnerHour),
                 b.customsDisplaced ? fixed(*b.customsDisplaced, 1) : "-",
                 c.bottleneck >= 0 ? c.loads[static_cast<std::size_t>(c.bottleneck)].name : "-", weeksText(c)},
                i == route.reference ? Tone::Strong : Tone::Plain);
    }
    return table.text(o_) + paragraph("Your time is counted in hours, not in money: what is left pays it.", o_);
  }

  std::string stack() const {
    Table table({{"line", "", Align::Left, 0, true},
                 {"layer", "", Align::Left, 2},
                 {"is", "", Align::Left, 3},
                 {"batch", r_.currency, Align::Right, 1},
                 {"a set", r_.currency}});
    const route::Stack& s = batchAsked(v_).stack;
    for (const route::CostLine& line : s.lines)
      table.add({plain(line.name), route::word(line.layer), plain(line.what), amount(line.batch), amount(line.perSet)});
    table.rule();
    table.add({"cost", "", "", amount(s.cost), amount(s.perSet)}, Tone::Strong);
    return table.text(o_) + labelled("of it",
                                     amount(s.fixed) + " " + r_.currency + " fixed, once per design and batch; " +
                                         amount(s.variable) + " with the sets",
                                     o_);
  }

  std::string waterfall() const {
    std::vector<Column> columns{{"a set", "", Align::Left}};
    const RouteResult& route = shopBuilt(v_);
    for (const route::ChannelResult& c : route.channels)
      columns.push_back({plain(c.channel.name), percentText(c.channel.share) + " of sets"});
    Table table(columns);
    const auto row = [&](const std::string& name, Money route::Waterfall::*field, bool taken, Tone tone = Tone::Plain) {
      std::vector<std::string> cells{name};
      for (const route::ChannelResult& c : route.channels) {
        const Money m = c.waterfall.*field;
        cells.push_back(amount(taken ? -m : m));
      }
      table.add(cells, tone);
    };
    row("list, with tax", &route::Waterfall::listWithTax, false, Tone::Faint);
    row("list, before tax", &route::Waterfall::list, false);
    row("discount", &route::Waterfall::discount, true);
    row("paid for it", &route::Waterfall::received, false);
    row("fees", &route::Waterfall::fees, true);
    row("warranty", &route::Waterfall::warranty, true);
    row("net", &route::Waterfall::net, false);
    row("cost", &route::Waterfall::cost, true);
    table.rule();
    row("left", &route::Waterfall::left, false, Tone::Strong);
    std::vector<std::string> cells{"kept of what is paid"};
    for (const route::ChannelResult& c : route.channels) cells.push_back(percentText(c.waterfall.margin));
    table.add(cells);
    return table.text(o_);
  }

  std::string lists() const {
    Table table({{"to", "", Align::Left, 0, true},
                 {"list", r_.currency},
                 {"rounded up", r_.currency, Align::Right, 1},
                 {"with tax", r_.currency, Align::Right, 2}});
    for (const route::ListPrice& p : shopBuilt(v_).lists) {
      if (p.possible) {
        table.add({plain(listAimText(p)), amount(p.exact), amount(p.rounded), amount(p.withTax)});
      } else {
        table.add({plain(listAimText(p)), "none", "none", "none"});
      }
    }
    return table.text(o_);
  }

  std::string routes() const {
    Table table({{"route", "", Align::Left, 0, true},
                 {"sets", ""},
                 {"list", r_.currency, Align::Right, 2},
                 {"cost", r_.currency + "/set", Align::Right, 1},
                 {"your hours", "h/set"},
                 {"left", r_.currency + "/set"},
                 {"per hour", "of yours"}});
    for (const RouteResult& route : v_.routes) {
      const BatchResult& b = route.batches[route.reference];
      table.add({plain(route.name), std::to_string(b.sets), amount(route.list), amount(b.stack.perSet),
                 fixed(b.ownerHours / b.sets, 1), amount(b.netPerSet - b.stack.perSet), hour(b.perOwnerHour)});
    }
    return table.text(o_) +
           labelled("your bench earns",
                    amount(money(v_.customPerHour)) + " " + r_.currency + " an hour: " + plain(v_.customFrom), o_);
  }

  std::string hands() const {
    Table table({{"who", "", Align::Left},
                 {"need", "h"},
                 {"have", "h a week", Align::Right, 1},
                 {"weeks", ""},
                 {"", "", Align::Left, 2}});
    const route::Capacity& c = batchAsked(v_).capacity;
    for (std::size_t i = 0; i < c.loads.size(); ++i) {
      const route::Load& load = c.loads[i];
      const bool neck = static_cast<int>(i) == c.bottleneck;
      const bool none = !(load.have_h > 0);
      table.add(
          {load.name, fixed(load.need_h, 1), trimmed(load.have_h, 1), none ? "never" : fixed(route::weeksOf(load), 1),
           none   ? "missing"
           : neck ? "bottleneck"
                  : ""},
          none   ? Tone::Alert
          : neck ? Tone::Strong
                 : Tone::Plain);
    }
    return table.text(o_) + labelled("weeks in all", weeksText(c) + ", with work sent out; a range, not a date", o_);
  }

  std::string earnings() const {
    if (v_.earnings.empty()) return {};
    Table table({{"detail", "", Align::Left, 0, true},
                 {"part", "", Align::Left, 1},
                 {"costs", r_.currency + "/set"},
                 {"list must rise by", r_.currency}});
    constexpr std::size_t kShown = 8;
    for (std::size_t i = 0; i < std::min(kShown, v_.earnings.size()); ++i) {
      const route::Earning& e = v_.earnings[i];
      table.add({plain(e.what), plain(e.part), amount(e.perSet), e.listRise ? amount(*e.listRise) : "-"});
    }
    return table.text(o_);
  }

  std::string target() const {
    if (!v_.target) return {};
    const route::Target& t = *v_.target;
    std::string out;
    if (t.toCut <= Money{}) {
      return labelled("nothing",
                      "At " + amountRounded(t.list) + " " + r_.currency + " the cost of " + amount(t.cost) +
                          " still keeps " + percentText(t.margin) + ".",
                      o_);
    }
    out += labelled("to cut",
                    amount(t.toCut) + " " + r_.currency + " a set: at " + amountRounded(t.list) + " and " +
                        percentText(t.margin) + " kept a set may cost " + amount(t.allowed) + ", it costs " +
                        amount(t.cost),
                    o_, Tone::Strong);
    if (t.cuts.empty()) return out + paragraph("No change was planned: run with --advice.", o_);
    Table table({{"change", "", Align::Left, 0, true},
                 {"part", "", Align::Left, 3},
                 {"saves", r_.currency + "/set"},
                 {"buyer sees it", "", Align::Left, 1},
                 {"take it", "", Align::Left}});
    for (const route::Cut& cut : t.cuts)
      table.add(
          {plain(cut.change), plain(cut.part), amount(cut.perSet), cut.seen ? "yes" : "no", cut.needed ? "yes" : ""},
          cut.needed ? Tone::Strong : Tone::Plain);
    out += table.text(o_);
    out += paragraph(t.reached ? "Planned one at a time; together they may save a little less."
                               : "All of it together is not enough: raise the price, the batch or the direct share.",
                     o_);
    return out;
  }

  std::string whatIfs() const {
    if (v_.whatIfs.empty()) return {};
    Table table({{"what if", "", Align::Left, 0, true},
                 {"cost", r_.currency + "/set"},
                 {"left", r_.currency},
                 {"per hour", "of yours"},
                 {"even", "from sets", Align::Right, 2},
                 {"beats custom", "from sets", Align::Right, 1},
                 {"list to keep " + percentText(r_.terms.wantedMargin), r_.currency, Align::Right, 3}});
    const auto row = [&](const std::string& name, const route::Headline& h, Tone tone) {
      table.add({plain(name), amount(h.costPerSet), amountRounded(h.left), hour(h.perOwnerHour), batchText(h.cash),
                 batchText(h.beatsCustom), h.listToKeep ? amountRounded(*h.listToKeep) : "-"},
                tone);
    };
    row("as it is", v_.whatIfs.front().before, Tone::Faint);
    for (const route::WhatIf& w : v_.whatIfs) {
      std::string words;
      for (const route::Change& c : w.changes) words += (words.empty() ? "" : ", ") + c.words;
      row(words, w.after, Tone::Plain);
    }
    return table.text(o_);
  }

  std::string tornado() const {
    if (v_.tornado.empty()) return {};
    Table table({{"value", "", Align::Left},
                 {"range", "", Align::Left, 1},
                 {"left, low end", r_.currency},
                 {"left, high end", r_.currency},
                 {"", "", Align::Left, 2}});
    const double widest = toUnits(v_.tornado.front().width);
    constexpr int kBar = 24;
    for (const route::TornadoBar& bar : v_.tornado) {
      const int length = widest > 0 ? static_cast<int>(kBar * toUnits(bar.width) / widest + 0.5) : 0;
      table.add({bar.name, bar.range, amountRounded(bar.low), amountRounded(bar.high),
                 std::string(static_cast<std::size_t>(length), '=')});
    }
    return table.text(o_);
  }

  std::string buy() const {
    const route::BuyList& list = v_.buy;
    Table table({{"what", "", Align::Left, 0, true},
                 {"count", ""},
                 {"each", r_.currency, Align::Right, 2},
                 {"money", r_.currency},
                 {"note", "", Align::Left, 1}});
    for (const route::PlateOrder& p : list.plates) {
      std::string note = p.perSheet > 0 ? std::to_string(p.perSheet) + " a sheet, " + std::to_string(p.sheets) +
                                              " sheets, " + percentText(p.waste) + " waste"
                                        : "larger than a standard sheet";
      const Money each = p.blanks > 0 ? Money{p.money.micros / p.blanks} : Money{};
      table.add({plain(p.part) + ", " + plain(p.material) + " " + p.size, std::to_string(p.blanks), amount(each),
                 amount(p.money), note});
    }
    for (const route::CutterOrder& c : list.cutters)
      table.add({plain(c.cutter), std::to_string(c.worn + c.spare), amount(c.each), amount(c.money),
                 fixed(c.used, 1) + " worn, " + std::to_string(c.spare) + " spare"});
    for (const route::PartOrder& p : list.parts)
      table.add({plain(p.name), std::to_string(p.order.quantity), amount(p.order.each), amount(p.order.money),
                 p.order.leftOver > 0 ? std::to_string(p.order.leftOver) + " left over" : ""});
    for (const route::WorkOrder& w : list.work)
      table.add({plain(w.name), fixed(w.pieces, 0), "", amount(w.money),
                 trimmed(w.daysLow, 0) + " to " + trimmed(w.daysHigh, 0) + " days" +
                     (w.atMinimum ? ", minimum charge" : "")});
    table.rule();
    table.add({"all, for " + std::to_string(list.sets) + " sets", "", "", amount(list.total), ""}, Tone::Strong);
    return table.text(o_) +
           paragraph(
               "Blanks on a sheet: strips lengthwise and the rest crosswise, the best straight split. Money is for "
               "blanks cut to size.",
               o_);
  }

  std::string doubts() const {
    std::string out;
    for (const NoteSeverity severity : {NoteSeverity::LeftOut, NoteSeverity::Doubt, NoteSeverity::Info}) {
      const std::string lead = severity == NoteSeverity::LeftOut ? "Left out: " : "";
      out += notesText(r_.notes, severity, lead, o_) + notesText(v_.notes, severity, lead, o_);
    }
    if (!r_.assumptions.empty()) out += labelled("values", fromWords(r_.assumptions), o_);
    return out;
  }

  std::string cautions() const {
    std::string out;
    for (const std::string& caution : r_.cautions) out += paragraph(plain(caution), o_, 2, 2);
    return out;
  }

  const ProductResult& r_;
  const TerminalOptions& o_;
  std::size_t lead_;
  const VariantResult& v_;
};

}  // namespace

std::string renderRoute(const ProductResult& result, const TerminalOptions& options) {
  return Sheet(result, options).text();
}

}  // namespace chipledger::report
