#include <chipledger/report/number.hpp>
#include <chipledger/report/route_wording.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::report {

using route::BatchResult;
using route::ListPrice;
using route::ProductResult;
using route::RouteResult;
using route::VariantResult;

std::string amountText(Money money, int decimals) { return fixed(toUnits(money), decimals); }

std::string amountRounded(Money money) {
  std::string text = moneyRounded(money);
  // Thousands apart, so that 16453 is not taken for 1645.
  const std::size_t point = std::min(text.find('.'), text.size());
  const std::size_t first = text.front() == '-' ? 1 : 0;
  for (std::size_t at = point; at > first + 3; at -= 3) text.insert(at - 3, ",");
  return text;
}

const RouteResult& shopBuilt(const VariantResult& variant) { return variant.routes[variant.shopBuilt]; }
const BatchResult& batchAsked(const VariantResult& variant) {
  const RouteResult& route = shopBuilt(variant);
  return route.batches[route.reference];
}

std::size_t leadVariant(const ProductResult& result) {
  std::size_t lead = 0;
  const auto earns = [&](std::size_t i) {
    const BatchResult& b = batchAsked(result.variants[i]);
    return b.perOwnerHour ? *b.perOwnerHour : toUnits(b.left);
  };
  for (std::size_t i = 1; i < result.variants.size(); ++i)
    if (earns(i) > earns(lead)) lead = i;
  return lead;
}

std::string fromBatch(const std::optional<int>& batch, int searchedTo) {
  if (!batch) return "not up to " + std::to_string(searchedTo) + " sets";
  return *batch <= 1 ? "from the first set" : "from " + std::to_string(*batch) + " sets";
}

std::string weeksText(const route::Capacity& capacity) {
  if (!capacity.missing.empty()) return "never: no hours for " + capacity.missing.front();
  return fixed(capacity.weeks.low, 1) + " to " + fixed(capacity.weeks.high, 1);
}

std::string listAimText(const ListPrice& price) {
  const std::string through = price.channel.empty() ? "all channels together" : price.channel;
  switch (price.aim) {
    case ListPrice::Aim::NoLoss:
      return "no loss, " + through;
    case ListPrice::Aim::WantedMargin:
      return "keep " + percentText(price.margin) + ", " + through;
    case ListPrice::Aim::CustomHour:
      return "earn what a custom earns an hour";
  }
  return through;
}

namespace {

const ListPrice* findList(const RouteResult& route, ListPrice::Aim aim, const std::string& channel) {
  const auto it = std::find_if(route.lists.begin(), route.lists.end(),
                               [&](const ListPrice& p) { return p.aim == aim && p.channel == channel; });
  return it == route.lists.end() ? nullptr : &*it;
}

std::string hoursText(double hours) { return fixed(hours, hours < 10 ? 1 : 0); }

class Words {
public:
  Words(const ProductResult& result, std::size_t variant)
      : r_(result), v_(result.variants[variant]), route_(shopBuilt(v_)), b_(batchAsked(v_)) {}

  RouteSummary all() const { return {verdict(), list(), hours(), when(), channels(), moves()}; }

private:
  std::string units(Money money) const { return amountRounded(money) + " " + r_.currency; }

  // Three ways it can come out: the batch earns more than customs do; a larger one would; none does.
  std::string lead() const {
    const bool earns = b_.perOwnerHour ? *b_.perOwnerHour >= v_.customPerHour : b_.left >= Money{};
    if (earns) return "Shop-built.";
    if (route_.crossing.perHour)
      return "Full custom at " + std::to_string(b_.sets) + " sets; shop-built " +
             fromBatch(route_.crossing.perHour, route_.crossing.searchedTo) + ".";
    const std::optional<double> asCustom = v_.customOne ? v_.customOne->perOwnerHour : std::nullopt;
    if (asCustom && *asCustom > 0)
      return "Full custom, if at all: shop-built never earns what your customs do at this list price; as a custom this "
             "tool earns " +
             units(money(*asCustom)) + " an hour.";
    return "Neither as it stands: it earns your hours nothing by any route.";
  }

  std::string verdict() const {
    std::string out = lead() + " " + std::to_string(b_.sets) + " sets " + (b_.left >= Money{} ? "leave " : "lose ") +
                      units(b_.left >= Money{} ? b_.left : -b_.left) + " after cost";
    if (b_.perOwnerHour) {
      out += ", " + units(money(*b_.perOwnerHour)) + " for each of your hours";
    } else {
      out += " and take none of your hours";
    }
    out += "; your customs earn " + units(money(v_.customPerHour)) + " an hour.";
    const int far = route_.crossing.searchedTo;
    if (route_.crossing.cash) {
      out += " Cash is even " + fromBatch(route_.crossing.cash, far) + "; it beats your customs " +
             fromBatch(route_.crossing.perHour, far) + ".";
    } else {
      out += " Cash is never even up to " + std::to_string(far) + " sets.";
    }
    return out;
  }

