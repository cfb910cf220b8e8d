#include "route/answers.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace chipledger::route {

const char* word(ListPrice::Aim aim) {
  switch (aim) {
    case ListPrice::Aim::NoLoss:
      return "no loss";
    case ListPrice::Aim::WantedMargin:
      return "wanted margin";
    case ListPrice::Aim::CustomHour:
      return "what a custom earns an hour";
  }
  return "no loss";
}

namespace {

/// The curve is shown this far beyond the largest batch asked for and the crossings.
constexpr double kShownBeyond = 1.25;

ListPrice listPrice(ListPrice::Aim aim, const std::string& channel, double margin, std::optional<Money> exact,
                    const Terms& terms) {
  ListPrice p;
  p.aim = aim;
  p.channel = channel;
  p.margin = margin;
  p.possible = exact.has_value();
  if (!exact) return p;
  p.exact = *exact;
  p.rounded = roundedUp(*exact, terms.priceStep);
  p.withTax = p.rounded + money(toUnits(p.rounded) * terms.salesTax);
  return p;
}

class Answerer {
public:
  Answerer(VariantResult& v, std::vector<Reckoner>& reckoners, const Asked& asked)
      : v_(v), reckoners_(reckoners), asked_(asked) {}

  void run() {
    for (std::size_t r = 0; r < reckoners_.size(); ++r) {
      const RouteInputs& in = reckoners_[r].inputs();
      RouteResult route;
      route.name = in.name;
      route.custom = in.custom;
      route.list = in.terms.list;
      route.mean = reckoners_[r].mean();
      v_.routes.push_back(std::move(route));
      if (in.custom && !v_.custom) v_.custom = r;
      if (!in.custom && !found_) v_.shopBuilt = r, found_ = true;
    }
    yardstick();
    cuts_ = cutsOf(v_.milled, reckoners_[v_.shopBuilt].inputs().overhead);
    for (std::size_t r = 0; r < reckoners_.size(); ++r) route(r);
    v_.buy = reckoners_[v_.shopBuilt].buyList(asked_.sets, asked_.shop);
    earnings();
    target();
    if (asked_.options.tornado) tornado();
    whatIfs();
    notes();
  }

private:
  void yardstick() {
    const CustomBench& bench = asked_.product.custom;
    std::optional<BatchResult>& one = v_.customOne;
    if (v_.custom) one = reckoners_[*v_.custom].at(1);
    v_.customHours = bench.ownerHours;
    if (!v_.customHours && one && one->ownerHours > 0) v_.customHours = one->ownerHours;
    if (bench.price && v_.customHours) {
      if (bench.cost) {
        v_.customPerHour = perOwnerHour({*bench.price, *bench.cost, bench.overhead, *v_.customHours}).value_or(0.0);
        v_.customFrom = bench.ownerHours
                            ? "his customs as the product file says"
                            : "price and cost of a custom from the product file, hours of this tool as one";
        return;
      }
      if (one) {
        v_.customPerHour = perOwnerHour(one->left, *v_.customHours).value_or(0.0);
        v_.customFrom = "this tool as a full custom";
        return;
      }
    }
    v_.customPerHour = asked_.shop.rates.ownerPerHour;
    v_.customFrom = "the owner's hour in the shop file";
  }

  void route(std::size_t r) {
    RouteResult& route = v_.routes[r];
    Reckoner& reckoner = reckoners_[r];
    // A custom is made one at a time.
    const std::vector<int> sizes = route.custom ? std::vector<int>{1} : asked_.batches;
    for (int sets : sizes) {
      route.batches.push_back(reckoner.at(sets));
      if (sets == asked_.sets) route.reference = route.batches.size() - 1;
      BatchResult& b = route.batches.back();
      if (v_.customHours && *v_.customHours > 0) b.customsDisplaced = b.ownerHours / *v_.customHours;
    }
    if (!route.custom) crossing(route, reckoner);
    sales(route, reckoner.inputs().terms);
  }

