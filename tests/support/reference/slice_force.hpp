#pragma once
// Forces of a helical end mill the slow way: thin slices along the axis, fine steps of rotation, no tables.
// The twin of cutting/force.hpp. Same frame: phi from where the chip begins to thicken, edges lag along the helix.
#include <chipledger/cutting/force.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace chipledger::test {

inline cutting::UnitForces slicedForces(double mc, const cutting::EdgeCut& cut, int slices = 400, int turns = 360) {
  cutting::UnitForces result;
  const double arc = std::acos(1 - 2 * std::min(cut.radial / cut.diameter, 1.0));
  const double pitch = 2 * std::numbers::pi / cut.teeth;
  const double dz = cut.axial / slices;
  for (int turn = 0; turn < turns; ++turn) {
    double tangential = 0, along = 0, across = 0, moment = 0;
    for (int tooth = 0; tooth < cut.teeth; ++tooth) {
      for (int slice = 0; slice < slices; ++slice) {
        const double z = (slice + 0.5) * dz;
        double phi = std::fmod(pitch * turn / turns + pitch * tooth - 2 * z * std::tan(cut.helix) / cut.diameter,
                               2 * std::numbers::pi);
        if (phi < 0) phi += 2 * std::numbers::pi;
        if (phi > arc) continue;
        const double ft = std::pow(std::sin(phi), 1 - mc) * dz;
        tangential += ft;
        along += ft * (std::cos(phi) + cut.radialShare * std::sin(phi));
        across += ft * (std::sin(phi) - cut.radialShare * std::cos(phi));
        moment += ft * z;
      }
    }
    result.mean += tangential / turns;
    const double force = std::hypot(along, across);
    if (force > result.peak) {
      result.peak = force;
      result.loadCentre = tangential > 0 ? moment / tangential : 0;
    }
  }
  return result;
}

}  // namespace chipledger::test
