#pragma once
// One route of one product at any batch size, from quantities alone: no file is read and nothing is planned here.
// Of a milled part with scrap share s, of whose minutes the share w is spent when a piece is lost, G good pieces per
// set are needed where the milling ends (yield.hpp), and per good piece
//   metal             G (1 + s / (1 - s))
//   machine, loading, cutters, attended minutes   G (1 + w s / (1 - s))
// Hand work of step i is done on entering(i) sets per good set, times the practice of the batch (practice.hpp).
// Setting up is paid per setup and batch, or per setup and own batch of the part. Money is rounded once per booking.
#include <chipledger/route/practice.hpp>
#include <chipledger/route/route.hpp>
#include <chipledger/route/yield.hpp>

#include <string>
#include <vector>

namespace chipledger::route {

/// A step with everything that product and route say about it.
struct Job {
  std::string name;
  Who who{Who::Bench};
  Takes takes{Takes::Nothing};
  double times{1};
  double perDesign_h{}, perBatch_min{}, perSet_min{};
  Money costPerDesign, costPerBatch, costPerSet;
  double learning{1};
  double yield{1};
  std::optional<double> machineYield;  ///< share good at the machine, instead of the estimate's
  double attended{};
  bool bearsOverhead{true};
};

struct RouteInputs {
  std::string name;
  bool custom{};
  std::vector<Job> jobs;  ///< in order of work
  std::vector<MilledPiece> milled;
  std::vector<BoughtPart> bought;
  std::vector<SentOut> sentOut;
  Terms terms;  ///< for a custom: its own price, sold direct
  double overhead{};
  shop::Rates rates;
  shop::Week week;
  History history;
  int usualSets{50};
  double benchLearning{1};
  double ownerTimes{1};  ///< all of the owner's hours times this
};

/// The parts and steps that belong to the variant, and the route's view of them. `milled` are the variant's pieces.
/// Fails: BadFile when parts are milled and the route has no step that takes the machine's minutes.
Result<RouteInputs> gather(const Product& product, const Variant* variant, const Route& route,
                           const std::vector<MilledPiece>& milled, const shop::Shop& shop);

/// The same inputs after a what-if.
RouteInputs changed(RouteInputs inputs, const std::vector<Change>& changes);

class Reckoner {
public:
  explicit Reckoner(RouteInputs inputs);
  /// sets >= 1. Capacity in it.
  BatchResult at(int sets);
  CurvePoint point(int sets);
  /// Every batch size from 1 up to `largest`.
  std::vector<CurvePoint> curve(int largest);
  /// Orders for a batch. `sheet` gives the standard sheet.
  BuyList buyList(int sets, const shop::Shop& shop) const;
  const RouteInputs& inputs() const { return inputs_; }
  const MeanNet& mean() const { return mean_; }

private:
  RouteInputs inputs_;
  Yield yield_;
  double goodAtMachine_{1};   ///< pieces that must leave the machine good, per good set and piece in it
  std::size_t machineJob_{};  ///< index; jobs.size() without one
  MeanNet mean_;
  std::vector<Practice> practice_;       ///< per job, in sets
  std::vector<Practice> benchPractice_;  ///< per milled piece, in pieces
};

}  // namespace chipledger::route
