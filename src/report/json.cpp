#include <chipledger/report/cautions.hpp>
#include <chipledger/report/json.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/wording.hpp>

#include "report/json_value.hpp"

namespace chipledger::report {

namespace {

using estimate::Estimate;

Json linesJson(const estimate::Stack& lines) {
  Json out = Json::object();
  for (std::size_t l = 0; l < lines.size(); ++l) out[ledger::word(ledger::kLines[l])] = toUnits(lines[l]);
  return out;
}

Json minutesJson(const ledger::Minutes& m) {
  return Json{{"lower", minutesOf(m.lower)}, {"likely", minutesOf(m.likely)}, {"upper", minutesOf(m.upper)}};
}

Json assumptionsJson(const Assumptions& all) {
  Json out = Json::array();
  for (const Assumption& a : all) {
    out.push_back(
        Json{{"name", a.name}, {"value", a.value}, {"unit", a.unit}, {"from", word(a.from)}, {"source", a.source}});
  }
  return out;
}

const part::Body* bodyOf(const Estimate& e, const part::Part& part) {
  for (const part::Body& body : part.bodies)
    if (body.fingerprint == e.fingerprint) return &body;
  return part.bodies.empty() ? nullptr : &part.bodies.front();
}

Json partJson(const Estimate& e, const part::Part& part) {
  const part::Body* body = bodyOf(e, part);
  return Json{{"name", e.bodyName},
              {"file", e.file},
              {"fingerprint", e.fingerprint},
              {"unit", e.unit},
              {"bodies", e.bodies},
              {"quantity", e.quantity},
              {"faces", e.faces},
              {"volume_mm3", toMm3(e.partVolume)},
              {"area_mm2", toMm2(e.partArea)},
              {"size_mm", jsonOf(e.size_mm)},
              {"face_names", body != nullptr ? faceNames(*body) : Json::array()}};
}

Json stockJson(const Estimate& e) {
  const stock::Blank& b = e.blank;
  return Json{{"form", b.form},
              {"material", e.material},
              {"size_mm", jsonOf(b.size_mm)},
              {"min_mm", jsonOf(b.min_mm)},
              {"part_to_stock", jsonOf(e.partToStock)},
              {"volume_mm3", toMm3(b.volume)},
              {"mass_g", b.mass_g},
              {"price", toUnits(b.price)},
              {"step_mm", toMm(b.step)},
              {"needed_mm", toMm(b.needed)},
              {"skim_per_side_mm", toMm(b.skimPerSide)},
              {"left_before_next_step_mm", toMm(b.leftBeforeNextStep)}};
}

Json removedJson(const Estimate& e) {
  Json bySetup = Json::array();
  for (const estimate::SetupResult& s : e.setups) bySetup.push_back(mm3Of(s.removed));
  return Json{{"total_mm3", mm3Of(e.removed)},           {"left_mm3", mm3Of(e.left)},
              {"left_on_part_mm3", mm3Of(e.leftOnPart)}, {"gouged_mm3", mm3Of(e.gouged)},
              {"stock_mm3", mm3Of(e.blankVolume)},       {"cell_mm", e.cell_um / 1000.0},
              {"by_setup", std::move(bySetup)},          {"metal_price", toUnits(e.cutAway)}};
}

Json setupsJson(const Estimate& e) {
  Json out = Json::array();
  for (const estimate::SetupResult& s : e.setups) {
    out.push_back(Json{{"name", s.setup.name},
                       {"direction", jsonOf(s.setup.direction)},
                       {"part_to_setup", jsonOf(s.setup.partToSetup)},
                       {"holding", slug(setup::word(s.setup.holding))},
                       {"minutes_per_piece", minutesOf(s.machine.likely)},
                       {"minutes_per_batch", minutesOf(s.perBatch)},
                       {"machine_minutes", minutesJson(s.machine)},
                       {"hands_minutes_per_piece", minutesOf(s.people)},
                       {"removed_mm3", mm3Of(s.removed)}});
  }
  return out;
}

Json cuttersJson(const Estimate& e) {
  Json out = Json::array();
  for (const estimate::CutterUse& use : e.cutters) {
    const cutting::Cutter& c = use.cutter;
    Json buy = Json::array();
    for (std::size_t b = 0; b < use.buy.size() && b < e.batches.size(); ++b)
      buy.push_back(Json{{"size", e.batches[b].size},
                         {"worn", use.buy[b].worn},
                         {"broken", use.buy[b].broken},
                         {"spares", use.buy[b].spares},
                         {"buy", use.buy[b].buy}});
    out.push_back(Json{{"id", c.id},
                       {"kind", slug(cutting::word(c.kind))},
                       {"diameter_mm", toMm(c.diameter)},
                       {"corner_radius_mm", toMm(c.cornerRadius)},
                       {"flutes", c.flutes},
                       {"flute_length_mm", toMm(c.fluteLength)},
                       {"neck_diameter_mm", toMm(c.neckDiameter)},
                       {"neck_length_mm", toMm(c.neckLength)},
                       {"shank_diameter_mm", toMm(c.shankDiameter)},
                       {"stick_out_mm", toMm(c.stickOut)},
                       {"holder_diameter_mm", toMm(c.holderDiameter)},
                       {"point_angle_deg", toDegrees(c.pointAngle)},
                       {"price", toUnits(c.price)},
                       {"minutes_per_piece", minutesOf(use.cutting)},
                       {"used_share_per_piece", use.shareUsed},
                       {"wear_per_piece", toUnits(use.money)},
                       {"to_buy", std::move(buy)},
                       {"from", word(c.from)},
                       {"source", c.source}});
  }
  return out;
}

std::string setupName(const Estimate& e, int setup) {
  return setup >= 0 && setup < static_cast<int>(e.setups.size()) ? e.setups[static_cast<std::size_t>(setup)].setup.name
                                                                 : "";
}

std::string detailName(const Estimate& e, int detail) {
  return detail >= 0 && detail < static_cast<int>(e.details.list.size())
             ? e.details.list[static_cast<std::size_t>(detail)].name
             : "shared";
}

Json operationsJson(const Estimate& e) {
  Json out = Json::array();
  for (const estimate::OperationResult& o : e.operations) {
    const path::Operation& op = o.operation;
    const cutting::Conditions& c = op.conditions;
    Json shares = Json::array();
    for (const path::Share& share : op.shares) {
      shares.push_back(Json{
          {"detail", detailName(e, share.detail)}, {"removed_mm3", mm3Of(share.removed)}, {"path_mm", share.path_mm}});
    }
    out.push_back(Json{{"id", op.id},
                       {"setup", setupName(e, op.setup)},
                       {"kind", slug(path::word(op.kind))},
                       {"cutter", op.cutter},
                       {"removed_mm3", mm3Of(op.removed)},
                       {"path_mm", o.pathLength_mm},
                       {"minutes", minutesJson(o.minutes)},
                       {"air_minutes", minutesOf(o.airTime)},
                       {"enter_minutes", minutesOf(o.enterTime)},
                       {"link_minutes", minutesOf(o.linkTime)},
                       {"rapid_minutes", minutesOf(o.rapidTime)},
                       {"spindle_rpm", c.spindle.rpm},
                       {"surface_speed_m_min", toMPerMin(c.surface)},
                       {"chip_load_mm", toMm(c.chipLoad)},
                       {"feed_mm_min", toMmPerMin(c.feed)},
                       {"slot_feed_mm_min", toMmPerMin(c.slotFeed)},
                       {"enter_feed_mm_min", toMmPerMin(c.enterFeed)},
                       {"axial_step_mm", toMm(c.axialStep)},
                       {"radial_step_mm", toMm(c.radialStep)},
                       {"held_back_by", c.heldBackBy},
                       {"holes", op.holes},
                       {"cutter_money", toUnits(o.cutterMoney)},
                       {"why", op.why},
                       {"shares", std::move(shares)},
                       {"assumptions", assumptionsJson(c.assumptions)}});
  }
  return out;
}

Json differenceJson(const estimate::Difference& d) {
  return Json{{"size", d.size}, {"money", toUnits(d.money)}, {"lines", linesJson(d.lines)}};
}

Json detailsJson(const Estimate& e) {
  Json out = Json::array();
  for (std::size_t i = 0; i < e.details.list.size(); ++i) {
    const detail::Detail& d = e.details.list[i];
    Json item{{"name", d.name},
              {"kind", slug(detail::word(d.kind))},
              {"side", slug(detail::word(d.side))},
              {"through", d.through},
              {"dimensions", jsonOf(d.dimensions)},
              {"faces", jsonOf(d.faces)},
              {"parent", d.parent >= 0 ? Json(detailName(e, d.parent)) : Json(nullptr)},
              {"called", d.called},
              {"hint", d.hint}};
    if (i < e.detailPrices.size()) {
      const estimate::DetailPrice& p = e.detailPrices[i];
      Json differences = Json::array();
      for (const estimate::Difference& difference : p.withMinusWithout)
        differences.push_back(differenceJson(difference));
      item["removed_mm3"] = mm3Of(p.removed);
      item["minutes"] = minutesJson(p.minutes);
      item["booked"] = toUnits(p.booked);
      item["with_minus_without"] = std::move(differences);
      item["machine_minutes_difference"] = minutesOf(p.machineDifference);
      item["why"] = p.why;
      item["cannot_be_taken_away"] = p.cannot;
    }
    out.push_back(std::move(item));
  }
  return out;
}

Json differencesJson(const std::vector<estimate::Difference>& differences) {
  Json out = Json::array();
  for (const estimate::Difference& d : differences) out.push_back(differenceJson(d));
  return out;
}

Json groupsJson(const Estimate& e) {
  Json out = Json::array();
  for (const estimate::GroupPrice& g : e.groups) {
    Json details = Json::array();
    for (const int d : g.details) details.push_back(detailName(e, d));
    out.push_back(Json{{"name", g.name},
                       {"details", std::move(details)},
                       {"with_minus_without", differencesJson(g.withMinusWithout)},
                       {"why", g.why}});
  }
  return out;
}

Json adviceJson(const Estimate& e) {
  Json out = Json::array();
  for (const estimate::Advice& a : e.advice) {
    Json details = Json::array(), upTo = Json::array();
    for (const int d : a.details) details.push_back(detailName(e, d));
    for (const Money each : a.upTo) upTo.push_back(toUnits(each));
    out.push_back(Json{{"change", a.change},
                       {"about", a.about},
                       {"details", std::move(details)},
                       {"saves", differencesJson(a.saves)},
                       {"why", a.why},
                       {"seen_by_buyer", a.seen},
                       {"looks", a.looks},
                       {"boss_pays_up_to", std::move(upTo)}});
  }
  return out;
}

Json priceJson(const Estimate& e) {
  Json batches = Json::array(), shared = Json::array(), doubts = Json::array();
  for (const estimate::BatchPrice& b : e.batches) {
    batches.push_back(Json{{"size", b.size},
                           {"per_piece", toUnits(b.perPiece)},
                           {"low", toUnits(b.low)},
                           {"high", toUnits(b.high)},
                           {"lines", linesJson(b.lines)}});
  }
  for (const estimate::Difference& s : e.shared) shared.push_back(differenceJson(s));
  for (const estimate::Doubt& d : e.doubts) {
    doubts.push_back(Json{{"name", d.name}, {"range", d.range}, {"low", toUnits(d.low)}, {"high", toUnits(d.high)}});
  }
  Json swings = Json::array();
  for (const estimate::Doubt& d : e.swings)
    swings.push_back(Json{{"name", d.name}, {"range", d.range}, {"low", toUnits(d.low)}, {"high", toUnits(d.high)}});
  return Json{{"currency", e.currency},
              {"pieces_per_set", e.piecesPerSet},
              {"swings", std::move(swings)},
              {"batches", std::move(batches)},
              {"reference_batch", e.batches.empty() ? Json(nullptr) : Json(e.batches[referenceBatch(e)].size)},
              {"shared", std::move(shared)},
              {"doubts", std::move(doubts)}};
}

// The entries as they were booked, in whole counts, so that anyone can add them up exactly.
Json ledgerJson(const Estimate& e) {
  Json out = Json::array();
  for (const ledger::Entry& entry : e.ledger.entries()) {
    const bool inOperation = entry.operation >= 0 && entry.operation < static_cast<int>(e.operations.size());
    out.push_back(
        Json{{"setup", entry.setup >= 0 ? Json(setupName(e, entry.setup)) : Json(nullptr)},
             {"operation",
              inOperation ? Json(e.operations[static_cast<std::size_t>(entry.operation)].operation.id) : Json(nullptr)},
             {"detail", detailName(e, entry.detail)},
             {"line", ledger::word(entry.line)},
             {"removed_um3", entry.removed.um3},
             {"machine_ns", Json{{"lower", entry.minutes.lower.ns},
                                 {"likely", entry.minutes.likely.ns},
                                 {"upper", entry.minutes.upper.ns}}},
             {"hands_ns", entry.hands.ns},
             {"cost_micros", entry.cost.micros},
             {"note", entry.note}});
  }
  return out;
}

}  // namespace

std::string estimateJson(const Estimate& e, const part::Part& part) {
  return written(Json{{"schema", kEstimateSchema},
                      {"part", partJson(e, part)},
                      {"stock", stockJson(e)},
                      {"removed", removedJson(e)},
                      {"setups", setupsJson(e)},
                      {"cutters", cuttersJson(e)},
                      {"operations", operationsJson(e)},
                      {"details", detailsJson(e)},
                      {"groups", groupsJson(e)},
                      {"price", priceJson(e)},
                      {"advice", adviceJson(e)},
                      {"questions", jsonOf(e.details.questions)},
                      {"assumptions", assumptionsJson(e.assumptions)},
                      {"warnings", jsonOf(allNotes(e))},
                      {"cautions", cautionsFor(e)},
                      {"ledger", ledgerJson(e)}});
}

}  // namespace chipledger::report
