#pragma once
// The cheapest roughing cut the slow way: every point of a grid over (speed, chip, axial, radial step), each held
// against every limit on its own. Works from table rows of exactly this diameter. The twin of the search in
// src/cutting/mill.cpp.
#include <chipledger/cutting/bending.hpp>
#include <chipledger/cutting/force.hpp>
#include <chipledger/cutting/formulas.hpp>
#include <chipledger/cutting/tables.hpp>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>
#include <vector>

namespace chipledger::test {

struct GridCut {
  double money{std::numeric_limits<double>::infinity()};  ///< per cm3
  double speed{}, chip{}, axial{}, radial{};
  long points{};
};

class RoughingByGrid {
public:
  RoughingByGrid(const cutting::Material& material, const cutting::Cutter& cutter, const cutting::CutRequest& request,
                 const cutting::SpindleLimits& spindle, const cutting::CuttingTables& tables)
      : material_(material),
        cutter_(cutter),
        request_(request),
        spindle_(spindle),
        tables_(tables),
        integrals_(material.forceExponent),
        beam_(cutting::beamOf(cutter, tables.limits, request.reach)) {
    const double d = toMm(cutter.diameter);
    for (const auto& row : tables.speeds) {
      if (row.material == material.name && row.cutterMaterial == cutter.material && row.kind == request.kind &&
          row.diameter_mm == d) {
        speedRows_.push_back(row);
      }
    }
    for (const auto& row : tables.chipLoads) {
      if (row.material == material.name && row.cutterMaterial == cutter.material && row.kind == request.kind &&
          row.diameter_mm == d)
        rated_ = row.rated_mm;
    }
    for (const auto& row : tables.engagements) {
      if (row.material == material.name && row.kind == request.kind && row.diameter_mm == d) step_ = row;
    }
    for (const auto& row : tables.lives) {
      if (row.material == material.name && row.cutterMaterial == cutter.material) life_ = row;
    }
    for (const auto& row : tables.chipping) {
      if (row.diameter_mm == d) chipping_ = row.share;
    }
  }

  double leastChip() const {
    return tables_.limits[cutting::LimitName::RubbingShare] * tables_.limits[cutting::LimitName::EdgeRadius];
  }
  double axialMost() const { return std::min(step_.axial * toMm(cutter_.diameter), toMm(cutter_.fluteLength)); }

  /// Money per cm3; infinite where a limit is broken. `slack`: share by which limits may be overstepped (rounding).
  double moneyAt(double v, double h, double ap, double ae, const cutting::UnitForces& unit, double slack = 0) const {
    using cutting::LimitName;
    const auto& limits = tables_.limits;
    const double none = std::numeric_limits<double>::infinity(), more = 1 + slack;
    const double d = toMm(cutter_.diameter), e = ae / d;
    const cutting::SpeedRow* row = nullptr;
    for (const auto& r : speedRows_) {
      if (e >= r.radialLow / more && e <= r.radialHigh * more && (!row || r.high_m_min > row->high_m_min)) row = &r;
    }
    if (!row) return none;
    const double share = cutting::chipThicknessShare(e), fz = h / share;
    if (h < leastChip() / more || fz > rated_ * std::min(1 / share, limits[LimitName::ThinningMost]) * more)
      return none;
    if (ap > axialMost() * more || ae > step_.radial * d * more) return none;
    const double n = 1000 * v / (std::numbers::pi * d);
    if (n > spindle_.highest.rpm * more || n < spindle_.lowest.rpm / more) return none;
    const double reachable = std::min(row->high_m_min, spindle_.highest.rpm * std::numbers::pi * d / 1000);
    if (v > reachable * more) return none;
    const double scale = toMegapascals(material_.specificForce) * std::pow(fz, 1 - material_.forceExponent);
    const double force = scale * unit.peak;
    if (force * cutting::tipCompliance(beam_, mm(unit.loadCentre)) > limits[LimitName::BendRough] * more) return none;
    if (force * cutting::stressPerNewton(beam_, mm(unit.loadCentre)) > limits[LimitName::BendingStress] * more)
      return none;
    if (scale * unit.mean * d / 2 > spindle_.torque.base * more) return none;
    const double power = scale * unit.mean * v * 1000 / 60;
    const double powerMost = spindle_.power.base * limits[LimitName::SpindleEfficiency];
    if (power > powerMost * more) return none;
    // Slower than the published range only where power or the spindle leaves nothing else.
    const double byPower = v * powerMost / power;
    if (v < std::min({row->low_m_min, reachable, byPower}) / more) return none;
    const double wear = (1 - chipping_) * std::pow(v / row->start_m_min, 1 / life_.n) *
                            std::pow(ae / (step_.radial * d), life_.radialExponent) *
                            std::pow(h / rated_, life_.chipExponent) +
                        chipping_ * v / row->start_m_min * std::pow(h / rated_, life_.chipExponent);
    const double life = toMinutes(cutter_.life) * material_.lifeFactor * row->lifeShare / wear;
    const double rate = request_.moneyPerMinute;
    const double edge = toUnits(cutter_.price) + rate * limits[LimitName::CutterChange];
    return (rate + edge / life) / (ap * ae * fz * cutter_.flutes * n) * 1000;
  }

