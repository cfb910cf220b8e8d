#pragma once
// The steady cut of a mill: speed, chip thickness, axial and radial step of cheapest metal within limits.
// Money for one mm3: (rate + edge money * wear) / Q with
//   Q = ap ae z fz n,  fz = h / thinning share(ae / D)
//   wear = 1 / T = ((1 - s) (v/v0)^(1/n) (ae/ae0)^p (h/h0)^q + s (v/v0) (h/h0)^q) / T0   (s: share that dies by
//   chipping)
// For a given (ap, ae) the best v is closed: rate = (1/n - 1) edge money * wear part; h is as thick as the limits allow
// unless q > 1, when it is searched. (ap, ae) is searched only when a force limit binds at the corner of the table.
#include <chipledger/cutting/bending.hpp>
#include <chipledger/cutting/conditions.hpp>
#include <chipledger/cutting/force.hpp>

#include "cutting/lookup.hpp"

namespace chipledger::cutting {

struct MillProblem {
  EdgeIntegrals integrals{0.2};
  Beam beam;
  double diameter{}, effectiveDiameter{};  ///< mm; the effective one sets the spindle speed
  int teeth{};
  double helix{}, radialForce{};
  double kc11{}, mc{};                 ///< N/mm2
  double axialMost{}, axialWhole{};    ///< table limit; depth of the work (0: free), cut in even steps
  double radialLeast{}, radialMost{};  ///< equal: fixed
  std::vector<SpeedBand> bands;
  double ratedChip{}, leastChip{}, chipFactor{1};  ///< mm; reach lowers the rated chip
  double thinningMost{};
  double spindleLow{}, spindleHigh{};  ///< rpm
  double power{}, torque{};            ///< N mm/s at the edge, N mm
  double bend{}, stress{};             ///< mm, N/mm2
  double life{}, lifeFactor{1};        ///< min at the table speed; reach
  double n{}, radialExponent{}, chipExponent{}, chippingShare{}, radialStart{};
  double rate{}, edgeMoney{};  ///< per min; per cutter with its change
};

struct MillCut {
  bool possible{};
  double axial{}, radial{}, speed{}, chip{}, feedPerTooth{};  ///< mm, m/min
  double rpm{}, feed{};                                       ///< feed mm/min
  double money{};                                             ///< per mm3
  double wear{};                                              ///< 1 / min
  double force{}, deflection{}, power{}, rate{};              ///< N, mm, N mm/s, mm3/min
  const SpeedBand* band{};
  Held chipHeld{Held::Table}, speedHeld{Held::Wear};
};

/// Best speed and chip thickness at one (axial, radial).
MillCut bestAt(const MillProblem& problem, double axial, double radial, const SpeedBand& band);
/// The same steps in `factor` times the time: a thinner chip while it still cuts, then a slower spindle.
MillCut slowed(const MillProblem& problem, MillCut cut, double factor);
/// Best over everything. `corner`: the cut at the largest steps, to say what limit was met there.
MillCut cheapestCut(const MillProblem& problem, MillCut* corner = nullptr);

}  // namespace chipledger::cutting
