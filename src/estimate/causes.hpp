#pragma once
// Why a part costs more than the same part drawn another way, in one line.
#include <chipledger/estimate/plan_part.hpp>
#include <chipledger/estimate/price.hpp>

#include <string>

namespace chipledger::estimate {

/// What the line is drawn from, of one side of a difference.
struct CauseSide {
  const MachinePlan* plan{};
  TimeCount bench;  ///< hands at the bench, a piece
  double scrapShare{};
  TimeCount once;  ///< programming, fixture, first article
};
CauseSide causeSide(const PriceInput& input, const ledger::Ledger& book);

/// Likely minutes of what ball cutters carve.
double carvingMinutes(const MachinePlan& plan);

/// "6.35 plate instead of 2.54; +14.8 min roughing; +1 setup; +5.6 min bench; +4.0 % scrap; +8.8 h once"
std::string causes(const CauseSide& with, const CauseSide& without);

}  // namespace chipledger::estimate
