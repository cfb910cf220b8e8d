#pragma once
// Forces of a helical end mill from the specific force: on a slice da of an edge at angle phi (0 where the chip begins
// to thicken), h = fz sin(phi), dFt = kc1.1 h^(1-mc) da, dFr = radial share * dFt. Edges lag along the helix by 2
// tan(beta) / D per mm. With S(phi) = integral of sin^(1-mc), X and Y the same weighted with cos and sin, the sum over
// a whole edge is a difference of these tables, so one force needs no integration.
//   mean tangential force (power, torque)  Ft = kc1.1 fz^(1-mc) ap z / (2 pi) S(phi_e)
//   peak                                   largest resultant over one tooth pitch of rotation
// Laws: the mean grows with axial and radial step; with mc = 0 it is ap ae z / (pi D); forces scale with fz^(1-mc).
// Frame: x along the feed, y to the side; climb and conventional milling have the same resultant.
#include <array>

namespace chipledger::cutting {

/// The tables of one exponent mc; 2 microseconds to build.
class EdgeIntegrals {
public:
  explicit EdgeIntegrals(double forceExponent);
  struct Sums {
    double plain{}, cosine{}, sine{};
  };
  /// From 0 to phi; phi in [0, pi].
  Sums upTo(double phi) const;
  double exponent() const { return exponent_; }

private:
  static constexpr int kSteps = 64;  ///< midpoint rule; worst force error against adaptive integration 0.3 %
  double exponent_{};                ///< 1 - mc
  std::array<Sums, kSteps + 1> sums_{};
};

/// Shape of an engagement; lengths in mm, angles in radians.
struct EdgeCut {
  double diameter{}, axial{}, radial{};
  int teeth{};
  double helix{};
  double radialShare{};  ///< dFr / dFt
};

/// Forces over kc1.1 fz^(1-mc), in mm.
struct UnitForces {
  double mean{};        ///< mean tangential force of all teeth
  double peak{};        ///< largest resultant across the axis
  double loadCentre{};  ///< mm above the tip at which the peak acts
};
UnitForces unitForces(const EdgeIntegrals& integrals, const EdgeCut& cut);

}  // namespace chipledger::cutting
