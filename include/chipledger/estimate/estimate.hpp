#pragma once
// The whole estimate of one part: blank, setups, operations, ledger, price by batch, price by detail.
// Money is per piece unless a name says otherwise. Lines of a batch add up to its price exactly.
#include <chipledger/cutting/wear.hpp>
#include <chipledger/detail/detail.hpp>
#include <chipledger/field/cell_size.hpp>
#include <chipledger/ledger/ledger.hpp>
#include <chipledger/part/part.hpp>
#include <chipledger/path/plan.hpp>
#include <chipledger/result/provenance.hpp>
#include <chipledger/setup/setup.hpp>
#include <chipledger/shop/shop.hpp>
#include <chipledger/stock/stock.hpp>

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace chipledger::estimate {

inline constexpr std::size_t kLineCount = std::size(ledger::kLines);

/// Money per line, in the order of ledger::kLines.
using Stack = std::array<Money, kLineCount>;
Money total(const Stack& stack);

/// One setup as it will be run.
struct SetupResult {
  setup::Setup setup;
  VolumeCount removed;
  ledger::Minutes machine;  ///< spindle and motion time per piece, tool changes included
  TimeCount people;         ///< load, clean, turn over, bow check: hands per piece
  TimeCount perBatch;       ///< setting up, once per batch
};

/// One operation with its minutes; its place in Estimate::operations is the ledger's operation number.
struct OperationResult {
  path::Operation operation;
  ledger::Minutes minutes;
  TimeCount airTime;
  TimeCount enterTime, linkTime, rapidTime;  ///< ways in; low moves between cuts; retracts and moves above the metal
  double pathLength_mm{};                    ///< cutting moves
  Money cutterMoney;                         ///< wear of the cutter per piece
};

/// A cutter in use and how much of it a piece eats.
struct CutterUse {
  cutting::Cutter cutter;
  TimeCount cutting;                         ///< per piece
  double shareUsed{};                        ///< of one cutter per piece, breakage not in it
  double breakage{};                         ///< broken for each one worn out
  Money money;                               ///< per piece
  std::vector<cutting::CutterPurchase> buy;  ///< whole cutters for each batch size, spares included
};

/// Price at one batch size.
struct BatchPrice {
  int size{};
  Money perPiece, low, high;  ///< low and high: the band
  Stack lines{};
};

/// With minus without, at one batch size.
struct Difference {
  int size{};
  Money money;
  Stack lines{};
};

struct DetailPrice {
  int detail{};                              ///< index into details.list
  VolumeCount removed;                       ///< booked
  ledger::Minutes minutes;                   ///< booked
  Money booked;                              ///< booked share of machine and cutter money per piece
  std::vector<Difference> withMinusWithout;  ///< one per batch size; empty when it cannot be taken away
  TimeCount machineDifference;               ///< likely machine time with minus without, per piece
  std::string why;                           ///< "6.35 plate instead of 2.54; +14.8 min roughing; +1 setup"
  std::string cannot;                        ///< why it cannot be taken away; empty when it can
};

/// Several details taken away together: "all islands", "everything that needs flat-2".
struct GroupPrice {
  std::string name;
  std::vector<int> details;
  std::vector<Difference> withMinusWithout;  ///< per batch
  std::string why;
};

/// A change that would make the part cheaper, planned anew.
struct Advice {
  std::string change;             ///< what to change on the part, with its new value
  std::string about;              ///< detail, or "part"
  std::vector<Difference> saves;  ///< per batch: as drawn minus changed
  std::string why;
  bool seen{};               ///< the buyer sees the change
  std::string looks;         ///< which side the change is on, and whether its being seen was answered or is assumed
  std::vector<int> details;  ///< those that change
  std::vector<Money> upTo;   ///< separate bosses only, per batch: what one may cost before milling from solid is dearer
};

/// One cause of doubt: how far the price at the reference batch moves with it.
struct Doubt {
  std::string name;   ///< "cutter life"
  Money low, high;    ///< price per piece with the value at its ends
  std::string range;  ///< "x0.5 to x2"
};

/// What the design costs once: programming, fixture, first article, of one plate.
struct DesignCost {
  TimeCount hands;
  Money bought;
  double plates{1};  ///< plates it is paid for: each further one of a set, the mirrored mate, counts mate factor - 1
};

struct Estimate {
  std::string file, bodyName, fingerprint, unit, material, currency;
  int quantity{1};
  int piecesPerSet{1};  ///< batches count sets of this many pieces
  int bodies{1};
  int faces{};
  Volume partVolume{};
  Area partArea{};
  Vec3 size_mm;  ///< plate frame
  stock::Blank blank;
  Frame partToStock;                               ///< the frame in which the blank is a box
  VolumeCount blankVolume, removed, left, gouged;  ///< blank = removed + part + left, on the grid
  VolumeCount partOnGrid;                          ///< the part as the cells see it
  Money cutAway;           ///< metal cut away, at the price of the blank: price x removed / blank
  VolumeCount leftOnPart;  ///< of `left`: on the part and in its openings, not the frame
  int cell_um{};
  std::vector<SetupResult> setups;
  std::vector<OperationResult> operations;
  std::vector<CutterUse> cutters;
  detail::Details details;
  std::vector<DetailPrice> detailPrices;  ///< same order as details.list
  std::vector<Difference> shared;         ///< per batch: price minus the sum of with-minus-without
  std::vector<BatchPrice> batches;
  DesignCost once;
  double scrapShare{};   ///< of pieces lost
  int referenceBatch{};  ///< index into batches: the one the doubts and ranks are shown for
  std::vector<GroupPrice> groups;
  std::vector<Advice> advice;  ///< largest saving at the reference batch first
  std::vector<Doubt> doubts;   ///< largest first
  std::vector<Doubt> swings;   ///< a fifth less and more of metal, wages, machine hour, cutter life, scrap
  ledger::Ledger ledger;
  Assumptions assumptions;
  Notes notes;
  std::vector<std::string> cautions;
};

/// Steps told to `Options::progress`: one plan on the cells of details, then one for each detail, group and advice.
inline constexpr const char* kPlanningForDetails = "planning on the cells of details";
inline constexpr const char* kPricingDetails = "pricing details";

struct Options {
  std::string material{"Ti-6Al-4V"};
  std::vector<int> batches{1, 10, 25, 50, 100};
  int cell_um{0};                            ///< 0: chosen from the smallest inside radius and cutter
  std::size_t mostCells{field::kMostCells};  ///< of one grid: beyond it coarser cells, then a fault
  bool priceDetails{true};                   ///< re-plan without each detail
  std::optional<std::string> onlyDetail;     ///< re-plan without this one alone
  std::optional<std::string> answersFile;
  std::function<void(const std::string& step, int done, int of)> progress;  ///< may be empty
};

/// Details of a body as the shop reads them: its colour convention, and the answers in `answersFile` (may be empty).
Result<detail::Details> lookDetails(const part::Body& body, const setup::Plan& plan, const shop::Shop& shop,
                                    const std::string& answersFile);

/// Fails: Usage (unknown material, no plate thick enough), Limit (too many cells), BadFile (no machinable solid).
Result<Estimate> estimateBody(const part::Part& part, const part::Body& body, const shop::Shop& shop,
                              const Options& options);

}  // namespace chipledger::estimate
