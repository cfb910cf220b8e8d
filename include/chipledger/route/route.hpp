#pragma once
// Shop-built or full custom: what a tool costs by each route and batch size, what it must sell for, how many of the
// owner's hours it eats, from which batch on it pays, what to buy, who is the bottleneck.
// The owner's time is counted in hours and not in money: what is left pays it.
#include <chipledger/route/buy.hpp>
#include <chipledger/route/capacity.hpp>
#include <chipledger/route/crossing.hpp>
#include <chipledger/route/milled.hpp>
#include <chipledger/route/routes.hpp>
#include <chipledger/route/sales.hpp>
#include <chipledger/route/stack.hpp>
#include <chipledger/route/what_if.hpp>

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace chipledger::route {

/// One route at one batch size; money and hours of the whole batch unless a name says otherwise.
struct BatchResult {
  int sets{};
  Stack stack;                            ///< costs, line by line
  Money netPerSet;                        ///< mean over the channels, after discount, fees and warranty
  Money income;                           ///< sets x netPerSet
  Money left;                             ///< income - cost
  std::array<double, kWhoCount> hours{};  ///< per Who
  double spindleHours{}, spindleLow{}, spindleHigh{};
  double ownerHours{}, ownerHoursPerSet{};  ///< per set: those that come with each further set
  std::optional<double> perOwnerHour;       ///< absent: none of the owner's hours
  std::optional<double> customsDisplaced;   ///< full customs not made meanwhile; absent: hours of a custom not known
  Capacity capacity;
};

/// What can be taken out or changed on a milled part, planned anew; in money per set with overhead.
struct Cut {
  std::string part, change, why;
  Money perSet;
  bool seen{};               ///< the buyer sees it
  bool needed{};             ///< among the shortest list that reaches what is wanted
  std::vector<int> details;  ///< details of the part that it changes: two cuts of one detail do not add up
};

/// A channel at the reference batch.
struct ChannelResult {
  Channel channel;
  Waterfall waterfall;
  std::vector<Cut> mend;  ///< a loss only: the shortest list of cuts that ends it, or as far as they go
  bool mended{};          ///< they end it
};

/// A list price and what it is for.
struct ListPrice {
  enum class Aim { NoLoss, WantedMargin, CustomHour };
  Aim aim{};
  std::string channel;            ///< empty: all channels together
  double margin{};                ///< WantedMargin only
  bool possible{true};            ///< false: fees, warranty and margin leave nothing
  Money exact, rounded, withTax;  ///< withTax: of rounded
};
const char* word(ListPrice::Aim aim);

struct RouteResult {
  std::string name;
  bool custom{};
  Money list;  ///< the price it sells at, before sales tax
  MeanNet mean;
  std::vector<BatchResult> batches;
  std::size_t reference{};  ///< into batches
  Crossing crossing;
  std::vector<CurvePoint> curve;  ///< thinned; the sizes of `batches` and the crossings are among them
  std::vector<ChannelResult> channels;
  std::vector<ListPrice> lists;
};

/// Details of a milled part that belong together: what they cost per set and what list must rise by to keep them.
struct Earning {
  std::string part, what;
  Money perSet;  ///< overhead in it
  std::optional<Money> listRise;
};

/// What must go for a target list price.
struct Target {
  Money list, allowed, cost, toCut;  ///< per set; toCut <= 0: reached already
  double margin{};                   ///< kept at the target
  std::vector<Cut> cuts;             ///< largest first
  bool reached{};                    ///< with the needed cuts
};

/// The headline figures of the shop-built route, for what-ifs.
struct Headline {
  Money costPerSet, left;
  double ownerHours{};
  std::optional<double> perOwnerHour;
  std::optional<int> cash, beatsCustom;
  std::optional<Money> listToKeep;  ///< the wanted margin over all channels
};

struct WhatIf {
  std::vector<Change> changes;
  Headline before, after;
};

/// How far one value alone moves what is left of the batch.
struct TornadoBar {
  Lever lever{};
  std::string name, range;  ///< "metal price", "x0.8 to x1.3"
  Money low, high;          ///< left of the batch at the ends of the range
  Money width;              ///< |high - low|
};

struct VariantResult {
  std::string name;  ///< empty: the product has no variants
  bool asInFile{};   ///< its parts are those that the product file names, none swapped
  std::vector<MilledPiece> milled;
  std::vector<RouteResult> routes;  ///< in the order of the routes; see shopBuilt and custom
  std::size_t shopBuilt{};          ///< index of the route that the answers are about
  std::optional<std::size_t> custom;
  double customPerHour{};                ///< what the custom bench earns per owner hour: the yardstick
  std::string customFrom;                ///< where the yardstick is from, in words
  std::optional<double> customHours;     ///< owner hours of one full custom
  std::optional<BatchResult> customOne;  ///< one full custom of this tool by the custom route
  BuyList buy;                           ///< for the reference batch
  std::vector<Earning> earnings;
  std::optional<Target> target;
  std::vector<TornadoBar> tornado;  ///< widest first
  std::vector<WhatIf> whatIfs;
  std::optional<Money> dearerThanFirst;       ///< cost per set minus that of the first variant, at the reference batch
  std::optional<Money> listRiseAgainstFirst;  ///< what list must rise by to pay for that
  Notes notes;
};

struct ProductResult {
  std::string name, file, shop, currency;
  int decimals{2};
  int sets{};  ///< the batch the answers are for
  Terms terms;
  double overhead{};
  std::vector<VariantResult> variants;  ///< at least one
  Assumptions assumptions;
  Notes notes;
  std::vector<std::string> cautions;
};

}  // namespace chipledger::route
