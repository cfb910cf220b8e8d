#include "cutting/mill.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include <chipledger/cutting/formulas.hpp>

namespace chipledger::cutting {
namespace {

constexpr double kGolden = 0.6180339887498949;
constexpr int kAxialSteps = 16;       // even divisions of the depth that are looked at
constexpr int kFreeSteps = 32;        // steps of a free depth: teeth that come and go along the helix make many valleys
constexpr int kRadialSteps = 6;       // radial steps of the coarse look
constexpr int kRefine = 20;           // golden sections: 0.618^20 = 0.01 % of the interval
constexpr int kRefineFree = 12;       // within a valley of a free depth, whose bottom is then refined
constexpr double kNearBest = 1.12;    // the coarse look may be this far off: what lies within it is looked at closely
constexpr double kNearValley = 1.05;  // a close look at single steps of a free depth may be this far off
constexpr double kShallowest = 0.02;  // least axial step, share of D
constexpr double kNotch = 0.97;       // a step this much narrower tells which way the money falls
constexpr double kLevelFrom = 0.4;    // from about here up the chip is as thick as the feed and the notch tells nothing
constexpr double kFarNotch = 0.5;

struct ChipLimit {
  double feedPerTooth{};
  Held held{Held::Table};
};

/// wear(v) = a v^(1/n) + b v, in shares of a cutter per minute
struct Wear {
  double a{}, b{};
};

Wear wearOf(const MillProblem& p, const MillCut& cut) {
  const double chipTerm = std::pow(cut.chip / p.ratedChip, p.chipExponent);
  const double life0 = p.life * p.lifeFactor * cut.band->lifeShare;
  return {(1 - p.chippingShare) * std::pow(cut.radial / p.radialStart, p.radialExponent) * chipTerm /
              (life0 * std::pow(cut.band->start, 1 / p.n)),
          p.chippingShare * chipTerm / (life0 * cut.band->start)};
}

double circumferenceOf(const MillProblem& p) { return std::numbers::pi * p.effectiveDiameter / 1000; }  // m

/// What follows from the steps, the feed per tooth and the speed.
void fill(const MillProblem& p, const Wear& wear, MillCut& cut) {
  cut.wear = wear.a * std::pow(cut.speed, 1 / p.n) + wear.b * cut.speed;
  cut.rpm = cut.speed / circumferenceOf(p);
  cut.feed = cut.feedPerTooth * p.teeth * cut.rpm;
  cut.rate = cut.axial * cut.radial * cut.feed;
  cut.money = cut.possible ? (p.rate + p.edgeMoney * cut.wear) / cut.rate : std::numeric_limits<double>::infinity();
}

/// Money per mm3 at the best speed with the given chip; fills everything else.
void finish(const MillProblem& p, const UnitForces& unit, double compliance, MillCut& cut) {
  const auto& band = *cut.band;
  const double circumference = circumferenceOf(p);
  const double share = chipThicknessShare(std::min(cut.radial / p.effectiveDiameter, 1.0));
  const double scale = p.kc11 * std::pow(cut.feedPerTooth, p.integrals.exponent());
  cut.chip = cut.feedPerTooth * share;
  const double tangential = scale * unit.mean;
  const Wear wear = wearOf(p, cut);
  const double cheapest = std::pow(p.rate / (p.edgeMoney * wear.a * (1 / p.n - 1)), p.n);

  const double spindleMost = p.spindleHigh * circumference, spindleLeast = p.spindleLow * circumference;
  const double powerMost = p.power / std::max(tangential, 1e-12) * 60 / 1000;  // mm/s -> m/min
  double most = band.high;
  Held mostHeld = Held::SpeedRange;
  if (spindleMost < most) most = spindleMost, mostHeld = Held::Spindle;
  if (powerMost < most) most = powerMost, mostHeld = Held::Power;
  const double least = std::max(std::min(band.low, most), spindleLeast);
  cut.possible = cut.possible && spindleLeast <= most;
  cut.speed = std::clamp(cheapest, least, std::max(least, most));
  cut.speedHeld = cheapest >= most    ? mostHeld
                  : cheapest <= least ? (least > band.low ? Held::Spindle : Held::SpeedRange)
                                      : Held::Wear;

  fill(p, wear, cut);
  cut.force = scale * unit.peak;
  cut.deflection = cut.force * compliance;
  cut.power = tangential * cut.speed * 1000 / 60;
}

}  // namespace

MillCut bestAt(const MillProblem& p, double axial, double radial, const SpeedBand& band) {
  MillCut cut;
  cut.axial = axial;
  cut.radial = radial;
  cut.band = &band;
  const EdgeCut edge{p.effectiveDiameter, axial, radial, p.teeth, p.helix, p.radialForce};
  const UnitForces unit = unitForces(p.integrals, edge);
  const double compliance = tipCompliance(p.beam, mm(unit.loadCentre));
  const double stress = stressPerNewton(p.beam, mm(unit.loadCentre));
  const double share = chipThicknessShare(std::min(radial / p.effectiveDiameter, 1.0));

  // The thickest chip: table, then whatever force allows; F = kc1.1 fz^(1-mc) unit.
  double most = p.ratedChip * p.chipFactor * std::min(1 / share, p.thinningMost);
  cut.chipHeld = Held::Table;
  const auto lower = [&](double forceOverUnit, Held held) {
    const double fz = std::pow(forceOverUnit / p.kc11, 1 / p.integrals.exponent());
    if (fz < most) most = fz, cut.chipHeld = held;
  };
  lower(p.bend / (unit.peak * compliance), Held::Bending);
  lower(p.stress / (unit.peak * stress), Held::Stress);
  lower(p.torque / (unit.mean * p.effectiveDiameter / 2), Held::Torque);
  const double least = p.leastChip / share;
  cut.possible = most >= least;
  if (!cut.possible) cut.chipHeld = Held::Rubbing;
  cut.feedPerTooth = std::max(most, least);  // a thinner chip would not be cut at all
  finish(p, unit, compliance, cut);
  if (p.chipExponent <= 1 || !cut.possible) return cut;

  // Wear that grows faster than the chip can make a thinner chip cheaper: search it.
  double low = std::log(least), high = std::log(most);
  const auto tryAt = [&](double x) {
    MillCut other = cut;
    other.feedPerTooth = std::exp(x);
    finish(p, unit, compliance, other);
    return other;
  };
  double x1 = high - kGolden * (high - low), x2 = low + kGolden * (high - low);
  MillCut c1 = tryAt(x1), c2 = tryAt(x2);
  for (int i = 0; i < 2 * kRefine; ++i) {
    if (c1.money < c2.money) {
      high = x2, x2 = x1, c2 = c1, x1 = high - kGolden * (high - low), c1 = tryAt(x1);
    } else {
      low = x1, x1 = x2, c1 = c2, x2 = low + kGolden * (high - low), c2 = tryAt(x2);
    }
  }
  MillCut& thinner = c1.money < c2.money ? c1 : c2;
  if (thinner.money < cut.money * (1 - 1e-6)) {
    thinner.chipHeld = Held::Wear;
    return thinner;
  }
  return cut;
}

namespace {

/// Golden sections over a valley; `at` keeps the best itself.
template <class At>
void valley(double from, double to, int sections, At at) {
  double x1 = to - kGolden * (to - from), x2 = from + kGolden * (to - from);
  double m1 = at(x1), m2 = at(x2);
  for (int i = 1; i < sections; ++i) {
    if (m1 < m2) {
      to = x2, x2 = x1, m2 = m1;
      m1 = at(x1 = to - kGolden * (to - from));
    } else {
      from = x1, x1 = x2, m1 = m2;
      m2 = at(x2 = from + kGolden * (to - from));
    }
  }
}

/// Best radial step at one axial step: coarse look, then golden section beside the best.
MillCut bestRadial(const MillProblem& p, double axial, const SpeedBand& band, double low, double high, int sections) {
  MillCut best = bestAt(p, axial, high, band);
  if (high <= low * (1 + 1e-9)) return best;
  const double step = std::log(high / low) / (kRadialSteps - 1);
  int bestIndex = kRadialSteps - 1;
  for (int i = 0; i < kRadialSteps - 1; ++i) {
    const MillCut cut = bestAt(p, axial, low * std::exp(i * step), band);
    if (cut.possible && (!best.possible || cut.money < best.money)) best = cut, bestIndex = i;
  }
  if (sections == 0) return best;
  const auto at = [&](double radial) {
    const MillCut cut = bestAt(p, axial, radial, band);
    if (cut.possible && (!best.possible || cut.money < best.money)) best = cut;
    return cut.possible ? cut.money : std::numeric_limits<double>::infinity();
  };
  valley(low * std::exp(std::max(bestIndex - 1, 0) * step), std::min(low * std::exp((bestIndex + 1) * step), high),
         sections, at);
  return best;
}

}  // namespace

MillCut slowed(const MillProblem& p, MillCut cut, double factor) {
  const double share = chipThicknessShare(std::min(cut.radial / p.effectiveDiameter, 1.0));
  const double thinnest = std::min(cut.feedPerTooth, std::max(cut.feedPerTooth / factor, p.leastChip / share));
  const double chip = thinnest / cut.feedPerTooth, speed = 1 / (factor * chip);
  cut.feedPerTooth = thinnest;
  cut.chip *= chip;
  cut.speed *= speed;
  fill(p, wearOf(p, cut), cut);
  const double force = std::pow(chip, p.integrals.exponent());
  cut.force *= force;
  cut.deflection *= force;
  cut.power *= force * speed;
  return cut;
}

MillCut cheapestCut(const MillProblem& p, MillCut* corner) {
  MillCut best;
  best.money = std::numeric_limits<double>::infinity();
  const auto take = [&](const MillCut& cut) {
    if (cut.possible && (!best.possible || cut.money < best.money)) best = cut;
  };
  bool cornerSet = false;
  for (const auto& band : p.bands) {
    const double low = std::max(p.radialLeast, band.radialLow * p.diameter);
    const double high = std::min(p.radialMost, band.radialHigh * p.diameter);
    if (high < low * (1 - 1e-9)) continue;
    // Even steps of the depth, from the fewest up; a free depth is looked at in shares of the deepest step.
    std::vector<double> axials;
    const double deepest = p.axialWhole > 0 ? std::min(p.axialMost, p.axialWhole) : p.axialMost;
    if (p.axialWhole > 0) {
      const int fewest = static_cast<int>(std::ceil(p.axialWhole / p.axialMost - 1e-9));
      for (int k = std::max(fewest, 1); k < std::max(fewest, 1) + kAxialSteps; ++k) axials.push_back(p.axialWhole / k);
    } else {
      const double ratio = std::log(kShallowest * p.diameter / deepest) / (kFreeSteps - 1);
      for (int i = 0; i < kFreeSteps; ++i) axials.push_back(deepest * std::exp(std::min(ratio, 0.0) * i));
    }
    const MillCut first = bestAt(p, axials.front(), high, band);
    if (corner && !cornerSet) *corner = first, cornerSet = true;
    take(first);
    const bool forced = !first.possible || first.chipHeld == Held::Bending || first.chipHeld == Held::Stress ||
                        first.chipHeld == Held::Torque || first.speedHeld == Held::Power;
    if (!forced) {
      // Nothing but the table and wear: deeper is always cheaper, and the money has one valley along the radial step,
      // with a level stretch above half the diameter.
      if (high > low * (1 + 1e-9)) {
        const auto cheaperAt = [&](double radial) {
          return bestAt(p, axials.front(), std::max(radial, low), band).money < first.money;
        };
        if (cheaperAt(high * kNotch) || (high > kLevelFrom * p.effectiveDiameter && cheaperAt(high * kFarNotch)))
          take(bestRadial(p, axials.front(), band, low, high, kRefine));
      }
      continue;
    }
    // A coarse look everywhere, a close one wherever it came near the best.
    constexpr double kNone = std::numeric_limits<double>::infinity();
    const auto look = [&](double axial, int sections) {
      const MillCut cut = bestRadial(p, axial, band, low, high, sections);
      take(cut);
      return cut.possible ? cut.money : kNone;
    };
    std::vector<double> money;
    for (const double axial : axials) money.push_back(look(axial, 0));
    const double coarse = *std::min_element(money.begin(), money.end());
    for (std::size_t i = 0; i < axials.size(); ++i)
      if (money[i] <= kNearBest * coarse) money[i] = look(axials[i], kRefine);
    if (p.axialWhole > 0) continue;
    // A free depth: down to the bottom of every valley that came near.
    const double least = *std::min_element(money.begin(), money.end());
    for (std::size_t i = 0; i < axials.size(); ++i) {
      const std::size_t deeper = i > 0 ? i - 1 : i, shallower = i + 1 < axials.size() ? i + 1 : i;
      if (money[i] > kNearValley * least || money[deeper] < money[i] || money[shallower] < money[i]) continue;
      double bottom = axials[i], there = money[i];
      valley(axials[shallower], axials[deeper], kRefineFree, [&](double axial) {
        const double m = look(axial, kRefineFree);
        if (m < there) there = m, bottom = axial;
        return m;
      });
      look(bottom, kRefine);
    }
  }
  return best;
}

}  // namespace chipledger::cutting
