#include <chipledger/path/chain.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

namespace chipledger::path {
namespace {

constexpr double kArc_mm = 0.005;
constexpr double kLeftMoneyPerMm2 = 1e4;  // reachable metal must not stay: dearer than any path
constexpr double kLeftNoise_mm2 = 0.02;   // difference of two openings below this is rounding
constexpr double kSliver_mm = 0.02;       // strips thinner than twice this along walls are no work of their own
constexpr double kWayInSeconds = 2.0;     // retract, way and ramp into one piece; only for weighing
constexpr double kNearTie = 0.02;         // engine notes 7: within 2 % prefer fewer cutters

Region withoutSlivers(const Region& region) {
  return offset(offset(region, -kSliver_mm, kArc_mm), kSliver_mm, kArc_mm);
}

double seconds(const Region& work, const Candidate& c, double depth) {
  // The centre region of a rest piece is not known before it is planned: its own area and border stand for it, which is
  // the formula's value for a strip one step wide.
  const double length = area(work) / c.step_mm + 0.5 * perimeter(work);
  const double layers = std::ceil(std::max(depth, 1e-6) / c.layer_mm - 1e-9);
  return layers * (length / c.feed_mm_s + kWayInSeconds * static_cast<double>(pieces(work).size()));
}

}  // namespace

Region unreachable(const Region& metal, const Region& obstacle, double radius_mm, double fit_mm) {
  // The free room around the metal, opened by the cutter with its clearance.
  const Region around = offset(metal, 2.0 * (radius_mm + fit_mm) + 0.1, kArc_mm);
  const Region free = subtract(around, obstacle);
  const Region core = offset(free, -(radius_mm + fit_mm), kArc_mm);
  // Give back the clearance and the chord error: what a cutter of this size leaves beyond them is a corner.
  const Region reached = offset(core, radius_mm + fit_mm + kArc_mm, kArc_mm);
  // The rim of `around` is not a wall: metal never comes near it.
  return withoutSlivers(subtract(metal, reached));
}

Chain chooseChain(const std::vector<Zone>& zones, const std::vector<Candidate>& candidates, double fit_mm) {
  const std::size_t n = candidates.size(), m = zones.size();
  Chain chain;
  if (n == 0 || m == 0) return chain;
  // left[j][z]: what stays in zone z when j is the smallest cutter used.
  std::vector<std::vector<Region>> left(n, std::vector<Region>(m));
  std::vector<std::vector<double>> leftArea(n, std::vector<double>(m));
  for (std::size_t j = 0; j < n; ++j) {
    for (std::size_t z = 0; z < m; ++z) {
      left[j][z] = candidates[j].reach_mm + 1e-9 < zones[z].depth_mm
                       ? zones[z].metal
                       : unreachable(zones[z].metal, zones[z].obstacle, candidates[j].radius_mm, fit_mm);
      leftArea[j][z] = area(left[j][z]);
    }
  }
  // Cutters whose reach falls short break the nesting: what stays after a pair is the smaller of the two, so a cutter
  // counts as leaving no more than any larger one before it in the sequence; the best over all bounds what must go.
  std::vector<double> best(m, std::numeric_limits<double>::infinity());
  for (std::size_t z = 0; z < m; ++z)
    for (std::size_t j = 0; j < n; ++j) best[z] = std::min(best[z], leftArea[j][z]);

  constexpr double kInfinite = std::numeric_limits<double>::infinity();
  const auto linkMoney = [&](std::size_t i, std::size_t j, bool first) {
    double money = candidates[j].changeMoney;
    for (std::size_t z = 0; z < m; ++z) {
      const double before = first ? area(zones[z].metal) : leftArea[i][z];
      if (before - leftArea[j][z] <= kLeftNoise_mm2) continue;
      const Region work = withoutSlivers(subtract(first ? zones[z].metal : left[i][z], left[j][z]));
      if (area(work) <= kLeftNoise_mm2) continue;
      money += seconds(work, candidates[j], zones[z].depth_mm) * candidates[j].moneyPerSecond;
    }
    return money;
  };
  const auto leftMoney = [&](std::size_t j) {
    double money = 0.0;
    for (std::size_t z = 0; z < m; ++z)
      money += kLeftMoneyPerMm2 * std::max(0.0, leftArea[j][z] - best[z] - kLeftNoise_mm2);
    return money;
  };

  // cost[k][j]: cheapest sequence of k + 1 cutters that ends with j.
  std::vector<std::vector<double>> cost(n, std::vector<double>(n, kInfinite));
  std::vector<std::vector<int>> from(n, std::vector<int>(n, -1));
  std::vector<std::vector<double>> pair(n, std::vector<double>(n, 0.0));
  for (std::size_t j = 0; j < n; ++j) {
    cost[0][j] = linkMoney(j, j, true);
    for (std::size_t i = 0; i < j; ++i) pair[i][j] = linkMoney(i, j, false);
  }
  for (std::size_t k = 1; k < n; ++k) {
    for (std::size_t j = 0; j < n; ++j) {
      for (std::size_t i = 0; i < j; ++i) {
        const double money = cost[k - 1][i] + pair[i][j];
        if (money < cost[k][j]) {
          cost[k][j] = money;
          from[k][j] = static_cast<int>(i);
        }
      }
    }
  }
  double least = kInfinite;
  for (std::size_t k = 0; k < n; ++k)
    for (std::size_t j = 0; j < n; ++j) least = std::min(least, cost[k][j] + leftMoney(j));
  for (std::size_t k = 0; k < n && chain.cutters.empty(); ++k) {
    std::size_t end = n;
    for (std::size_t j = 0; j < n; ++j) {
      const double money = cost[k][j] + leftMoney(j);
      if (money <= least * (1.0 + kNearTie) && (end == n || money < cost[k][end] + leftMoney(end))) end = j;
    }
    if (end == n) continue;
    chain.money = cost[k][end];
    chain.left = left[end];
    int at = static_cast<int>(end);
    for (std::size_t s = k + 1; s-- > 0;) {
      chain.cutters.push_back(at);
      at = from[s][static_cast<std::size_t>(at)];
    }
    std::reverse(chain.cutters.begin(), chain.cutters.end());
  }
  return chain;
}

}  // namespace chipledger::path
