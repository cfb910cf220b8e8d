#include <chipledger/estimate/minutes_map.hpp>
#include <chipledger/motion/planner.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::estimate {

namespace {

double cutterRadius(const Estimate& e, const std::string& id) {
  for (const CutterUse& use : e.cutters)
    if (use.cutter.id == id) return toMm(use.cutter.diameter) / 2;
  return 0;
}

/// Points along a move no further apart than half a cell.
int pointsOn(const path::Move& move, double cell) {
  return std::max(1, static_cast<int>(std::ceil(length(move.segment) / (cell / 2))));
}

MinutesMap emptyMap(const Estimate& e, int setup, double cell) {
  Box2 box;
  double margin = 0;
  for (const OperationResult& o : e.operations) {
    if (o.operation.setup != setup) continue;
    margin = std::max(margin, cutterRadius(e, o.operation.cutter));
    for (const path::Move& move : o.operation.moves) {
      const int n = pointsOn(move, cell);
      for (int k = 0; k <= n; ++k) box.add(pointAt(move.segment, static_cast<double>(k) / n).xy());
    }
  }
  MinutesMap map;
  map.setup = setup;
  map.cell_mm = cell;
  if (box.empty()) return map;
  margin += 2 * cell;
  // Whole cells from the frame's own origin: the grid does not shift with a path.
  map.x0 = std::floor((box.min.x - margin) / cell) * cell;
  map.y0 = std::floor((box.min.y - margin) / cell) * cell;
  map.nx = static_cast<int>(std::ceil((box.max.x + margin - map.x0) / cell));
  map.ny = static_cast<int>(std::ceil((box.max.y + margin - map.y0) / cell));
  map.minutes.assign(static_cast<std::size_t>(map.nx) * static_cast<std::size_t>(map.ny), 0.0);
  return map;
}

std::size_t cellOf(const MinutesMap& map, Vec2 p) {
  const int i = std::clamp(static_cast<int>(std::floor((p.x - map.x0) / map.cell_mm)), 0, map.nx - 1);
  const int j = std::clamp(static_cast<int>(std::floor((p.y - map.y0) / map.cell_mm)), 0, map.ny - 1);
  return static_cast<std::size_t>(j) * static_cast<std::size_t>(map.nx) + static_cast<std::size_t>(i);
}

// Deals what stands in each cell out over a disc of cells; a cell too near the border keeps the rest of its disc inside
// by the margin of the map.
void addOverDisc(const std::vector<double>& along, double radius, MinutesMap& map) {
  struct Step {
    int i, j;
  };
  std::vector<Step> disc;
  const int reach = static_cast<int>(std::floor(radius / map.cell_mm));
  for (int j = -reach; j <= reach; ++j)
    for (int i = -reach; i <= reach; ++i)
      if (std::hypot(i, j) * map.cell_mm <= radius) disc.push_back({i, j});
  if (disc.empty()) disc.push_back({0, 0});
  const double share = 1.0 / static_cast<double>(disc.size());
  for (int j = 0; j < map.ny; ++j) {
    for (int i = 0; i < map.nx; ++i) {
      const double here =
          along[static_cast<std::size_t>(j) * static_cast<std::size_t>(map.nx) + static_cast<std::size_t>(i)];
      if (here == 0) continue;
      for (const Step& s : disc) {
        const int a = std::clamp(i + s.i, 0, map.nx - 1), b = std::clamp(j + s.j, 0, map.ny - 1);
        map.minutes[static_cast<std::size_t>(b) * static_cast<std::size_t>(map.nx) + static_cast<std::size_t>(a)] +=
            here * share;
      }
    }
  }
}

}  // namespace

double MinutesMap::most() const {
  double top = 0;
  for (const double m : minutes) top = std::max(top, m);
  return top * 100.0 / (cell_mm * cell_mm);
}

Result<std::vector<MinutesMap>> minutesMaps(const Estimate& e, const motion::Machine& machine, double cell_mm) {
  std::vector<MinutesMap> maps;
  for (std::size_t s = 0; s < e.setups.size(); ++s) maps.push_back(emptyMap(e, static_cast<int>(s), cell_mm));
  std::vector<motion::Times> times;
  for (const OperationResult& o : e.operations) {
    if (o.operation.setup < 0 || o.operation.setup >= static_cast<int>(maps.size())) continue;
    MinutesMap& map = maps[static_cast<std::size_t>(o.operation.setup)];
    if (map.nx == 0) continue;
    if (auto planned = motion::planTimes(o.operation.moves, machine, times); !planned)
      return tl::make_unexpected(planned.error());
    std::vector<double> along(map.minutes.size(), 0.0);
    for (std::size_t m = 0; m < o.operation.moves.size(); ++m) {
      const path::Move& move = o.operation.moves[m];
      const int n = pointsOn(move, cell_mm);
      const double each = toMinutes(times[m].likely) / n;
      for (int k = 0; k < n; ++k) along[cellOf(map, pointAt(move.segment, (k + 0.5) / n).xy())] += each;
    }
    addOverDisc(along, cutterRadius(e, o.operation.cutter), map);
  }
  return maps;
}

}  // namespace chipledger::estimate
