#include <chipledger/cutting/force.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace chipledger::cutting {
namespace {

constexpr double kStraight = 1e-3;  // helix lag (rad) below which an edge counts as straight
constexpr int kTurns = 12;          // positions looked at within one tooth pitch
constexpr double kSame = 1e-9;      // of equal peaks the first counts: thickest chip at the tip, the longest lever

}  // namespace

EdgeIntegrals::EdgeIntegrals(double forceExponent) : exponent_(1 - forceExponent) {
  const double step = std::numbers::pi / kSteps;
  for (int i = 0; i < kSteps; ++i) {
    const double phi = (i + 0.5) * step;
    const double sine = std::sin(phi);
    const double weight = std::pow(sine, exponent_) * step;
    const auto& before = sums_[static_cast<std::size_t>(i)];
    sums_[static_cast<std::size_t>(i) + 1] = {before.plain + weight, before.cosine + weight * std::cos(phi),
                                              before.sine + weight * sine};
  }
}

EdgeIntegrals::Sums EdgeIntegrals::upTo(double phi) const {
  const double place = std::clamp(phi / std::numbers::pi, 0.0, 1.0) * kSteps;
  const int cell = std::min(static_cast<int>(place), kSteps - 1);
  const double share = place - cell;
  const auto& a = sums_[static_cast<std::size_t>(cell)];
  const auto& b = sums_[static_cast<std::size_t>(cell) + 1];
  // Within the first cell the integrand rises from nothing like phi^(1-mc), its integral like phi^(2-mc).
  if (cell == 0) {
    const double s = std::pow(share, exponent_ + 1);
    return {b.plain * s, b.cosine * s, b.sine * s * share};
  }
  const auto mix = [share](double p, double q) { return p + (q - p) * share; };
  return {mix(a.plain, b.plain), mix(a.cosine, b.cosine), mix(a.sine, b.sine)};
}

UnitForces unitForces(const EdgeIntegrals& integrals, const EdgeCut& cut) {
  UnitForces result;
  const double e = std::clamp(cut.radial / cut.diameter, 0.0, 1.0);
  if (e <= 0 || cut.axial <= 0 || cut.teeth < 1) return result;
  const double arc = std::acos(1 - 2 * e);
  const double pitch = 2 * std::numbers::pi / cut.teeth;
  result.mean = cut.axial / pitch * integrals.upTo(arc).plain;

  const double lag = 2 * cut.axial * std::tan(cut.helix) / cut.diameter;
  // Rotation: `lead` is the angle of the tip of tooth 0; its edge covers [lead - lag, lead] cut to [0, arc].
  const int before = static_cast<int>(std::ceil(arc / pitch)), passed = static_cast<int>(std::ceil(lag / pitch)) + 1;
  for (int turn = 0; turn < kTurns; ++turn) {
    const double first = arc - pitch * turn / kTurns;
    double along = 0, across = 0, moment = 0, weight = 0;
    for (int tooth = -before; tooth <= passed; ++tooth) {
      const double lead = first + pitch * tooth;
      const double top = std::min(lead, arc), low = std::max(lead - lag, 0.0);
      if (top < low) continue;
      double plain, cosine, sine;
      if (lag < kStraight) {
        if (lead > arc + 1e-12) continue;
        const double s = std::sin(std::max(lead, 0.0));
        plain = s > 0 ? std::pow(s, integrals.exponent()) * cut.axial : 0;
        cosine = plain * std::cos(lead);
        sine = plain * s;
      } else {
        const auto b = integrals.upTo(top), a = integrals.upTo(low);
        const double perAngle = cut.axial / lag;
        plain = (b.plain - a.plain) * perAngle;
        cosine = (b.cosine - a.cosine) * perAngle;
        sine = (b.sine - a.sine) * perAngle;
      }
      along += cosine + cut.radialShare * sine;
      across += sine - cut.radialShare * cosine;
      const double height = lag < kStraight ? cut.axial / 2 : (lead - (top + low) / 2) / lag * cut.axial;
      moment += plain * height;
      weight += plain;
    }
    const double force = std::hypot(along, across);
    if (force > result.peak * (1 + kSame)) {
      result.peak = force;
      result.loadCentre = weight > 0 ? std::clamp(moment / weight, 0.0, cut.axial) : cut.axial / 2;
    }
  }
  return result;
}

}  // namespace chipledger::cutting
