#include <chipledger/cutting/bending.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace chipledger::cutting {

Beam beamOf(const Cutter& cutter, const Limits& limits, Length atLeast) {
  Beam beam;
  beam.modulus =
      megapascals(1000 * limits[cutter.material == "carbide" ? LimitName::CarbideModulus : LimitName::SteelModulus]);
  const double whole = std::max(toMm(cutter.stickOut), toMm(atLeast));
  const double flutes = std::min(toMm(cutter.fluteLength), whole);
  beam.parts.push_back({flutes, limits[LimitName::CoreShare] * toMm(cutter.diameter)});
  double done = flutes;
  if (toMm(cutter.neckDiameter) > 0 && toMm(cutter.neckLength) > done) {
    const double end = std::min(toMm(cutter.neckLength), whole);
    beam.parts.push_back({end - done, toMm(cutter.neckDiameter)});
    done = end;
  }
  const double shank = toMm(cutter.shankDiameter) > 0 ? toMm(cutter.shankDiameter) : toMm(cutter.diameter);
  if (whole > done) beam.parts.push_back({whole - done, shank});
  return beam;
}

double tipCompliance(const Beam& beam, Length loadFromTip) {
  const double a = toMm(loadFromTip);
  double begin = 0, sum = 0;
  for (const auto& part : beam.parts) {
    const double end = begin + part.length_mm;
    const double from = std::max(begin, a);
    if (end > from) {
      const double d2 = part.diameter_mm * part.diameter_mm;
      const double inertia = std::numbers::pi / 64 * d2 * d2;
      const auto integral = [&](double x) { return x * x * x / 3 - a * x * x / 2; };
      sum += (integral(end) - integral(from)) / inertia;
    }
    begin = end;
  }
  return sum / toMegapascals(beam.modulus);
}

double stressPerNewton(const Beam& beam, Length loadFromTip) {
  const double a = toMm(loadFromTip);
  double end = 0, worst = 0;
  for (const auto& part : beam.parts) {
    end += part.length_mm;
    const double d3 = part.diameter_mm * part.diameter_mm * part.diameter_mm;
    worst = std::max(worst, 32 * std::max(end - a, 0.0) / (std::numbers::pi * d3));
  }
  return worst;
}

}  // namespace chipledger::cutting