  void crossing(RouteResult& route, Reckoner& reckoner) const {
    const auto curve = reckoner.curve(kLargestBatch);
    route.crossing = findCrossing(curve, v_.customPerHour);
    std::vector<int> always = asked_.batches;
    if (route.crossing.cash) always.push_back(*route.crossing.cash);
    if (route.crossing.perHour) always.push_back(*route.crossing.perHour);
    const int shown = static_cast<int>(std::ceil(kShownBeyond * *std::max_element(always.begin(), always.end())));
    for (int n : curveSizes(shown, always))
      route.curve.push_back(n <= kLargestBatch ? curve[static_cast<std::size_t>(n - 1)] : reckoner.point(n));
  }

  void sales(RouteResult& route, const Terms& terms) {
    const BatchResult& b = route.batches[route.reference];
    const Money cost = b.stack.perSet;
    for (const Channel& channel : terms.channels) {
      ChannelResult c{channel, stepDown(terms.list, cost, termsOf(channel, terms)), {}, false};
      if (c.waterfall.left < Money{} && !route.custom) {
        c.mend = cuts_;
        c.mended = markNeeded(c.mend, -c.waterfall.left);
        std::erase_if(c.mend, [](const Cut& cut) { return !cut.needed; });
      }
      route.channels.push_back(std::move(c));
    }
    using Aim = ListPrice::Aim;
    for (const Channel& channel : terms.channels) {
      const SaleTerms t = termsOf(channel, terms);
      route.lists.push_back(listPrice(Aim::NoLoss, channel.name, 0, listToKeep(cost, 0, t), terms));
      route.lists.push_back(listPrice(Aim::WantedMargin, channel.name, terms.wantedMargin,
                                      listToKeep(cost, terms.wantedMargin, t), terms));
    }
    route.lists.push_back(listPrice(Aim::NoLoss, "", 0, listToKeep(cost, 0, terms), terms));
    route.lists.push_back(
        listPrice(Aim::WantedMargin, "", terms.wantedMargin, listToKeep(cost, terms.wantedMargin, terms), terms));
    const Money hours = money(v_.customPerHour * b.ownerHours / b.sets);
    route.lists.push_back(listPrice(Aim::CustomHour, "", 0, listToKeep(cost + hours, 0, terms), terms));
  }

  void earnings() {
    const Terms& terms = reckoners_[v_.shopBuilt].inputs().terms;
    const double overhead = reckoners_[v_.shopBuilt].inputs().overhead;
    for (const MilledPiece& m : v_.milled)
      for (const DetailCut& d : m.leaveOut) {
        if (d.saves.empty()) continue;
        Earning e;
        e.part = m.name;
        e.what = d.name;
        e.perSet = money(toUnits(d.saves.front().money) * m.piecesPerSet * (1.0 + overhead));
        e.listRise = listRise(e.perSet, terms);
        v_.earnings.push_back(std::move(e));
      }
    std::stable_sort(v_.earnings.begin(), v_.earnings.end(),
                     [](const Earning& a, const Earning& b) { return a.perSet > b.perSet; });
  }

  void target() {
    const Terms& terms = reckoners_[v_.shopBuilt].inputs().terms;
    const std::optional<Money> list = asked_.options.targetList ? asked_.options.targetList : terms.targetList;
    if (!list) return;
    Target t;
    t.list = *list;
    t.margin = terms.wantedMargin;
    t.allowed = costAllowed(*list, t.margin, terms);
    t.cost = v_.routes[v_.shopBuilt].batches[v_.routes[v_.shopBuilt].reference].stack.perSet;
    t.toCut = t.cost - t.allowed;
    t.cuts = cuts_;
    t.reached = markNeeded(t.cuts, t.toCut);
    v_.target = std::move(t);
  }

