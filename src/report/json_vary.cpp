#include <chipledger/report/number.hpp>
#include <chipledger/report/vary.hpp>

#include "report/json_value.hpp"

namespace chipledger::report {

namespace {

Json rowJson(const vary::Table& table, const vary::Row& row) {
  Json at = Json::object();
  for (std::size_t a = 0; a < table.axes.size(); ++a) at[table.axes[a].key] = row.at[a];
  Json out{{"at", std::move(at)}, {"batch", row.batch}};
  if (!row.hole.empty()) {
    out["hole"] = row.hole;
    return out;
  }
  Json lines = Json::object(), jumps = Json::array();
  for (std::size_t l = 0; l < row.lines.size(); ++l) lines[ledger::word(ledger::kLines[l])] = toUnits(row.lines[l]);
  for (const vary::Jump& jump : row.jumps) jumps.push_back(Json{{"along", jump.along}, {"why", jump.why}});
  out["per_piece"] = toUnits(row.perPiece);
  out["low"] = toUnits(row.low);
  out["high"] = toUnits(row.high);
  out["lines"] = std::move(lines);
  out["machine_min"] = minutesOf(row.machine);
  out["hands_min"] = minutesOf(row.hands);
  out["plate_mm"] = toMm(row.plate);
  out["left_before_next_step_mm"] = toMm(row.leftBeforeNextStep);
  out["removed_mm3"] = mm3Of(row.removed);
  out["setups"] = row.setups;
  out["cutters"] = row.cutters;
  out["jumps"] = std::move(jumps);
  return out;
}

}  // namespace

std::string varyJson(const vary::Table& table) {
  Json axes = Json::array(), rows = Json::array();
  for (const vary::TableAxis& axis : table.axes)
    axes.push_back(Json{{"key", axis.key},
                        {"unit", axis.unit},
                        {"now", axis.drawn},
                        {"planned_anew", axis.planned},
                        {"values", axis.values}});
  for (const vary::Row& row : table.rows) rows.push_back(rowJson(table, row));
  return written(Json{{"schema", kVarySchema},
                      {"file", table.file},
                      {"body", table.body},
                      {"currency", table.currency},
                      {"run", table.run},
                      {"axes", std::move(axes)},
                      {"batches", table.batches},
                      {"rows", std::move(rows)},
                      {"rows_in_all", table.size()},
                      {"questions", jsonOf(table.questions)},
                      {"warnings", jsonOf(table.notes)}});
}

}  // namespace chipledger::report