  std::string list() const {
    const Money each = b_.netPerSet - b_.stack.perSet;
    std::string out = "At " + units(route_.list) + " before tax a set brings " + units(b_.netPerSet) + ", costs " +
                      units(b_.stack.perSet) + (each >= Money{} ? " and leaves " : " and loses ") +
                      units(each >= Money{} ? each : -each) + ".";
    if (const ListPrice* all = findList(route_, ListPrice::Aim::WantedMargin, "")) {
      if (!all->possible) {
        out += " No list price keeps " + percentText(all->margin) + ": fees, warranty and margin take everything.";
      } else {
        out += " To keep " + percentText(all->margin) + ": list " + units(all->rounded);
        std::string parts;
        if (r_.terms.channels.size() > 1)
          for (const route::Channel& c : r_.terms.channels)
            if (const ListPrice* p = findList(route_, ListPrice::Aim::WantedMargin, c.name);
                p != nullptr && p->possible)
              parts += (parts.empty() ? "" : ", ") + amountRounded(p->rounded) + " if sold " +
                       (c.discount > 0 ? "through " + c.name + " alone" : c.name + " alone");
        if (!parts.empty()) out += " (" + parts + ")";
        if (r_.terms.salesTax > 0) out += "; " + units(all->withTax) + " with tax";
        out += ".";
      }
    }
    return out;
  }

  std::string hours() const {
    if (!(b_.ownerHours > 0)) return "None: every step is done by others.";
    std::string out = hoursText(b_.ownerHours) + " h in the batch of " + std::to_string(b_.sets) + ", " +
                      fixed(60 * b_.ownerHoursPerSet, 0) + " min of them with each set";
    const auto owner = std::find_if(b_.capacity.loads.begin(), b_.capacity.loads.end(),
                                    [](const route::Load& l) { return l.name == "owner"; });
    if (owner != b_.capacity.loads.end() && owner->have_h > 0)
      out += "; " + fixed(route::weeksOf(*owner), 1) + " weeks at " + trimmed(owner->have_h, 1) + " h a week";
    if (b_.customsDisplaced)
      out += ". That is " + fixed(*b_.customsDisplaced, 1) + " full customs of " + hoursText(*v_.customHours) +
             " h not made";
    return out + ".";
  }

  std::string when() const {
    const route::Capacity& c = b_.capacity;
    if (!c.missing.empty()) {
      std::string names;
      for (const std::string& name : c.missing) names += (names.empty() ? "" : " and ") + name;
      return "Never: " + names + (c.missing.size() == 1 ? " is" : " are") + " needed and has no hours a week.";
    }
    if (c.bottleneck < 0) return "Nothing to do.";
    const route::Load& neck = c.loads[static_cast<std::size_t>(c.bottleneck)];
    const bool away = !v_.buy.work.empty();
    return "In " + weeksText(c) + " weeks" + (away ? ", work sent out in it" : "") + ". The bottleneck is the " +
           neck.name + ": " + hoursText(neck.need_h) + " h at " + trimmed(neck.have_h, 1) + " h a week, " +
           fixed(c.usualWeeks, 1) + " weeks.";
  }

  std::string channels() const {
    std::string out;
    for (const route::ChannelResult& c : route_.channels) {
      if (c.waterfall.left >= Money{}) continue;
      if (!out.empty()) out += " ";
      out += "Every set sold through " + c.channel.name + " loses " + units(-c.waterfall.left) + ": it brings " +
             units(c.waterfall.net) + " and costs " + units(c.waterfall.cost) + ". What would mend it: ";
      std::vector<std::string> ways;
      if (const ListPrice* p = findList(route_, ListPrice::Aim::NoLoss, c.channel.name); p != nullptr && p->possible)
        ways.push_back("a list price of " + units(p->rounded) + " or more");
      for (const route::ChannelResult& other : route_.channels)
        if (other.waterfall.left > Money{})
          ways.push_back("sales " + other.channel.name + " only, which leave " + units(other.waterfall.left));
      variantsThatPay(c.channel.name, ways);
      if (!c.mend.empty()) {
        std::string cuts;
        for (const route::Cut& cut : c.mend)
          cuts += (cuts.empty() ? "" : "; ") + cut.change + " (" + units(cut.perSet) + ")";
        ways.push_back(std::string(c.mended ? "" : "not enough alone: ") + cuts);
      }
      for (std::size_t i = 0; i < ways.size(); ++i)
        out += (i == 0 ? "" : i + 1 == ways.size() ? ", or " : ", ") + ways[i];
      out += ways.empty() ? "nothing found." : ".";
    }
    return out;
  }

  void variantsThatPay(const std::string& channel, std::vector<std::string>& ways) const {
    for (const VariantResult& other : r_.variants) {
      if (&other == &v_) continue;
      for (const route::ChannelResult& c : shopBuilt(other).channels)
        if (c.channel.name == channel && c.waterfall.left >= Money{})
          ways.push_back("variant " + other.name + ", which leaves " + units(c.waterfall.left));
    }
  }

  std::string moves() const {
    std::string out;
    constexpr std::size_t kShown = 3;
    for (std::size_t i = 0; i < std::min(kShown, v_.tornado.size()); ++i) {
      const route::TornadoBar& bar = v_.tornado[i];
      const Money low = std::min(bar.low, bar.high), high = std::max(bar.low, bar.high);
      out += (out.empty() ? "" : "; ") + bar.name + " " + bar.range + ": left of the batch " + amountRounded(low) +
             " to " + amountRounded(high);
    }
    return out.empty() ? out : out + ".";
  }

  const ProductResult& r_;
  const VariantResult& v_;
  const RouteResult& route_;
  const BatchResult& b_;
};

}  // namespace

RouteSummary summariseRoute(const ProductResult& result, std::size_t variant) { return Words(result, variant).all(); }

}  // namespace chipledger::report
