#include <chipledger/report/markup.hpp>
#include <chipledger/report/minutes_chart.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/visible_edges.hpp>

#include "report/anchors.hpp"
#include "report/chart_parts.hpp"
#include "report/plan_tint.hpp"
#include "report/sheet_parts.hpp"

#include <algorithm>
#include <cmath>

namespace chipledger::report {

namespace {

// The step a cell falls in, or -1 below the lowest.
int stepAt(const std::vector<double>& steps, double perCm2) {
  int step = -1;
  for (std::size_t s = 0; s < steps.size(); ++s)
    if (perCm2 >= steps[s]) step = static_cast<int>(s);
  return step;
}

// Runs of one step in each row, as boxes of one path.
std::string cellsOf(const estimate::MinutesMap& map, const std::vector<double>& steps, int step) {
  std::string d;
  for (int j = 0; j < map.ny; ++j) {
    for (int i = 0; i < map.nx; ++i) {
      if (stepAt(steps, map.perCm2(i, j)) != step) continue;
      int end = i;
      while (end < map.nx && stepAt(steps, map.perCm2(end, j)) == step) ++end;
      // Paper has y down.
      d += "M" + coordinate(map.x0 + i * map.cell_mm) + " " + coordinate(-(map.y0 + (j + 1) * map.cell_mm)) + "h" +
           coordinate((end - i) * map.cell_mm) + "v" + coordinate(map.cell_mm) + "h" +
           coordinate(-(end - i) * map.cell_mm) + "z";
      i = end;
    }
  }
  return d;
}

std::string edgesOf(const part::Body& body, const Frame& toSetup) {
  constexpr double kCells = 500;
  Box2 box;
  for (const part::Edge& edge : body.edges)
    for (const Vec3& p : edge.points) box.add(toSetup.apply(p).xy());
  const double cell = std::max(0.02, std::max(box.size().x, box.size().y) / kCells);
  std::string d;
  for (const VisibleEdge& edge : visibleEdges(body, toSetup, cell)) {
    if (edge.smooth) continue;
    for (std::size_t i = 0; i < edge.points.size(); ++i)
      d += (i == 0 ? "M" : "L") + coordinate(edge.points[i].x) + " " + coordinate(-edge.points[i].y);
  }
  return d;
}

// Where all but the hottest twentieth of the cells end: one narrow slot must not leave the rest of the map white.
double usualMost(std::vector<double> levels) {
  if (levels.empty()) return 0;
  constexpr double kShare = 0.95;
  const auto at = levels.begin() + static_cast<std::ptrdiff_t>(kShare * static_cast<double>(levels.size() - 1));
  std::nth_element(levels.begin(), at, levels.end());
  return *at;
}

std::string figure(const estimate::Estimate& e, const part::Body& body, const estimate::MinutesMap& map,
                   const std::vector<double>& steps) {
  const estimate::SetupResult& setup = e.setups[static_cast<std::size_t>(map.setup)];
  const double wide = map.nx * map.cell_mm, tall = map.ny * map.cell_mm;
  std::string cells;
  for (std::size_t s = 0; s < steps.size(); ++s) {
    const std::string d = cellsOf(map, steps, static_cast<int>(s));
    if (!d.empty())
      cells += "<path" + attribute("fill", tintColour(static_cast<int>(s))) + attribute("d", d) + "><title>from " +
               trimmed(steps[s], 3) + " min/cm\u00b2</title></path>\n";
  }
  return "<figure><figcaption>" + escaped(setup.setup.name) + ", " +
         chartLink(setupAnchor(static_cast<std::size_t>(map.setup)), minutesText(setup.machine.likely) + " min") +
         "</figcaption><svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\"" +
         attribute("aria-label", "Minutes on the part, setup " + setup.setup.name) +
         attribute("viewBox", coordinate(map.x0) + " " + coordinate(-(map.y0 + tall)) + " " + coordinate(wide) + " " +
                                  coordinate(tall)) +
         " shape-rendering=\"crispEdges\">\n" + cells +
         "<path shape-rendering=\"auto\" fill=\"none\" stroke=\"#111\" stroke-width=\"0.2\"" +
         attribute("d", edgesOf(body, setup.setup.partToSetup)) + "/></svg></figure>\n";
}

}  // namespace

std::vector<double> mapSteps(double usual, double most) {
  std::vector<double> steps;
  if (!(usual > 0)) return steps;
  constexpr double kNice[] = {5, 2, 1};
  // A slot in which a small cutter stands for minutes is far hotter than all else: it has the last step to itself.
  constexpr double kFarHotter = 8, kOfTheHottest = 5;
  if (most > kFarHotter * usual) {
    const double last = most / kOfTheHottest, tens = std::pow(10.0, std::floor(std::log10(last)));
    for (const double nice : kNice)
      if (steps.empty() && nice * tens <= last) steps.push_back(nice * tens);
  }
  double unit = std::pow(10.0, std::floor(std::log10(usual)));
  while (steps.size() < static_cast<std::size_t>(kTintSteps)) {
    for (const double nice : kNice)
      if (nice * unit <= usual && steps.size() < static_cast<std::size_t>(kTintSteps)) steps.push_back(nice * unit);
    unit /= 10;
  }
  std::reverse(steps.begin(), steps.end());
  return steps;
}

std::string minutesCharts(const estimate::Estimate& e, const part::Body& body,
                          const std::vector<estimate::MinutesMap>& maps) {
  double most = 0;
  std::vector<double> levels;
  for (const estimate::MinutesMap& map : maps) {
    most = std::max(most, map.most());
    for (int j = 0; j < map.ny; ++j)
      for (int i = 0; i < map.nx; ++i)
        if (map.at(i, j) > 0) levels.push_back(map.perCm2(i, j));
  }
  const std::vector<double> steps = mapSteps(usualMost(levels), most);
  std::string figures;
  for (const estimate::MinutesMap& map : maps)
    if (map.nx > 0 && map.setup < static_cast<int>(e.setups.size())) figures += figure(e, body, map, steps);
  if (figures.empty() || steps.empty()) return "";
  std::string key = "<ul class=\"key\"><li>min/cm\u00b2, from</li>";
  for (std::size_t s = 0; s < steps.size(); ++s)
    key += std::string(
               "<li><svg viewBox=\"0 0 22 12\" aria-hidden=\"true\"><rect width=\"22\" height=\"12\" "
               "stroke=\"#111\" fill=\"") +
           tintColour(static_cast<int>(s)) + "\"/></svg>" + trimmed(steps[s], 3) + "</li>";
  key += "<li>at most " +
         opened(trimmed(most, 1), "The hottest cell of the maps: likely minutes of the moves over it, by its area.") +
         "</li>";
  return "<h3>Where the minutes go</h3>\n<div class=\"maps\">" + figures + "</div>\n" + key +
         "</ul>\n<p class=\"note\">The likely time of every move, laid along its path and over the width of its "
         "cutter. "
         "Changes of cutter are in the minutes and not on the map.</p>\n";
}

}  // namespace chipledger::report
