#include <chipledger/cutting/conditions.hpp>

#include <fmt/format.h>

#include "cutting/choose.hpp"

namespace chipledger::cutting {
namespace {

bool fits(CutKind kind, CutterKind cutter) {
  switch (kind) {
    case CutKind::Rough:
    case CutKind::Slot:
    case CutKind::Wall:
    case CutKind::Floor:
    case CutKind::Carve:
      return cutter == CutterKind::Flat || cutter == CutterKind::Bull || cutter == CutterKind::Ball ||
             (kind == CutKind::Slot && cutter == CutterKind::Chamfer);
    case CutKind::Chamfer:
      return cutter == CutterKind::Chamfer || cutter == CutterKind::SpotDrill || cutter == CutterKind::Ball;
    case CutKind::Spot:
      return cutter == CutterKind::SpotDrill || cutter == CutterKind::Chamfer || cutter == CutterKind::Drill;
    case CutKind::Drill:
      return cutter == CutterKind::Drill;
    case CutKind::Ream:
      return cutter == CutterKind::Reamer;
    case CutKind::Tap:
      return cutter == CutterKind::Tap;
    case CutKind::ThreadMill:
      return cutter == CutterKind::ThreadMill;
    case CutKind::Saw:
      return cutter == CutterKind::Saw;
  }
  return false;
}

}  // namespace

tl::unexpected<Fault> noRow(const Asked& asked, const char* table) {
  return fault(FaultCode::Usage, fmt::format("{} of {}", table, asked.material.name),
               fmt::format("The tables have no {} row for {} in {} with a {} cutter.", table, word(asked.request.kind),
                           asked.material.name, asked.cutter.material),
               rowsThereAre(asked.tables, asked.material.name) + " Add the row to the shop file.");
}

void sayRows(const Asked& asked, const SpeedBand& speed, const ChipLoad* chip, const EngagementLimit* engagement,
             Conditions& conditions) {
  auto& list = conditions.assumptions;
  list.reserve(8);
  const std::string of = fmt::format("{}.{}", asked.material.name, word(asked.request.kind));
  list.push_back({"speed." + of, speed.start, "m/min", speed.row->origin.from, speed.row->origin.source});
  if (chip) {
    list.push_back({"chip load." + of, chip->rated_mm, asked.cutter.lifeHoles > 0 ? "mm/rev" : "mm/tooth",
                    chip->row->origin.from, chip->row->origin.source});
  }
  if (engagement) {
    list.push_back(
        {"axial step." + of, engagement->axial, "of D", engagement->row->origin.from, engagement->row->origin.source});
    if (needsRadialStep(asked.request.kind))
      list.push_back({"radial step." + of, engagement->radial, "of D", engagement->row->origin.from,
                      engagement->row->origin.source});
  }
  for (const auto& source : asked.material.sources) {
    if (source.name.ends_with("kc1.1")) list.push_back(source);
  }
  const auto& cutter = asked.cutter;
  list.push_back({"cutter." + cutter.id + ".price", toUnits(cutter.price), "each", cutter.from, cutter.source});
  if (cutter.lifeHoles > 0) {
    list.push_back({"cutter." + cutter.id + ".life", cutter.lifeHoles, "holes", cutter.from, cutter.source});
  } else {
    list.push_back({"cutter." + cutter.id + ".life", toMinutes(cutter.life), "min", cutter.from, cutter.source});
  }
}

Result<Conditions> chooseConditions(const Material& material, const Cutter& cutter, const CutRequest& request,
                                    const SpindleLimits& spindle, const CuttingTables& tables) {
  if (!fits(request.kind, cutter.kind)) {
    return fault(FaultCode::Usage, cutter.id,
                 fmt::format("A {} cutter cannot {}.", word(cutter.kind), word(request.kind)),
                 "Choose a cutter made for it.");
  }
  if (toMm(cutter.diameter) <= 0 || cutter.flutes < 1 || toMegapascals(material.specificForce) <= 0) {
    return fault(FaultCode::Usage, cutter.id,
                 "The cutter needs a diameter and flutes, the material its specific force.", "Complete the row.");
  }
  if (spindle.lowest.rpm > spindle.highest.rpm || spindle.highest.rpm <= 0) {
    return fault(FaultCode::Usage, "spindle", "The spindle's lowest speed is above its highest.",
                 "Mend the machine's row.");
  }
  const Asked asked{material, cutter, request, spindle, tables};
  switch (request.kind) {
    case CutKind::Spot:
    case CutKind::Drill:
    case CutKind::Ream:
    case CutKind::Tap:
      return chooseHole(asked);
    case CutKind::Rough:
    case CutKind::Slot:
    case CutKind::Wall:
    case CutKind::Floor:
    case CutKind::Chamfer:
    case CutKind::Carve:
    case CutKind::ThreadMill:
    case CutKind::Saw:
      return chooseMill(asked);
  }
  return fault(FaultCode::Internal, cutter.id, "Unknown kind of cut.", "");
}

}  // namespace chipledger::cutting
