#pragma once
// One tool as the workshop sells it: plates milled from STEP files, parts bought, work sent out, hand work, what it is
// sold for and through whom. Money is in the shop's currency. Quantities are per set (one tool).
#include <chipledger/units/money.hpp>
#include <chipledger/units/quantity.hpp>

#include <optional>
#include <string>
#include <vector>

namespace chipledger::route {

/// Who does a step. The owner's hours are counted, not paid: what is left pays them.
enum class Who { Owner, Machinist, Bench, Packing, Outside };
inline constexpr Who kEveryone[] = {Who::Owner, Who::Machinist, Who::Bench, Who::Packing, Who::Outside};
inline constexpr std::size_t kWhoCount = std::size(kEveryone);
const char* word(Who who);

/// Where something stands in the product file, for sentences: "product.toml:12".
struct Place {
  std::string file;
  int line{};
};
std::string text(const Place& place);

/// A part milled from a STEP file.
struct MilledPart {
  std::string name;
  std::string step;      ///< path as it can be opened
  std::string body;      ///< body of the file; empty: its only one
  std::string material;  ///< empty: the shop's
  std::string answers;   ///< answers file; may be empty
  int quantity{1};       ///< pieces of it in a set, without mates
  bool mirrorMate{};     ///< each piece has a mate that is its mirror image: twice the pieces, one more program
  int ownBatch{};        ///< sets' worth milled at a time; 0: the batch itself
  std::vector<std::string> only;  ///< variants it belongs to; empty: all
  Place place;
  int pieces() const { return quantity * (mirrorMate ? 2 : 1); }
};

struct PriceBreak {
  int from{};  ///< pieces ordered
  Money each;
};

/// Blade, handle scales, screws, spacers, boxes: anything bought by the piece.
struct BoughtPart {
  std::string name;
  double quantity{1};
  Money each;
  int minimumOrder{1};
  std::vector<PriceBreak> breaks;  ///< rising; each holds for the whole order
  std::string at;                  ///< step before which it must be there; empty: the last hand step
  std::vector<std::string> only;
  Place place;
};

/// Waterjet blanks, stress relief, wire cutting, coating: paid by the piece with a minimum charge, and takes days.
struct SentOut {
  std::string name;
  double quantity{1};  ///< pieces per set that go out
  Money each, minimumCharge;
  double daysLow{}, daysHigh{};
  std::string at;
  std::vector<std::string> only;
  Place place;
};

/// Hand work of the product: assembly, fitting, finishing, packing, design. A route says who does it.
struct ProductStep {
  std::string name;
  std::optional<Who> who;  ///< absent: the route's own, else the bench
  std::optional<double> perDesign_h, perBatch_min, perSet_min;
  std::optional<Money> costPerDesign, costPerBatch, costPerSet;
  std::optional<double> learning;  ///< share of the time at twice the count
  std::optional<double> yield;     ///< share that comes out good
  bool bearsOverhead{true};
  std::vector<std::string> only;
  Place place;
};

/// Who sells it: the workshop itself or dealers.
struct Channel {
  std::string name;
  double share{1};     ///< of the sets
  double discount{0};  ///< off list
};

struct Terms {
  Money list;  ///< before sales tax
  std::vector<Channel> channels{{"direct", 1.0, 0.0}};
  double fees{}, warranty{};  ///< shares of what the buyer or dealer pays
  double salesTax{};          ///< on top; never in the margin
  double wantedMargin{0.35};  ///< share of what the buyer or dealer pays
  std::optional<Money> targetList;
  double priceStep{5};  ///< list prices are rounded up to a multiple of this
};

/// What his custom bench earns; what is absent comes from the full custom route of this tool.
struct CustomBench {
  std::optional<Money> price;  ///< before sales tax
  std::optional<Money> cost;   ///< materials, machine, people
  Money overhead;
  std::optional<double> ownerHours;
};

/// What was made before: practice gained, practice lost.
struct History {
  int setsMade{};
  double monthsSince{};
};

/// Another way to make the tool: other STEP files for named parts; parts and steps may belong to it alone.
struct Variant {
  std::string name;
  std::vector<std::pair<std::string, std::string>> steps;  ///< milled part -> STEP path
  Place place;
};

struct Product {
  std::string name, file;
  std::string currency;  ///< as the file says, to be held against the shop's; empty: not said
  Place currencyPlace;
  std::string shopFile;            ///< as it can be opened; empty: none named
  std::vector<int> batches;        ///< sets; empty: the shop's
  std::optional<int> sets;         ///< the batch the answers are for
  std::optional<double> overhead;  ///< absent: the shop's
  Terms terms;
  CustomBench custom;
  History history;
  std::vector<MilledPart> milled;
  std::vector<BoughtPart> bought;
  std::vector<SentOut> sentOut;
  std::vector<ProductStep> steps;
  std::vector<Variant> variants;  ///< empty: the product as it stands
};

}  // namespace chipledger::route
