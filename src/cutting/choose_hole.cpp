// Drills, spots, reamers and taps: table speed and feed within the spindle, pecks by depth, life in holes.
#include <chipledger/cutting/formulas.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cutting/choose.hpp"

namespace chipledger::cutting {
namespace {

constexpr double kThrust = 0.5;  // thrust of a drill over kc f D / 2, from memory; shown, nothing is priced with it
constexpr double kTapFriction = 1.5;  // torque of a tap over its cutting torque, from memory; shown only
constexpr double kReamEdge = 0.1;     // mm of stock a reamer's edges share on the radius: 0.2 on the diameter

/// Feed that torque allows: M = kc1.1 (f/2)^-mc f D^2 / 8.
double feedForTorque(double torque, double kc11, double mc, double d) {
  return std::pow(torque * 8 / (kc11 * std::pow(2.0, mc) * d * d), 1 / (1 - mc));
}

}  // namespace

Result<Conditions> chooseHole(const Asked& asked) {
  const auto& [material, cutter, request, spindle, tables] = asked;
  const auto& limits = tables.limits;
  const double d = toMm(cutter.diameter), depth = toMm(request.depth);
  const auto bands = speedsFor(tables, material.name, cutter.material, request.kind, d);
  if (bands.empty()) return noRow(asked, "speed");
  const auto& speed = bands.front();
  const bool tap = request.kind == CutKind::Tap;
  const auto chip = chipLoadFor(tables, material.name, cutter.material, request.kind, d);
  if (!tap && !chip) return noRow(asked, "chip_load");
  if (tap && toMm(cutter.threadPitch) <= 0) {
    return fault(FaultCode::Usage, cutter.id, "A tap needs its pitch.", "Add pitch_mm to its row.");
  }

  Conditions out;
  out.request = request;
  const double table = spindleSpeed(mPerMin(speed.start), cutter.diameter).rpm;
  const double n = std::clamp(table, spindle.lowest.rpm, spindle.highest.rpm);
  out.spindle = rpm(n);
  out.surface = surfaceSpeed(cutter.diameter, out.spindle);
  out.held = n < table ? Held::Spindle : Held::Table;
  const double kc11 = toMegapascals(material.specificForce), mc = material.forceExponent;
  const double reach = std::max(depth, toMm(request.reach));
  const ReachRow far = reachAt(tables, request.kind == CutKind::Drill ? 0 : reach / d);
  double perTurn = tap ? toMm(cutter.threadPitch) : chip->rated_mm * far.feedFactor;
  if (!tap && far.feedFactor < 1) out.held = Held::Reach;

  double torque = 0, thrust = 0, area = 0;
  if (tap) {
    // Torque of a tap: half the thread's area at the mean radius, M = P^2 D kc / 8, raised by friction.
    const double kc = kc11 * std::pow(perTurn / cutter.flutes / 2, -mc);
    torque = kTapFriction * perTurn * perTurn * d * kc / 8;
    area = perTurn * perTurn * 0.5;
  } else if (request.kind == CutKind::Ream) {
    const double h = perTurn / cutter.flutes;
    torque = kc11 * std::pow(h, -mc) * h * kReamEdge * cutter.flutes * d / 2;
    thrust = torque / (d / 2) * kThrust;
    area = std::numbers::pi * d * kReamEdge;
  } else {
    const double allowed = feedForTorque(spindle.torque.base, kc11, mc, d);
    if (allowed < perTurn) perTurn = allowed, out.held = Held::Torque;
    const double kc = kc11 * std::pow(perTurn / 2, -mc);
    torque = kc * perTurn * d * d / 8;
    thrust = kThrust * kc * perTurn * d / 2;
    area = std::numbers::pi * d * d / 4;
  }
  out.chipLoad = mm(perTurn);
  out.chipThickness = mm(tap ? perTurn / cutter.flutes / 2 : perTurn / std::max(cutter.flutes, 1));
  out.axialStep = request.depth;
  out.radialStep = cutter.diameter;
  out.feed = mmPerMin(perTurn * n);
  out.slotFeed = out.curveFeed = out.enterFeed = out.feed;
  out.force = newtons(thrust);
  out.power = {torque * 2 * std::numbers::pi * n / 60};
  out.removalRate = cm3PerMin(area * perTurn * n / 1000);
  out.lifeHoles = cutter.lifeHoles * material.lifeFactor * (tap ? 1 : far.lifeFactor);
  if (cutter.lifeHoles <= 0) out.life = cutter.life * material.lifeFactor;
  if (request.kind == CutKind::Drill) {
    const auto engagement = engagementFor(tables, material.name, CutKind::Drill, d);
    if (engagement && depth > limits[LimitName::PeckFree] * d * (1 + 1e-9)) {
      // Even pecks, none deeper than the table's.
      const double most = engagement->axial * d;
      out.peck = mm(depth / std::ceil(depth / most - 1e-9));
    }
    sayRows(asked, speed, &*chip, engagement ? &*engagement : nullptr, out);
  } else {
    sayRows(asked, speed, chip ? &*chip : nullptr, nullptr, out);
  }
  if (request.reach > cutter.stickOut) {
    out.notes.push_back({NoteSeverity::Doubt, "stick-out-short",
                         fmt::format("{} sticks out {:.1f} mm but must reach {:.1f} mm.", cutter.id,
                                     toMm(cutter.stickOut), toMm(request.reach)),
                         cutter.id});
  }
  switch (out.held) {
    case Held::Spindle:
      out.heldBackBy = fmt::format("spindle {:.0f} rpm", n);
      break;
    case Held::Torque:
      out.heldBackBy = fmt::format("torque {:.2f} Nm", spindle.torque.base / 1000);
      break;
    case Held::Reach:
      out.heldBackBy = fmt::format("reach {:.1f} D", reach / d);
      break;
    default:
      out.heldBackBy =
          tap ? fmt::format("pitch {:g} mm at table speed", perTurn) : fmt::format("table feed {:.3f} mm/rev", perTurn);
  }
  return out;
}

}  // namespace chipledger::cutting
