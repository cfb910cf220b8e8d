#include <chipledger/shop/shop.hpp>

namespace chipledger::shop {
namespace {

const char* const kCommon = "common practice, no source";

#define CL_NUMBER(KEY, UNIT, LOW, HIGH, FIELD)                                                     \
  Setting {                                                                                        \
    KEY, UNIT, LOW, HIGH, From::Guessed, kCommon, [](const Shop& s) -> double { return s.FIELD; }, \
        [](Shop& s, double v) { s.FIELD = v; }                                                     \
  }
#define CL_MINUTES(KEY, LOW, HIGH, FIELD)                                                                      \
  Setting {                                                                                                    \
    KEY, "min", LOW, HIGH, From::Guessed, kCommon, [](const Shop& s) -> double { return toMinutes(s.FIELD); }, \
        [](Shop& s, double v) { s.FIELD = minutes(v); }                                                        \
  }
#define CL_LENGTH(KEY, LOW, HIGH, FIELD)                                                                 \
  Setting {                                                                                              \
    KEY, "mm", LOW, HIGH, From::Guessed, kCommon, [](const Shop& s) -> double { return toMm(s.FIELD); }, \
        [](Shop& s, double v) { s.FIELD = mm(v); }                                                       \
  }
#define CL_WHOLE(KEY, UNIT, LOW, HIGH, FIELD)                                 \
  Setting {                                                                   \
    KEY, UNIT, LOW, HIGH, From::Guessed, kCommon,                             \
        [](const Shop& s) -> double { return static_cast<double>(s.FIELD); }, \
        [](Shop& s, double v) { s.FIELD = static_cast<int>(v); }              \
  }

std::vector<Setting> makeSettings() {
  return {
      CL_WHOLE("pieces_per_set", "pieces", 1, 20, piecesPerSet),
      CL_NUMBER("rates.machine_per_hour", "per hour", 0, 1000, rates.machinePerHour),
      CL_NUMBER("rates.machinist_per_hour", "per hour", 0, 1000, rates.machinistPerHour),
      CL_NUMBER("rates.bench_per_hour", "per hour", 0, 1000, rates.benchPerHour),
      CL_NUMBER("rates.packing_per_hour", "per hour", 0, 1000, rates.packingPerHour),
      CL_NUMBER("rates.outside_per_hour", "per hour", 0, 2000, rates.outsidePerHour),
      CL_NUMBER("rates.owner_per_hour", "per hour", 0, 2000, rates.ownerPerHour),
      CL_NUMBER("rates.attended_share", "share", 0, 1, rates.attendedShare),
      CL_NUMBER("rates.overhead_share", "share", 0, 2, rates.overhead),
      CL_MINUTES("hands.load_per_setup_min", 0, 120, machineSide.loadPerSetup),
      CL_MINUTES("hands.setup_per_batch_min", 0, 1000, machineSide.setupPerBatch),
      CL_MINUTES("hands.bow_check_min", 0, 60, machineSide.bowCheck),
      CL_MINUTES("hands.reclamp_min", 0, 600, machineSide.reclamp),
      CL_WHOLE("hands.probe_touches", "a setup", 0, 100, machineSide.probeTouches),
      CL_NUMBER("hands.bow_share", "share of the blank", 0, 1, machineSide.bowShare),
      CL_NUMBER("hands.roughing_derate", "share of table feed", 0.05, 1.5, machineSide.roughingDerate),
      CL_MINUTES("bench.per_piece_min", 0, 1000, bench.perPiece),
      CL_MINUTES("bench.per_island_min", 0, 120, bench.perIsland),
      CL_MINUTES("bench.per_pocket_min", 0, 120, bench.perPocket),
      CL_MINUTES("bench.per_window_min", 0, 120, bench.perWindow),
      CL_MINUTES("bench.per_slot_min", 0, 120, bench.perSlot),
      CL_MINUTES("bench.per_thread_min", 0, 120, bench.perThread),
      CL_MINUTES("bench.per_tight_bore_min", 0, 120, bench.perTightBore),
      CL_MINUTES("bench.per_lettering_min", 0, 120, bench.perLettering),
      CL_MINUTES("bench.per_carved_face_min", 0, 600, bench.perCarvedFace),
      CL_NUMBER("bench.learning", "share at twice the count", 0.5, 1, bench.learning),
      CL_NUMBER("scrap.plain_share", "share", 0, 0.9, scrap.plain),
      CL_NUMBER("scrap.any_island_share", "share", 0, 0.9, scrap.anyIsland),
      CL_NUMBER("scrap.per_island_share", "share", 0, 0.9, scrap.perIsland),
      CL_NUMBER("scrap.any_pocket_share", "share", 0, 0.9, scrap.anyPocket),
      CL_NUMBER("scrap.carved_share", "share", 0, 0.9, scrap.carved),
      CL_NUMBER("scrap.per_thread_share", "share", 0, 0.9, scrap.perThread),
      CL_NUMBER("scrap.spent_when_lost_share", "share", 0, 1, scrap.spentWhenLost),
      CL_NUMBER("once.hours_plain", "h per design", 0, 1000, once.hoursPlain),
      CL_NUMBER("once.hours_islands", "h per design", 0, 1000, once.hoursIslands),
      CL_NUMBER("once.hours_pockets", "h per design", 0, 1000, once.hoursPockets),
      CL_NUMBER("once.hours_carved", "h per design", 0, 1000, once.hoursCarved),
      CL_NUMBER("once.hours_per_further_setup", "h per design", 0, 1000, once.hoursPerFurtherSetup),
      CL_NUMBER("once.bought_plain", "per design", 0, 100000, once.boughtPlain),
      CL_NUMBER("once.bought_islands", "per design", 0, 100000, once.boughtIslands),
      CL_NUMBER("once.bought_pockets", "per design", 0, 100000, once.boughtPockets),
      CL_NUMBER("once.bought_carved", "per design", 0, 100000, once.boughtCarved),
      CL_NUMBER("once.bought_per_further_setup", "per design", 0, 100000, once.boughtPerFurtherSetup),
      CL_NUMBER("once.mate_factor", "times one plate", 1, 2, once.mateFactor),
      CL_NUMBER("wire.price_per_cut", "a lock cut", 0, 10000, wire.pricePerCut),
      CL_NUMBER("wire.lot_charge", "a batch", 0, 10000, wire.lotCharge),
      CL_MINUTES("wire.handling_min", 0, 120, wire.handling),
      CL_NUMBER("boss.price", "a boss", 0, 10000, boss.price),
      CL_MINUTES("boss.pressed_min", 0, 120, boss.pressed),
      CL_MINUTES("boss.screwed_min", 0, 120, boss.screwed),
      CL_NUMBER("boss.screw_price", "a screw", 0, 1000, boss.screwPrice),
      CL_NUMBER("boss.hours_once", "h per design", 0, 1000, boss.hoursOnce),
      CL_NUMBER("boss.bought_once", "per design", 0, 100000, boss.boughtOnce),
      CL_NUMBER("boss.scrap_share", "share", 0, 0.9, boss.scrap),
      CL_LENGTH("blank.side_allowance_mm", 0, 50, blank.sideAllowance),
      CL_LENGTH("blank.skim_light_mm", 0, 5, blank.skimLight),
      CL_LENGTH("blank.skim_heavy_mm", 0, 5, blank.skimHeavy),
      CL_LENGTH("blank.under_thickness_mm", 0, 5, blank.underThickness),
      CL_NUMBER("blank.handling_share", "share", 0, 5, blank.handling),
      CL_NUMBER("week.owner_h", "h a week", 0, 1000, week.owner),
      CL_NUMBER("week.owner_best_h", "h in a good week", 0, 1000, week.ownerBest),
      CL_NUMBER("week.machinist_h", "h a week", 0, 1000, week.machinist),
      CL_NUMBER("week.machinist_best_h", "h in a good week", 0, 1000, week.machinistBest),
      CL_NUMBER("week.bench_h", "h a week", 0, 1000, week.bench),
      CL_NUMBER("week.bench_best_h", "h in a good week", 0, 1000, week.benchBest),
      CL_NUMBER("week.packing_h", "h a week", 0, 1000, week.packing),
      CL_NUMBER("week.packing_best_h", "h in a good week", 0, 1000, week.packingBest),
      CL_NUMBER("week.spindle_h", "h a week", 0, 1000, week.spindle),
      CL_NUMBER("week.spindle_best_h", "h in a good week", 0, 1000, week.spindleBest),
      CL_LENGTH("sheet.length_mm", 10, 10000, sheet.length),
      CL_LENGTH("sheet.width_mm", 10, 10000, sheet.width),
      CL_LENGTH("sheet.kerf_mm", 0, 20, sheet.kerf),
      CL_LENGTH("practice.rough_floor_allowance_mm", 0, 5, practice.roughFloorAllowance),
      CL_LENGTH("practice.rough_wall_allowance_mm", 0, 5, practice.roughWallAllowance),
      CL_LENGTH("practice.finish_floor_pass_mm", 0.01, 5, practice.finishFloorPass),
      CL_LENGTH("practice.finish_wall_pass_mm", 0.01, 5, practice.finishWallPass),
      CL_WHOLE("practice.spring_passes", "passes", 0, 10, practice.springPasses),
      CL_NUMBER("practice.rough_both_sides_share", "share of the blank", 0, 1, practice.roughBothShare),
      CL_LENGTH("practice.clearance_mm", 0.05, 50, practice.clearance),
      CL_LENGTH("practice.retract_mm", 0.1, 200, practice.retract),
      CL_LENGTH("practice.tab_width_mm", 0, 50, practice.tabWidth),
      CL_LENGTH("practice.tab_height_mm", 0, 10, practice.tabHeight),
      CL_WHOLE("practice.tabs", "tabs", 0, 50, practice.tabs),
      CL_LENGTH("practice.through_depth_mm", 0, 10, practice.throughDepth),
      CL_LENGTH("practice.fit_clearance_mm", 0, 1, practice.fitClearance),
      CL_LENGTH("practice.cusp_mm", 0.0005, 0.5, practice.cusp),
  };
}

#undef CL_NUMBER
#undef CL_MINUTES
#undef CL_LENGTH
#undef CL_WHOLE

}  // namespace

const std::vector<Setting>& settings() {
  static const std::vector<Setting> all = makeSettings();
  return all;
}

const Setting* findSetting(const std::string& key) {
  for (const Setting& setting : settings())
    if (setting.key == key) return &setting;
  return nullptr;
}

}  // namespace chipledger::shop
