#include <chipledger/report/compare.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/wording.hpp>

#include "report/json_value.hpp"

namespace chipledger::report {

namespace {

Json variantJson(const estimate::Estimate& e) {
  Json batches = Json::array();
  for (const estimate::BatchPrice& b : e.batches) {
    batches.push_back(
        Json{{"size", b.size}, {"per_piece", toUnits(b.perPiece)}, {"low", toUnits(b.low)}, {"high", toUnits(b.high)}});
  }
  return Json{{"file", e.file},
              {"name", e.bodyName},
              {"fingerprint", e.fingerprint},
              {"step_mm", toMm(e.blank.step)},
              {"batches", std::move(batches)}};
}

Json againstJson(const compare::Against& a) {
  Json details = Json::array(), groups = Json::array(), differences = Json::array(), lines = Json::array();
  const auto amount = [](const std::optional<Money>& m) { return m ? Json(toUnits(*m)) : Json(nullptr); };
  for (const compare::DetailChange& c : a.details) {
    details.push_back(Json{{"fate", slug(compare::word(c.fate))},
                           {"before", c.before},
                           {"after", c.after},
                           {"what", c.what},
                           {"before_costs", amount(c.beforePrice)},
                           {"after_costs", amount(c.afterPrice)}});
  }
  for (const compare::GroupChange& g : a.groups) {
    groups.push_back(Json{{"before", g.before},
                          {"after", g.after},
                          {"before_costs", amount(g.beforePrice)},
                          {"after_costs", amount(g.afterPrice)}});
  }
  for (const estimate::Difference& d : a.differences) {
    Json perLine = Json::object();
    for (std::size_t l = 0; l < d.lines.size(); ++l) perLine[ledger::word(ledger::kLines[l])] = toUnits(d.lines[l]);
    differences.push_back(Json{{"size", d.size}, {"money", toUnits(d.money)}, {"lines", std::move(perLine)}});
  }
  for (const compare::LineDifference& l : a.lines) {
    lines.push_back(Json{{"line", ledger::word(l.line)}, {"money", toUnits(l.money)}, {"cause", l.cause}});
  }
  return Json{{"variant", a.variant},
              {"same_geometry", a.sameGeometry},
              {"turned_over", a.turnedOver},
              {"details", std::move(details)},
              {"groups", std::move(groups)},
              {"differences", std::move(differences)},
              {"lines_at_reference_batch", std::move(lines)}};
}

}  // namespace

std::string compareJson(const std::vector<estimate::Estimate>& variants, const compare::Comparison& comparison) {
  Json list = Json::array(), against = Json::array(), crossings = Json::array();
  for (const estimate::Estimate& e : variants) list.push_back(variantJson(e));
  for (const compare::Against& a : comparison.against) against.push_back(againstJson(a));
  for (const compare::Crossing& c : comparison.crossings) {
    crossings.push_back(Json{{"batch", c.batch}, {"cheaper", c.cheaper}, {"dearer", c.dearer}});
  }
  return written(Json{{"schema", kCompareSchema},
                      {"currency", variants.empty() ? std::string{} : variants.front().currency},
                      {"reference_batch", variants.empty() || variants.front().batches.empty()
                                              ? Json(nullptr)
                                              : Json(variants.front().batches[referenceBatch(variants.front())].size)},
                      {"variants", std::move(list)},
                      {"cheapest", comparison.cheapest},
                      {"against", std::move(against)},
                      {"crossings", std::move(crossings)}});
}

}  // namespace chipledger::report
