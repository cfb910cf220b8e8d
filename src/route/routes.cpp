#include "route/built_in_routes.hpp"
#include "route/fields.hpp"

#include <chipledger/route/routes.hpp>
#include <chipledger/route/yield.hpp>

#include <cassert>

namespace chipledger::route {

const char* word(Who who) {
  switch (who) {
    case Who::Owner:
      return "owner";
    case Who::Machinist:
      return "machinist";
    case Who::Bench:
      return "bench";
    case Who::Packing:
      return "packing";
    case Who::Outside:
      return "outside";
  }
  return "bench";
}

const char* word(Takes takes) {
  switch (takes) {
    case Takes::Nothing:
      return "nothing";
    case Takes::Machine:
      return "machine";
    case Takes::Loading:
      return "loading";
    case Takes::SettingUp:
      return "setting up";
    case Takes::Programming:
      return "programming";
    case Takes::Bench:
      return "bench";
  }
  return "nothing";
}

std::string text(const Place& place) { return fmt::format("{}:{}", place.file, place.line); }

void eachTable(const toml::table& root, const std::string& key, Mistake& mistake,
               const std::function<void(const toml::table&)>& each) {
  const toml::node* node = root.get(key);
  if (node == nullptr) return;
  const toml::array* list = node->as_array();
  if (list == nullptr)
    return mistake.say(*node, fmt::format("\"{}\" is a list of sections.", key),
                       fmt::format("Head each with [[{}]].", key));
  for (const toml::node& item : *list) {
    const toml::table* table = item.as_table();
    if (table == nullptr)
      return mistake.say(item, fmt::format("\"{}\" is a list of sections.", key),
                         fmt::format("Head each with [[{}]].", key));
    each(*table);
  }
}

namespace {

constexpr double kMostHours = 10000, kMostMinutes = 100000, kMostTimes = 100;

std::vector<std::pair<std::string, Who>> everyone() {
  std::vector<std::pair<std::string, Who>> all;
  for (Who who : kEveryone) all.emplace_back(word(who), who);
  return all;
}

RouteStep readStep(const toml::table& table, Mistake& mistake) {
  static const std::vector<std::pair<std::string, Takes>> kTakes{{"machine", Takes::Machine},
                                                                 {"loading", Takes::Loading},
                                                                 {"setting up", Takes::SettingUp},
                                                                 {"programming", Takes::Programming},
                                                                 {"bench", Takes::Bench}};
  Fields f(table, "a step of a route", mistake);
  RouteStep step;
  step.place = f.place();
  if (f.needed("name")) f.words("name", step.name);
  f.oneOf("who", everyone(), step.who);
  std::optional<Takes> takes;
  f.oneOf("takes", kTakes, takes);
  step.takes = takes.value_or(Takes::Nothing);
  f.number("times", 0, kMostTimes, step.times);
  f.number("per_design_h", 0, kMostHours, step.perDesign_h);
  f.number("per_batch_min", 0, kMostMinutes, step.perBatch_min);
  f.number("per_set_min", 0, kMostMinutes, step.perSet_min);
  step.learning = f.number("learning", 0.5, 1.0);
  step.yield = f.number("good_share", kLeastYield, 1.0);
  step.attended = f.number("attended_share", 0.0, 1.0);
  f.finish();
  const bool typed = step.perDesign_h > 0 || step.perBatch_min > 0 || step.perSet_min > 0;
  if (step.takes != Takes::Nothing && typed)
    mistake.say(table, fmt::format("\"{}\" takes its minutes from the estimate and types them too.", step.name),
                "Keep one: takes, or the typed minutes.");
  if (step.learning && *step.learning < 1.0 && step.takes == Takes::Machine)
    mistake.say(table, "A machine does not learn: cutting time stays what it is.", "Take \"learning\" away here.");
  if (step.attended && step.takes != Takes::Machine)
    mistake.say(table, "\"attended_share\" is the share of a machine minute.",
                "Give it in the step that takes \"machine\".");
  return step;
}

Route readRoute(const toml::table& table, Mistake& mistake) {
  Fields f(table, "a route", mistake);
  Route route;
  route.place = f.place();
  if (f.needed("name")) f.words("name", route.name);
  f.flag("custom", route.custom);
  f.whole("usual_sets", 1, 1000000, route.usualSets);
  f.oneOf("others_by", everyone(), route.others);
  f.oneOf("everything_by", everyone(), route.everything);
  f.node("step");
  eachTable(table, "step", mistake, [&](const toml::table& step) {
    route.steps.push_back(readStep(step, mistake));
    const RouteStep& last = route.steps.back();
    for (std::size_t i = 0; i + 1 < route.steps.size(); ++i) {
      const RouteStep& earlier = route.steps[i];
      if (earlier.name == last.name)
        mistake.say(step, fmt::format("The route \"{}\" has the step \"{}\" twice.", route.name, last.name),
                    fmt::format("The first is in line {}: keep one.", earlier.place.line));
      if (last.takes != Takes::Nothing && earlier.takes == last.takes)
        mistake.say(step, fmt::format("Two steps take \"{}\": its minutes would count twice.", word(last.takes)),
                    fmt::format("The first is in line {}: keep one.", earlier.place.line));
    }
  });
  f.finish();
  if (route.steps.empty() && !route.name.empty())
    mistake.say(table, fmt::format("The route \"{}\" has no steps.", route.name), "Give it [[route.step]] sections.");
  return route;
}

}  // namespace

std::vector<Route> readRoutes(const toml::table& root, Mistake& mistake) {
  std::vector<Route> routes;
  eachTable(root, "route", mistake, [&](const toml::table& table) {
    routes.push_back(readRoute(table, mistake));
    for (std::size_t i = 0; i + 1 < routes.size(); ++i)
      if (routes[i].name == routes.back().name)
        mistake.say(table, fmt::format("There are two routes \"{}\".", routes[i].name),
                    fmt::format("The first is in line {}: rename one.", routes[i].place.line));
  });
  return routes;
}

std::vector<Route> builtInRoutes() {
  Mistake mistake("built-in routes");
  auto routes = readRoutes(toml::parse(builtInRoutesText()), mistake);
  assert(!mistake.found());
  return routes;
}

std::string builtInRoutesFile() { return builtInRoutesText(); }

}  // namespace chipledger::route
