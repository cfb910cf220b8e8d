#pragma once
// Cutters of the crib with their conditions for one piece of work, and what a minute with each costs.
#include <chipledger/geometry/curve.hpp>
#include <chipledger/path/work.hpp>

#include <optional>

namespace chipledger::path {

struct Mill {
  const cutting::Cutter* cutter{};
  cutting::Conditions conditions;
  double slotStep_mm{};  ///< depth of one full-width pass
  double radius() const { return 0.5 * toMm(cutter->diameter); }
};

/// How deep beside a standing wall a cutter reaches before its shank touches: the flutes or the relieved neck.
double reachOf(const cutting::Cutter& cutter);
/// Conditions of one cutter; empty when the tables have no row for it.
std::optional<Mill> millFor(const Work& work, const cutting::Cutter& cutter, cutting::CutKind kind, double depth_mm,
                            double reach_mm);
/// Money for one second of cutting: machine and wear.
double moneyPerSecond(const Work& work, const cutting::Cutter& cutter, const cutting::Conditions& conditions);
/// End mills (flat) of the crib, largest first.
std::vector<const cutting::Cutter*> flatMills(const Work& work);

}  // namespace chipledger::path