  void tornado() {
    const Reckoner& base = reckoners_[v_.shopBuilt];
    for (const LeverRow& row : levers()) {
      const auto left = [&](double factor) {
        Change change;
        change.lever = row.lever;
        change.factor = factor;
        return Reckoner(changed(base.inputs(), {change})).at(asked_.sets).left;
      };
      TornadoBar bar;
      bar.lever = row.lever;
      bar.name = row.what;
      bar.range = fmt::format("x{:g} to x{:g}", row.low, row.high);
      bar.low = left(row.low);
      bar.high = left(row.high);
      bar.width = bar.high > bar.low ? bar.high - bar.low : bar.low - bar.high;
      if (bar.width > Money{}) v_.tornado.push_back(std::move(bar));
    }
    std::stable_sort(v_.tornado.begin(), v_.tornado.end(),
                     [](const TornadoBar& a, const TornadoBar& b) { return a.width > b.width; });
  }

  Headline headline(Reckoner& reckoner) const {
    Headline h;
    const BatchResult b = reckoner.at(asked_.sets);
    h.costPerSet = b.stack.perSet;
    h.left = b.left;
    h.perOwnerHour = b.perOwnerHour;
    h.ownerHours = b.ownerHours;
    const Crossing crossing = findCrossing(reckoner.curve(kLargestBatch), v_.customPerHour);
    h.cash = crossing.cash;
    h.beatsCustom = crossing.perHour;
    h.listToKeep = listToKeep(h.costPerSet, reckoner.inputs().terms.wantedMargin, reckoner.inputs().terms);
    return h;
  }

  void whatIfs() {
    if (asked_.options.whatIfs.empty()) return;
    Reckoner& base = reckoners_[v_.shopBuilt];
    const Headline before = headline(base);
    const auto one = [&](const std::vector<Change>& changes) {
      Reckoner after(changed(base.inputs(), changes));
      v_.whatIfs.push_back({changes, before, headline(after)});
    };
    std::vector<Change> all;
    for (const auto& changes : asked_.options.whatIfs) {
      one(changes);
      all.insert(all.end(), changes.begin(), changes.end());
    }
    if (asked_.options.whatIfs.size() > 1) one(all);
  }

  void notes() {
    const RouteResult& route = v_.routes[v_.shopBuilt];
    const BatchResult& b = route.batches[route.reference];
    for (const ChannelResult& c : route.channels)
      if (c.waterfall.left < Money{})
        v_.notes.push_back({NoteSeverity::Doubt, "sold-at-a-loss",
                            fmt::format("Every set sold through {} loses {:.0f} {} at {} sets.", c.channel.name,
                                        -toUnits(c.waterfall.left), asked_.shop.currency, b.sets),
                            c.channel.name});
    for (const std::string& who : b.capacity.missing)
      v_.notes.push_back({NoteSeverity::Doubt, "nobody-for-it",
                          fmt::format("{} is needed and has no hours a week: the batch is never done.", who), who});
    for (const MilledPiece& m : v_.milled) {
      if (m.ownBatch > b.sets)
        v_.notes.push_back({NoteSeverity::Info, "to-stock",
                            fmt::format("{} sets' worth are milled at a time; {} go to stock.", m.ownBatch,
                                        (m.ownBatch - b.sets) * m.piecesPerSet),
                            m.name});
      if (m.openQuestions > 0)
        v_.notes.push_back(
            {NoteSeverity::Doubt, "open-questions",
             fmt::format("{} questions are open; chipledger look {} lists them.", m.openQuestions, m.file), m.name});
    }
  }

  VariantResult& v_;
  std::vector<Reckoner>& reckoners_;
  const Asked& asked_;
  bool found_{};
  std::vector<Cut> cuts_;
};

}  // namespace

void answer(VariantResult& variant, std::vector<Reckoner>& reckoners, const Asked& asked) {
  Answerer(variant, reckoners, asked).run();
}

void againstFirst(ProductResult& result) {
  if (result.variants.size() < 2) return;
  const auto cost = [](const VariantResult& v) {
    const RouteResult& r = v.routes[v.shopBuilt];
    return r.batches[r.reference].stack.perSet;
  };
  for (std::size_t i = 1; i < result.variants.size(); ++i) {
    VariantResult& v = result.variants[i];
    v.dearerThanFirst = cost(v) - cost(result.variants.front());
    v.listRiseAgainstFirst = listRise(*v.dearerThanFirst, result.terms);
  }
}

