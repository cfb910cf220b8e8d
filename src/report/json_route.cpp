#include <chipledger/report/route.hpp>
#include <chipledger/report/route_wording.hpp>

#include "report/json_value.hpp"

namespace chipledger::report {

namespace {

Json orNull(const std::optional<double>& value) { return value ? Json(*value) : Json(nullptr); }
Json orNull(const std::optional<int>& value) { return value ? Json(*value) : Json(nullptr); }
Json orNull(const std::optional<Money>& value) { return value ? Json(toUnits(*value)) : Json(nullptr); }

Json stackJson(const route::Stack& s) {
  Json lines = Json::array();
  for (const route::CostLine& line : s.lines)
    lines.push_back(Json{{"name", line.name},
                         {"layer", slug(route::word(line.layer))},
                         {"what", line.what},
                         {"batch", toUnits(line.batch)},
                         {"per_set", toUnits(line.perSet)}});
  return lines;
}

Json capacityJson(const route::Capacity& c) {
  Json loads = Json::array();
  for (const route::Load& load : c.loads)
    loads.push_back(Json{{"name", load.name},
                         {"need_h", load.need_h},
                         {"have_h_per_week", load.have_h},
                         {"have_h_per_good_week", load.best_h},
                         {"weeks", load.have_h > 0 ? Json(route::weeksOf(load)) : Json(nullptr)}});
  const bool done = c.missing.empty();
  return Json{
      {"loads", std::move(loads)},
      {"bottleneck", c.bottleneck >= 0 ? Json(c.loads[static_cast<std::size_t>(c.bottleneck)].name) : Json(nullptr)},
      {"missing", c.missing},
      {"weeks_low", done ? Json(c.weeks.low) : Json(nullptr)},
      {"weeks_high", done ? Json(c.weeks.high) : Json(nullptr)}};
}

Json batchJson(const route::BatchResult& b) {
  Json hours = Json::object();
  for (const route::Who who : route::kEveryone) hours[route::word(who)] = b.hours[static_cast<std::size_t>(who)];
  return Json{{"sets", b.sets},
              {"cost", toUnits(b.stack.cost)},
              {"cost_per_set", toUnits(b.stack.perSet)},
              {"fixed", toUnits(b.stack.fixed)},
              {"variable", toUnits(b.stack.variable)},
              {"lines", stackJson(b.stack)},
              {"net_per_set", toUnits(b.netPerSet)},
              {"income", toUnits(b.income)},
              {"left", toUnits(b.left)},
              {"owner_h", b.ownerHours},
              {"owner_h_per_set", b.ownerHoursPerSet},
              {"per_owner_h", orNull(b.perOwnerHour)},
              {"customs_displaced", orNull(b.customsDisplaced)},
              {"hours", std::move(hours)},
              {"spindle_h", Json{{"lower", b.spindleLow}, {"likely", b.spindleHours}, {"upper", b.spindleHigh}}},
              {"capacity", capacityJson(b.capacity)}};
}

Json cutsJson(const std::vector<route::Cut>& cuts) {
  Json list = Json::array();
  for (const route::Cut& c : cuts)
    list.push_back(Json{{"part", c.part},
                        {"change", c.change},
                        {"why", c.why},
                        {"saves_per_set", toUnits(c.perSet)},
                        {"seen_by_buyer", c.seen},
                        {"needed", c.needed}});
  return list;
}

Json channelJson(const route::ChannelResult& c) {
  const route::Waterfall& w = c.waterfall;
  return Json{{"name", c.channel.name},
              {"share", c.channel.share},
              {"discount_share", c.channel.discount},
              {"list_with_tax", toUnits(w.listWithTax)},
              {"list", toUnits(w.list)},
              {"discount", toUnits(w.discount)},
              {"received", toUnits(w.received)},
              {"fees", toUnits(w.fees)},
              {"warranty", toUnits(w.warranty)},
              {"net", toUnits(w.net)},
              {"cost", toUnits(w.cost)},
              {"left", toUnits(w.left)},
              {"margin_share", w.margin},
              {"mend", cutsJson(c.mend)},
              {"mended", c.mended}};
}

Json routeOf(const route::RouteResult& r) {
  Json batches = Json::array(), curve = Json::array(), channels = Json::array(), lists = Json::array();
  for (const route::BatchResult& b : r.batches) batches.push_back(batchJson(b));
  for (const route::CurvePoint& p : r.curve)
    curve.push_back(Json{{"sets", p.sets},
                         {"left", toUnits(p.left)},
                         {"cost_per_set", toUnits(p.costPerSet)},
                         {"owner_h", p.ownerHours},
                         {"per_owner_h", orNull(route::perOwnerHour(p.left, p.ownerHours))}});
  for (const route::ChannelResult& c : r.channels) channels.push_back(channelJson(c));
  for (const route::ListPrice& p : r.lists)
    lists.push_back(
        Json{{"aim", slug(route::word(p.aim))},
             {"channel", p.channel.empty() ? Json(nullptr) : Json(p.channel)},
             {"margin_share", p.aim == route::ListPrice::Aim::WantedMargin ? Json(p.margin) : Json(nullptr)},
             {"list", p.possible ? Json(toUnits(p.exact)) : Json(nullptr)},
             {"rounded_up", p.possible ? Json(toUnits(p.rounded)) : Json(nullptr)},
             {"with_tax", p.possible ? Json(toUnits(p.withTax)) : Json(nullptr)}});
  return Json{{"name", r.name},
              {"custom", r.custom},
              {"list", toUnits(r.list)},
              {"net_share_of_list", r.mean.netShare},
              {"crossing", Json{{"cash_even_from", orNull(r.crossing.cash)},
                                {"beats_custom_from", orNull(r.crossing.perHour)},
                                {"searched_to", r.crossing.searchedTo}}},
              {"batches", std::move(batches)},
              {"channels", std::move(channels)},
              {"list_prices", std::move(lists)},
              {"curve", std::move(curve)}};
}

Json buyJson(const route::BuyList& b) {
  Json plates = Json::array(), cutters = Json::array(), parts = Json::array(), work = Json::array();
  for (const route::PlateOrder& p : b.plates)
    plates.push_back(Json{{"part", p.part},
                          {"material", p.material},
                          {"size", p.size},
                          {"blanks", p.blanks},
                          {"per_sheet", p.perSheet},
                          {"sheets", p.sheets},
                          {"waste_share", p.waste},
                          {"money", toUnits(p.money)},
                          {"sheet_money", toUnits(p.sheetMoney)}});
  for (const route::CutterOrder& c : b.cutters)
    cutters.push_back(Json{{"cutter", c.cutter},
                           {"used", c.used},
                           {"worn", c.worn},
                           {"spare", c.spare},
                           {"each", toUnits(c.each)},
                           {"money", toUnits(c.money)}});
  for (const route::PartOrder& p : b.parts)
    parts.push_back(Json{{"name", p.name},
                         {"quantity", p.order.quantity},
                         {"left_over", p.order.leftOver},
                         {"each", toUnits(p.order.each)},
                         {"money", toUnits(p.order.money)}});
  for (const route::WorkOrder& w : b.work)
    work.push_back(Json{{"name", w.name},
                        {"pieces", w.pieces},
                        {"money", toUnits(w.money)},
                        {"minimum_charge", w.atMinimum},
                        {"days_low", w.daysLow},
                        {"days_high", w.daysHigh}});
  return Json{{"sets", b.sets},
              {"plates", std::move(plates)},
              {"cutters", std::move(cutters)},
              {"parts", std::move(parts)},
              {"work", std::move(work)},
              {"total", toUnits(b.total)}};
}

Json headlineJson(const route::Headline& h) {
  return Json{{"cost_per_set", toUnits(h.costPerSet)},
              {"left", toUnits(h.left)},
              {"owner_h", h.ownerHours},
              {"per_owner_h", orNull(h.perOwnerHour)},
              {"cash_even_from", orNull(h.cash)},
              {"beats_custom_from", orNull(h.beatsCustom)},
              {"list_to_keep_margin", orNull(h.listToKeep)}};
}

Json variantJson(const route::VariantResult& v) {
  Json milled = Json::array(), routes = Json::array(), earnings = Json::array(), tornado = Json::array(),
       whatIfs = Json::array();
  for (const route::MilledPiece& m : v.milled)
    milled.push_back(Json{{"name", m.name},
                          {"file", m.file},
                          {"fingerprint", m.fingerprint},
                          {"material", m.material},
                          {"pieces_per_set", m.piecesPerSet},
                          {"machine_minutes", Json{{"lower", toMinutes(toDuration(m.machine.lower))},
                                                   {"likely", toMinutes(toDuration(m.machine.likely))},
                                                   {"upper", toMinutes(toDuration(m.machine.upper))}}},
                          {"loading_minutes", toMinutes(toDuration(m.loading))},
                          {"bench_minutes", toMinutes(toDuration(m.bench))},
                          {"setups", m.setups},
                          {"scrap_share", m.scrap},
                          {"metal", toUnits(m.metal)},
                          {"cutters", toUnits(m.cutters)}});
  for (const route::RouteResult& r : v.routes) routes.push_back(routeOf(r));
  for (const route::Earning& e : v.earnings)
    earnings.push_back(Json{{"part", e.part},
                            {"detail", e.what},
                            {"per_set", toUnits(e.perSet)},
                            {"list_must_rise_by", orNull(e.listRise)}});
  for (const route::TornadoBar& b : v.tornado)
    tornado.push_back(
        Json{{"name", b.name}, {"range", b.range}, {"left_at_low", toUnits(b.low)}, {"left_at_high", toUnits(b.high)}});
  for (const route::WhatIf& w : v.whatIfs) {
    Json changes = Json::array();
    for (const route::Change& c : w.changes) changes.push_back(c.words);
    whatIfs.push_back(
        Json{{"changes", std::move(changes)}, {"before", headlineJson(w.before)}, {"after", headlineJson(w.after)}});
  }
  Json target = nullptr;
  if (v.target)
    target = Json{{"list", toUnits(v.target->list)},         {"margin_share", v.target->margin},
                  {"cost_per_set", toUnits(v.target->cost)}, {"cost_allowed", toUnits(v.target->allowed)},
                  {"to_cut", toUnits(v.target->toCut)},      {"reached", v.target->reached},
                  {"cuts", cutsJson(v.target->cuts)}};
  return Json{{"name", v.name.empty() ? Json(nullptr) : Json(v.name)},
              {"milled", std::move(milled)},
              {"custom_bench", Json{{"per_owner_h", v.customPerHour},
                                    {"from", v.customFrom},
                                    {"owner_h", orNull(v.customHours)},
                                    {"this_tool", v.customOne ? batchJson(*v.customOne) : Json(nullptr)}}},
              {"shop_built", shopBuilt(v).name},
              {"routes", std::move(routes)},
              {"against_first", Json{{"dearer_per_set", orNull(v.dearerThanFirst)},
                                     {"list_must_rise_by", orNull(v.listRiseAgainstFirst)}}},
              {"buy", buyJson(v.buy)},
              {"earnings", std::move(earnings)},
              {"target", std::move(target)},
              {"tornado", std::move(tornado)},
              {"what_ifs", std::move(whatIfs)},
              {"warnings", jsonOf(v.notes)}};
}

}  // namespace

std::string routeJson(const route::ProductResult& r) {
  Json variants = Json::array(), assumptions = Json::array();
  for (const route::VariantResult& v : r.variants) variants.push_back(variantJson(v));
  for (const Assumption& a : r.assumptions)
    assumptions.push_back(
        Json{{"name", a.name}, {"value", a.value}, {"unit", a.unit}, {"from", word(a.from)}, {"source", a.source}});
  return written(Json{{"schema", kRouteSchema},
                      {"product", Json{{"name", r.name}, {"file", r.file}, {"shop", r.shop}}},
                      {"currency", r.currency},
                      {"decimals", r.decimals},
                      {"sets", r.sets},
                      {"sales", Json{{"list", toUnits(r.terms.list)},
                                     {"fees_share", r.terms.fees},
                                     {"warranty_share", r.terms.warranty},
                                     {"sales_tax_share", r.terms.salesTax},
                                     {"wanted_margin_share", r.terms.wantedMargin},
                                     {"overhead_share", r.overhead}}},
                      {"lead_variant", leadVariant(r)},
                      {"variants", std::move(variants)},
                      {"assumptions", std::move(assumptions)},
                      {"warnings", jsonOf(r.notes)},
                      {"cautions", r.cautions}});
}

}  // namespace chipledger::report