  cutting::UnitForces forcesAt(double ap, double ae) const {
    using cutting::LimitName;
    return cutting::unitForces(
        integrals_, {toMm(cutter_.diameter), ap, ae, cutter_.flutes, degrees(tables_.limits[LimitName::HelixAngle]).rad,
                     tables_.limits[LimitName::RadialForce]});
  }

  /// axial: even steps of the depth, or `count` free ones.
  GridCut search(int count) const {
    using cutting::LimitName;
    const double d = toMm(cutter_.diameter);
    std::vector<double> axials;
    if (toMm(request_.depth) > 0) {
      for (int k = 1; k <= 3 * count; ++k) {
        if (toMm(request_.depth) / k <= axialMost() * (1 + 1e-9)) axials.push_back(toMm(request_.depth) / k);
      }
    } else {
      for (int i = 1; i <= 2 * count; ++i) axials.push_back(axialMost() * i / (2 * count));
    }
    const double radialLeast = tables_.limits[LimitName::LeastRadial] * d, radialMost = step_.radial * d;
    double slowest = 1e9, fastest = 0;
    for (const auto& row : speedRows_)
      slowest = std::min(slowest, row.low_m_min), fastest = std::max(fastest, row.high_m_min);
    slowest = std::min(slowest, spindle_.highest.rpm * std::numbers::pi * d / 1000) / 3;
    GridCut best;
    for (const double ap : axials) {
      for (int r = 0; r < count; ++r) {
        const double ae = radialLeast * std::pow(radialMost / radialLeast, r / (count - 1.0));
        const auto unit = forcesAt(ap, ae);
        for (int c = 0; c < count; ++c) {
          const double h = leastChip() * std::pow(rated_ / leastChip(), c / (count - 1.0));
          for (int s = 0; s < count; ++s) {
            const double v = slowest * std::pow(fastest / slowest, s / (count - 1.0));
            ++best.points;
            const double money = moneyAt(v, h, ap, ae, unit);
            if (money < best.money)
              best.money = money, best.speed = v, best.chip = h, best.axial = ap, best.radial = ae;
          }
        }
      }
    }
    return best;
  }

private:
  const cutting::Material& material_;
  const cutting::Cutter& cutter_;
  const cutting::CutRequest& request_;
  const cutting::SpindleLimits& spindle_;
  const cutting::CuttingTables& tables_;
  cutting::EdgeIntegrals integrals_;
  cutting::Beam beam_;
  std::vector<cutting::SpeedRow> speedRows_;
  double rated_{}, chipping_{};
  cutting::EngagementRow step_;
  cutting::LifeRow life_;
};

}  // namespace chipledger::test