namespace {

class Listed {
public:
  void typed(const std::string& name, double value, const std::string& unit, const Place& place) {
    const bool own = place.line > 0 && place.file != "built-in routes";
    all_.push_back(
        {name, value, unit, own ? From::Entered : From::Guessed, own ? text(place) : "common practice, no source"});
  }
  void typed(const std::string& name, const std::optional<double>& value, const std::string& unit, const Place& place) {
    if (value) typed(name, *value, unit, place);
  }
  void typed(const std::string& name, const std::optional<Money>& value, const std::string& unit, const Place& place) {
    if (value) typed(name, toUnits(*value), unit, place);
  }
  void add(Assumption a) { all_.push_back(std::move(a)); }
  Assumptions take() { return std::move(all_); }

private:
  Assumptions all_;
};

}  // namespace

Assumptions assumptionsOf(const Product& product, const std::vector<Route>& routes, const shop::Shop& shop) {
  Listed list;
  const Place file{product.file, 1};
  const Terms& t = product.terms;
  list.typed("sales.list_price", toUnits(t.list), "a set", file);
  list.typed("sales.fees_share", t.fees, "share", file);
  list.typed("sales.warranty_share", t.warranty, "share", file);
  list.typed("sales.sales_tax_share", t.salesTax, "share", file);
  list.typed("sales.wanted_margin_share", t.wantedMargin, "share", file);
  for (const Channel& c : t.channels) {
    list.typed("channel." + c.name + ".share", c.share, "share", file);
    list.typed("channel." + c.name + ".discount_share", c.discount, "share", file);
  }
  list.typed("overhead_share", product.overhead, "share", file);
  list.typed("custom.price", product.custom.price, "a custom", file);
  list.typed("custom.cost", product.custom.cost, "a custom", file);
  list.typed("custom.owner_h", product.custom.ownerHours, "h a custom", file);
  for (const BoughtPart& b : product.bought) list.typed("bought." + b.name, toUnits(b.each), "each", b.place);
  for (const SentOut& s : product.sentOut) list.typed("sent_out." + s.name, toUnits(s.each), "each", s.place);
  for (const ProductStep& s : product.steps) {
    const std::string name = "step." + s.name + ".";
    list.typed(name + "per_design_h", s.perDesign_h, "h", s.place);
    list.typed(name + "per_batch_min", s.perBatch_min, "min", s.place);
    list.typed(name + "per_set_min", s.perSet_min, "min", s.place);
    list.typed(name + "cost_per_design", s.costPerDesign, "a design", s.place);
    list.typed(name + "cost_per_batch", s.costPerBatch, "a batch", s.place);
    list.typed(name + "cost_per_set", s.costPerSet, "a set", s.place);
    list.typed(name + "good_share", s.yield, "share", s.place);
    list.typed(name + "learning", s.learning, "share at twice the count", s.place);
  }
  for (const Route& r : routes)
    for (const RouteStep& s : r.steps) {
      const std::string name = r.name + "." + s.name + ".";
      const auto above = [&](const char* key, double value, const char* unit) {
        if (value > 0) list.typed(name + key, value, unit, s.place);
      };
      above("per_design_h", s.perDesign_h, "h");
      above("per_batch_min", s.perBatch_min, "min");
      above("per_set_min", s.perSet_min, "min");
      if (s.times != 1.0) list.typed(name + "times", s.times, "times", s.place);
      list.typed(name + "attended_share", s.attended, "share", s.place);
    }
  const std::string kept[] = {"rates.", "week.", "sheet.", "once.", "scrap.", "hands.setup", "bench.learning"};
  for (Assumption& a : shop::describe(shop))
    if (std::any_of(std::begin(kept), std::end(kept), [&](const std::string& k) { return a.name.rfind(k, 0) == 0; }))
      list.add(std::move(a));
  return list.take();
}

}  // namespace chipledger::route
