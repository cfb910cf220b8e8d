#pragma once
// A cutter as a stepped cantilever: shank, neck and flutes one after the other, clamped at the holder.
//   y_tip = sum over parts of integral (x - a) x / (E I) dx, x from the tip, load F at x = a, I = pi d^4 / 64
// The fluted part counts with its core: d = core share * D. The holder and the spindle are taken as stiff.
// Fails nowhere: parts of no length count nothing. Method: docs/method/cutting.md
#include <chipledger/cutting/cutter.hpp>
#include <chipledger/cutting/limits.hpp>

#include <vector>

namespace chipledger::cutting {

struct BeamPart {
  double length_mm{};
  double diameter_mm{};
};

/// From the tip to the holder.
struct Beam {
  std::vector<BeamPart> parts;
  Pressure modulus{};
};

/// Fluted part, neck (when there is one), shank; a stick-out shorter than `atLeast` is taken as that long.
Beam beamOf(const Cutter& cutter, const Limits& limits, Length atLeast = {});

/// mm of deflection at the tip for 1 N at `loadFromTip`.
double tipCompliance(const Beam& beam, Length loadFromTip);

/// Largest bending stress (N/mm2) for 1 N at `loadFromTip`: 32 (x - a) / (pi d^3) at the holder end of each part.
double stressPerNewton(const Beam& beam, Length loadFromTip);

}  // namespace chipledger::cutting
