// What a mill is asked to do, put as a MillProblem, and its answer put as Conditions.
#include <chipledger/cutting/formulas.hpp>
#include <chipledger/cutting/wear.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "cutting/choose.hpp"
#include "cutting/mill.hpp"

namespace chipledger::cutting {
namespace {

constexpr double kChamferMeets = 0.6;     // a chamfer cutter meets the edge at about this share of its diameter
constexpr double kThreadHeight = 0.6134;  // height of the nut thread over its pitch, ISO 68-1: 17/24 * sqrt(3)/2
constexpr double kSolid = 1e-6;           // a factor on time this near to 1 is none

/// Steps the kind of cut fixes; mm. radial equal bounds: fixed.
struct Steps {
  double axialMost{}, axialWhole{}, radialLeast{}, radialMost{}, effective{};
};

bool finishing(CutKind kind) { return kind == CutKind::Wall || kind == CutKind::Floor || kind == CutKind::Carve; }

Steps stepsOf(const Asked& asked, const EngagementLimit& limit) {
  const auto& cutter = asked.cutter;
  const auto& request = asked.request;
  const double d = toMm(cutter.diameter), depth = toMm(request.depth), width = toMm(request.widthLimit);
  Steps s;
  s.effective = d;
  s.axialMost = std::min(limit.axial * d, toMm(cutter.fluteLength));
  s.axialWhole = depth;
  const double radial = width > 0 ? std::min(width, d) : limit.radial * d;
  switch (request.kind) {
    case CutKind::Rough:
      s.radialMost = std::min(limit.radial * d, radial);
      s.radialLeast = std::min(asked.tables.limits[LimitName::LeastRadial] * d, s.radialMost);
      break;
    case CutKind::Slot:
      s.radialMost = s.radialLeast = d;
      break;
    case CutKind::Wall:
      s.radialMost = s.radialLeast = radial;
      break;
    case CutKind::Floor: {
      // Side by side passes meet on the flat of the cutter, or on the cusp of a ball.
      const double flat = d - 2 * toMm(cutter.cornerRadius);
      const double cusp = toMm(stepoverForCusp(request.cusp, cutter.cornerRadius * 2));
      s.radialMost = std::min({radial, limit.radial * d, std::max(flat, cusp)});
      s.radialLeast = std::min(asked.tables.limits[LimitName::LeastRadial] * d, s.radialMost);
      break;
    }
    case CutKind::Chamfer: {
      const double edge = depth > 0 ? depth : limit.axial * d * 0.25;
      // A ball breaks an edge at 45 degrees.
      const double halfAngle = cutter.pointAngle.rad > 0 ? cutter.pointAngle.rad / 2 : std::numbers::pi / 4;
      s.axialMost = s.axialWhole = edge;
      s.effective = std::max(kChamferMeets * d, std::min(d, 2 * edge));
      s.radialMost = s.radialLeast = std::min(width > 0 ? width : edge * std::tan(halfAngle), s.effective / 2);
      break;
    }
    case CutKind::Carve: {
      const double ap = std::min(depth > 0 ? depth : limit.axial * d, s.axialMost);
      const double corner = toMm(cutter.cornerRadius);
      s.axialMost = s.axialWhole = ap;
      // A corner meets the face at a diameter that follows from the depth; a square cutter may go as deep as pays.
      if (depth <= 0 && corner <= 0) s.axialWhole = 0;
      const double step = toMm(stepoverForCusp(request.cusp, mm(2 * corner)));
      s.radialMost = s.radialLeast = std::max(step, asked.tables.limits[LimitName::LeastRadial] * d);
      if (corner > 0)
        s.effective = std::max(d - 2 * corner + toMm(effectiveDiameter(mm(2 * corner), mm(ap))), s.radialMost);
      break;
    }
    case CutKind::ThreadMill:
      s.axialMost = s.axialWhole = std::min(depth > 0 ? depth : toMm(cutter.fluteLength), toMm(cutter.fluteLength));
      s.radialMost = s.radialLeast = std::min(kThreadHeight * toMm(cutter.threadPitch), d / 2);
      break;
    case CutKind::Saw:
      s.axialMost = s.axialWhole = toMm(cutter.fluteLength);
      s.radialMost = s.radialLeast = std::min(depth > 0 ? depth : 1.0, d / 2);
      break;
    default:
      break;
  }
  return s;
}

LimitName bendLimit(CutKind kind) {
  switch (kind) {
    case CutKind::Slot:
      return LimitName::BendSlot;
    case CutKind::Wall:
      return LimitName::BendWall;
    case CutKind::Floor:
      return LimitName::BendFloor;
    case CutKind::Carve:
      return LimitName::BendCarve;
    default:
      return LimitName::BendRough;
  }
}

/// Reach lowers the rated chip; thin work takes its time whatever the rest.
struct Slowing {
  double chipFactor{1}, timeFactor{1};
  Held held{Held::Table};
};

Slowing slowing(const Asked& asked, Conditions& out, double& lifeFactor) {
  Slowing slow;
  const auto& request = asked.request;
  const double d = toMm(asked.cutter.diameter);
  const double reach = std::max(
      toMm(request.reach), request.kind == CutKind::Rough || request.kind == CutKind::Wall ? toMm(request.depth) : 0.0);
  if (request.kind != CutKind::Saw) {
    const ReachRow row = reachAt(asked.tables, reach / d);
    lifeFactor = row.lifeFactor;
    if (row.feedFactor < 1) slow = {row.feedFactor, 1, Held::Reach};
    if (request.reach > asked.cutter.stickOut) {
      out.notes.push_back({NoteSeverity::Doubt, "stick-out-short",
                           fmt::format("{} sticks out {:.1f} mm but must reach {:.1f} mm; it was taken as that long.",
                                       asked.cutter.id, toMm(asked.cutter.stickOut), toMm(request.reach)),
                           asked.cutter.id});
    }
  }
  if (!finishing(request.kind)) return slow;
  const ThinFactor floor = thinFloor(asked.tables, toMm(request.floorLeft));
  const double high =
      toMm(request.wallHigh) > 0 ? toMm(request.wallHigh) : std::max(toMm(request.depth), toMm(request.reach));
  const ThinFactor wall = thinWall(asked.tables, toMm(request.wallLeft) > 0 ? high / toMm(request.wallLeft) : 0);
  slow.timeFactor = std::max(floor.time, wall.time);
  if (slow.timeFactor > 1 + kSolid) slow.held = floor.time >= wall.time ? Held::ThinFloor : Held::ThinWall;
  if (floor.beyond) {
    out.notes.push_back(
        {NoteSeverity::Doubt, "floor-too-thin",
         fmt::format("A floor of {:.2f} mm needs backing or wax; the tables end above it.", toMm(request.floorLeft)),
         ""});
  }
  if (wall.beyond) {
    out.notes.push_back({NoteSeverity::Doubt, "wall-too-thin",
                         fmt::format("A wall {:.1f} mm high and {:.2f} mm thick is beyond the tables; draw it thicker.",
                                     high, toMm(request.wallLeft)),
                         ""});
  }
  return slow;
}

std::string heldText(const Asked& asked, const MillCut& cut, Held held, const MillProblem& p) {
  const auto& limits = asked.tables.limits;
  switch (held) {
    case Held::Bending:
      return fmt::format("bending {:g} mm", limits[bendLimit(asked.request.kind)]);
    case Held::Stress:
      return fmt::format("breaking, {:g} N/mm2", p.stress);
    case Held::Torque:
      return fmt::format("torque {:.1f} Nm", p.torque / 1000);
    case Held::Power:
      return fmt::format("power {:.2f} kW at the edge", p.power / 1e6);
    case Held::Spindle:
      return fmt::format("spindle {:.0f} rpm", cut.rpm);
    case Held::Reach:
      return fmt::format("reach {:.1f} D", std::max(toMm(asked.request.reach), toMm(asked.request.depth)) / p.diameter);
    case Held::ThinFloor:
      return fmt::format("thin floor {:.2f} mm", toMm(asked.request.floorLeft));
    case Held::ThinWall:
      return fmt::format("thin wall {:.2f} mm", toMm(asked.request.wallLeft));
    case Held::Rubbing:
      return fmt::format("rubbing, chip {:.4f} mm", p.leastChip);
    case Held::SpeedRange:
      return fmt::format("published speed {:.0f} m/min", cut.speed);
    case Held::Wear:
      return fmt::format("cutter wear above {:.0f} m/min", cut.speed);
    case Held::Depth:
      return fmt::format("depth {:.2f} mm", toMm(asked.request.depth));
    case Held::Table:
      return fmt::format("table step {:.2f} mm wide, {:.2f} mm deep", cut.radial, cut.axial);
  }
  return {};
}

bool strong(Held held) {
  return held == Held::Bending || held == Held::Stress || held == Held::Torque || held == Held::Power;
}

void sayHeld(const Asked& asked, const MillProblem& p, const MillCut& cut, const MillCut& corner, Held slow,
             Conditions& out) {
  const bool backedOff = cut.axial < corner.axial * (1 - 1e-6) || cut.radial < corner.radial * (1 - 1e-6);
  const bool thin = slow == Held::ThinFloor || slow == Held::ThinWall;
  Held behind = Held::Table;  // what would hold the cut on solid work
  if (strong(cut.chipHeld) || strong(cut.speedHeld)) {
    behind = strong(cut.chipHeld) ? cut.chipHeld : cut.speedHeld;
  } else if (backedOff && (strong(corner.chipHeld) || strong(corner.speedHeld) || !corner.possible)) {
    behind = strong(corner.chipHeld) ? corner.chipHeld : strong(corner.speedHeld) ? corner.speedHeld : Held::Rubbing;
  } else if (cut.chipHeld == Held::Wear) {
    behind = Held::Wear;
  } else if (cut.speedHeld == Held::Spindle) {
    behind = Held::Spindle;
  } else if (slow != Held::Table && !thin) {
    behind = slow;
  } else {
    const bool all =
        p.axialWhole > 0 && cut.axial >= p.axialWhole * (1 - 1e-9) && p.axialWhole < p.axialMost * (1 - 1e-9);
    behind = all && cut.radial < p.radialMost * (1 - 1e-6) ? Held::Depth : Held::Table;
  }
  out.held = thin ? slow : behind;
  out.heldBackBy = heldText(asked, cut, out.held, p);
  if (out.held == Held::Table || out.held == Held::Depth)
    out.heldBackBy += "; " + heldText(asked, cut, cut.speedHeld, p);
  if (thin && strong(behind)) out.heldBackBy += "; " + heldText(asked, cut, behind, p);
}

/// Feed and life when metal stands on both sides, at this depth: chip by the slot row, shallower than its depth or
/// thinner.
void fullWidth(const Asked& asked, const MillProblem& problem, const MillCut& cut, Conditions& out) {
  const double d = problem.diameter;
  const auto bands = speedsFor(asked.tables, asked.material.name, asked.cutter.material, CutKind::Slot, d);
  const auto chip = chipLoadFor(asked.tables, asked.material.name, asked.cutter.material, CutKind::Slot, d);
  const auto limit = engagementFor(asked.tables, asked.material.name, CutKind::Slot, d);
  out.slotFeed = mmPerMin(cut.feed);
  out.slotLife = out.life;
  if (bands.empty() || !chip || !limit) return;
  MillProblem slot = problem;
  slot.effectiveDiameter = d;
  slot.ratedChip = chip->rated_mm * std::min(1.0, limit->axial * d / cut.axial);
  slot.bend = asked.tables.limits[LimitName::BendSlot];
  slot.bands = bands;
  slot.radialStart = d;
  const MillCut full = bestAt(slot, cut.axial, d, slot.bands.back());
  if (full.feed <= 0 || full.wear <= 0) return;
  out.slotFeed = mmPerMin(std::min(full.feed, cut.feed));
  out.slotLife = minutes(1 / full.wear);
  // Entries go down in shallow turns: the slot's chip at the slot's own depth.
  slot.ratedChip = chip->rated_mm;
  const MillCut shallow = bestAt(slot, std::min(limit->axial * d, cut.axial), d, slot.bands.back());
  out.enterFeed = mmPerMin(std::min(shallow.feed, cut.feed) * asked.tables.limits[LimitName::EntryFeed]);
}

}  // namespace

Result<Conditions> chooseMill(const Asked& asked) {
  const auto& [material, cutter, request, spindle, tables] = asked;
  const double d = toMm(cutter.diameter);
  MillProblem p;
  p.bands = speedsFor(tables, material.name, cutter.material, request.kind, d);
  if (p.bands.empty()) return noRow(asked, "speed");
  const auto chip = chipLoadFor(tables, material.name, cutter.material, request.kind, d);
  if (!chip) return noRow(asked, "chip_load");
  auto limit = engagementFor(tables, material.name, request.kind, d);
  if (!limit && request.kind != CutKind::ThreadMill && request.kind != CutKind::Saw) return noRow(asked, "engagement");
  const EngagementLimit steps = limit.value_or(EngagementLimit{});
  const LifeRow* life = lifeFor(tables, material.name, cutter.material);
  if (!life) return noRow(asked, "tool_life");

  Conditions out;
  out.request = request;
  const Steps step = stepsOf(asked, steps);
  p.integrals = EdgeIntegrals(material.forceExponent);
  p.beam = beamOf(cutter, tables.limits, request.reach);
  p.diameter = d;
  p.effectiveDiameter = step.effective;
  p.teeth = cutter.flutes;
  p.helix = request.kind == CutKind::Saw ? 0 : degrees(tables.limits[LimitName::HelixAngle]).rad;
  p.radialForce = tables.limits[LimitName::RadialForce];
  p.kc11 = toMegapascals(material.specificForce);
  p.mc = material.forceExponent;
  p.axialMost = step.axialMost;
  p.axialWhole = step.axialWhole;
  p.radialLeast = step.radialLeast;
  p.radialMost = step.radialMost;
  p.ratedChip = chip->rated_mm;
  p.leastChip = tables.limits[LimitName::RubbingShare] * tables.limits[LimitName::EdgeRadius];
  p.thinningMost = tables.limits[LimitName::ThinningMost];
  const Slowing slow = slowing(asked, out, p.lifeFactor);
  p.chipFactor = slow.chipFactor;
  p.spindleLow = spindle.lowest.rpm;
  p.spindleHigh = spindle.highest.rpm;
  p.power = spindle.power.base * tables.limits[LimitName::SpindleEfficiency];
  p.torque = spindle.torque.base;
  p.bend = tables.limits[bendLimit(request.kind)];
  p.stress = tables.limits[LimitName::BendingStress];
  const double crib = toMinutes(cutter.life) > 0 ? toMinutes(cutter.life) : 60;  // thread mills count holes
  p.life = crib * material.lifeFactor;
  p.n = life->n;
  p.radialExponent = life->radialExponent;
  p.chipExponent = life->chipExponent;
  p.chippingShare = chippingShare(tables, d);
  // The life is meant at the table's own radial step.
  p.radialStart = request.kind == CutKind::Rough || request.kind == CutKind::Floor ? steps.radial * d
                  : request.kind == CutKind::Wall                                  ? std::max(steps.radial * d, 1e-3)
                                                                                   : p.radialMost;
  p.rate = request.moneyPerMinute > 0 ? request.moneyPerMinute : CutRequest{}.moneyPerMinute;
  p.edgeMoney = toUnits(cutter.price) + p.rate * tables.limits[LimitName::CutterChange];
  if (request.kind == CutKind::Saw) {
    // A saw bends as a plate, not as a rod: its arbor is stiff against it and the limit does not apply.
    p.bend = p.stress = 1e9;
  }

  MillCut corner;
  MillCut cut = cheapestCut(p, &corner);
  if (!cut.possible) {
    // Every step bends too far or rubs: count it with the thinnest chip that is still cut, and say so.
    cut = corner;
    if (!cut.band) return noRow(asked, "speed");
    out.notes.push_back(
        {NoteSeverity::Doubt, "cutter-too-weak",
         fmt::format("{} cannot make this cut within its limits (bending, reach or thin work); it was counted "
                     "with the thinnest chip that still cuts, {:.4f} mm.",
                     cutter.id, cut.chip),
         cutter.id});
    cut.money = (p.rate + p.edgeMoney * cut.wear) / std::max(cut.rate, 1e-9);
  }
  if (slow.timeFactor > 1 + kSolid) cut = slowed(p, cut, slow.timeFactor);
  out.surface = mPerMin(cut.speed);
  out.spindle = rpm(cut.rpm);
  out.chipLoad = mm(cut.feedPerTooth);
  out.chipThickness = mm(cut.chip);
  out.axialStep = mm(cut.axial);
  out.radialStep = mm(cut.radial);
  out.feed = mmPerMin(cut.feed);
  out.rampAngle = degrees(tables.limits[LimitName::RampAngle]);
  out.force = newtons(cut.force);
  out.deflection = mm(cut.deflection);
  out.power = {cut.power};
  out.removalRate = cm3PerMin(cut.rate / 1000);
  out.life = minutes(1 / cut.wear);
  out.moneyPerCm3 = cut.money * 1000;
  out.curveFeed =
      finishing(request.kind) ? mmPerMin(std::min(cut.feed, tables.limits[LimitName::CurveFeed])) : out.feed;
  out.enterFeed = out.feed * tables.limits[LimitName::EntryFeed];
  out.lifeHoles = cutter.lifeHoles * material.lifeFactor;
  if (request.kind == CutKind::Slot) {
    out.slotFeed = out.feed;
    out.slotLife = out.life;
  } else {
    fullWidth(asked, p, cut, out);
  }
  sayHeld(asked, p, cut, corner, slow.held, out);
  sayRows(asked, *cut.band, &*chip, limit ? &*limit : nullptr, out);
  return out;
}

}  // namespace chipledger::cutting
