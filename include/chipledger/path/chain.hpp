#pragma once
// Which cutters: a sequence of falling diameters with the least money.
//
// What cutter j costs after cutter i depends on the pair alone, because what a smaller cutter reaches contains what a
// larger one reaches. So the cheapest sequence is a shortest path over pairs (engine notes 7). A link costs the time of
// L = A_c / s + P_c / 2 per layer (time-estimation 2.1), a way in per piece, the change and the wear. Among sequences
// within 2 % the shorter one is taken. Metal that a feasible cutter could reach must not stay: every mm2 of it costs
// more than any path. Places that a cutter passes without roughing's allowance alone (narrow.hpp) are its own at full
// width, A / 2R long in slot steps: no smaller cutter clears them in radial steps.
#include <chipledger/geometry/curve.hpp>
#include <chipledger/geometry/polygon.hpp>

#include <functional>
#include <vector>

namespace chipledger::path {

/// Metal to take down to one height.
struct Zone {
  Region metal;       ///< plan, without allowances
  Region obstacle;    ///< what must stay
  double depth_mm{};  ///< from the top of what stands beside it
  double z_mm{};      ///< height of the tip
  bool soft{};        ///< what stays is cut by another kind of cutter
};

/// One cutter before the choice.
struct Candidate {
  double radius_mm{};
  double reach_mm{};  ///< deepest zone it can work in
  double step_mm{}, layer_mm{}, feed_mm_s{};
  double moneyPerSecond{};
  double slotStep_mm{}, slotFeed_mm_s{}, slotMoneyPerSecond{};  ///< at full width; feed 0: as beside a wall
  double changeMoney{};
  /// What must stay for this cutter, shank and holder included; empty: the zone's own obstacle, and reach_mm decides.
  std::function<const Region&(const Zone&)> obstacle;
};

struct Chain {
  std::vector<int> cutters;  ///< indices of candidates, falling diameters
  std::vector<Region> left;  ///< per zone: what none of the cutters reaches, on exact geometry
  double money{};
};

/// `candidates` by falling radius. Empty chain when no candidate fits anywhere. `allowance_mm`: what roughing leaves on
/// walls.
Chain chooseChain(const std::vector<Zone>& zones, const std::vector<Candidate>& candidates, double fit_mm,
                  double allowance_mm = 0.0);

/// What a cutter of this radius cannot reach of `metal`: metal without the opening of the free room.
Region unreachable(const Region& metal, const Region& obstacle, double radius_mm, double fit_mm);

}  // namespace chipledger::path
