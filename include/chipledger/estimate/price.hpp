#pragma once
// From minutes to money: the ledger of one piece at one batch size.
//   metal     blank
//   machine   (likely machine minutes + touches of the probe) x rate
//   people    attended share of machine minutes + hands at the machine + bench, x their rates
//   cutters   minutes in metal / life x price x (1 + breakage); holes / holes per cutter for drills and taps
//   setup     setups x minutes per batch x (machine + machinist) / pieces
//   fixture   (hours once per design x machinist + bought) x mate factor / pieces
//   scrap     s / (1 - s) x (metal + what was spent on the lost piece), s from what is on the part
//   overhead  share of all of the above
#include <chipledger/detail/detail.hpp>
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/estimate/plan_part.hpp>
#include <chipledger/ledger/ledger.hpp>
#include <chipledger/shop/shop.hpp>

#include <vector>

namespace chipledger::estimate {

/// Separate bosses pressed in or screwed on where islands stood: fitted at the bench, bought at the shop's price.
struct Bosses {
  enum class Fixing { None, Pressed, Screwed } fixing{Fixing::None};
  int count{};
};

/// Factors on what is guessed, for asking how sure the price is; all 1: as the shop has it.
struct Varied {
  double metal{1};        ///< price of metal
  double cutting{1};      ///< machine minutes: table speeds, feeds, steps
  double machineHour{1};  ///< rate
  double wage{1};         ///< rates of all people
  double bench{1};        ///< bench minutes
  double hands{1};        ///< loading and setting-up minutes
  double cutterLife{1};
  double scrap{1};  ///< share of pieces lost
  double once{1};   ///< programming, fixture, first article: hours and bought
};

/// What the price depends on besides the machine plan.
struct PriceInput {
  const MachinePlan* plan{};
  const detail::Details* details{};
  std::vector<char> dropped;  ///< per detail: taken away
  std::vector<path::HoleOrder> holes;
  const shop::Shop* shop{};
  Bosses bosses{};
  Varied varied{};
};

/// Books one piece of a batch of `sets` sets. Every line of the price is the sum of its entries, exactly.
ledger::Ledger bookPiece(const PriceInput& input, int sets);

/// Share of pieces lost.
double scrapShare(const PriceInput& input);

DesignCost designCost(const PriceInput& input);

}  // namespace chipledger::estimate
