#include <chipledger/parallel/parallel.hpp>
#include <chipledger/path/chain.hpp>
#include <chipledger/path/narrow.hpp>

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

// Along the middle of a place without room for the allowance, one layer after the other at full width.
double slotMoney(const Region& work, const Candidate& c, double depth) {
  const double layers = std::ceil(std::max(depth, 1e-6) / c.slotStep_mm - 1e-9);
  return layers * area(work) / (2.0 * c.radius_mm) / c.slotFeed_mm_s * c.slotMoneyPerSecond;
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

Chain chooseChain(const std::vector<Zone>& zones, const std::vector<Candidate>& candidates, double fit_mm,
                  double allowance_mm) {
  const std::size_t n = candidates.size(), m = zones.size();
  Chain chain;
  if (n == 0 || m == 0) return chain;
  // left[j][z]: what stays in zone z when j is the smallest cutter used.
  std::vector<std::vector<Region>> left(n, std::vector<Region>(m));
  std::vector<std::vector<double>> leftArea(n, std::vector<double>(m));
  std::vector<std::vector<Region>> narrow(n, std::vector<Region>(m));  // taken at full width
  std::vector<const Region*> obstacles(n * m);  // asked for one after the other: it may be worked out on the way
  for (std::size_t j = 0; j < n; ++j)
    for (std::size_t z = 0; z < m; ++z)
      obstacles[j * m + z] = candidates[j].obstacle ? &candidates[j].obstacle(zones[z]) : &zones[z].obstacle;
  forEachTask(n * m, [&](std::size_t pair) {
    const std::size_t j = pair / m, z = pair % m;
    const Candidate& c = candidates[j];
    const bool tooShort = !c.obstacle && c.reach_mm + 1e-9 < zones[z].depth_mm;
    left[j][z] = tooShort ? zones[z].metal : unreachable(zones[z].metal, *obstacles[pair], c.radius_mm, fit_mm);
    leftArea[j][z] = area(left[j][z]);
    if (tooShort || allowance_mm <= 0 || c.slotFeed_mm_s <= 0 || c.slotStep_mm <= 0) return;
    const Region room = narrowRoom(zones[z].metal, *obstacles[pair], c.radius_mm, allowance_mm, fit_mm);
    if (!room.empty()) narrow[j][z] = offset(room, c.radius_mm);
  });
  // Cutters whose shank or holder stops them short break the nesting: per zone the state is the cutter that has left
  // least so far, and sequences are searched depth first. What a sequence has cost bounds what it can still cost.
  constexpr double kInfinite = std::numeric_limits<double>::infinity();
  std::vector<double> best(m, kInfinite);
  for (std::size_t z = 0; z < m; ++z)
    for (std::size_t j = 0; j < n; ++j) best[z] = std::min(best[z], leftArea[j][z]);
  constexpr std::size_t kMostCutters = 6;  // more changes than that never paid (engine notes 7: five of six)
  constexpr double kUnknown = -1.0;
  std::vector<double> known((n + 1) * n * m, kUnknown);
  const auto work = [&](std::size_t i, std::size_t j, std::size_t z) {  // i == n: nothing before
    double& money = known[(i * n + j) * m + z];
    if (money != kUnknown) return money;
    money = 0.0;
    const double before = i == n ? area(zones[z].metal) : leftArea[i][z];
    if (before - leftArea[j][z] > kLeftNoise_mm2) {
      Region take = withoutSlivers(subtract(i == n ? zones[z].metal : left[i][z], left[j][z]));
      if (!narrow[j][z].empty()) {
        money += slotMoney(intersect(take, narrow[j][z]), candidates[j], zones[z].depth_mm);
        take = withoutSlivers(subtract(take, narrow[j][z]));
      }
      if (area(take) > kLeftNoise_mm2)
        money += seconds(take, candidates[j], zones[z].depth_mm) * candidates[j].moneyPerSecond;
    }
    return money;
  };
  struct Sequence {
    double money{kInfinite};
    std::vector<std::size_t> cutters;
  };
  std::vector<Sequence> found(kMostCutters + 1);  // cheapest of each length
  double least = kInfinite;
  std::vector<std::size_t> chosen;
  const std::function<void(std::size_t, double, const std::vector<std::size_t>&)> search =
      [&](std::size_t next, double money, const std::vector<std::size_t>& state) {
        for (std::size_t j = next; j < n && chosen.size() < kMostCutters; ++j) {
          double more = money + candidates[j].changeMoney;
          std::vector<std::size_t> after = state;
          bool works = false;
          for (std::size_t z = 0; z < m; ++z) {
            const double take = work(state[z], j, z);
            if (take <= 0) continue;
            more += take;
            after[z] = j;
            works = true;
          }
          if (!works || more > least * (1.0 + kNearTie)) continue;
          chosen.push_back(j);
          double whole = more;
          for (std::size_t z = 0; z < m; ++z) {
            if (zones[z].soft && after[z] != n) continue;
            const double stays = after[z] == n ? area(zones[z].metal) : leftArea[after[z]][z];
            whole += kLeftMoneyPerMm2 * std::max(0.0, stays - best[z] - kLeftNoise_mm2);
          }
          if (whole < found[chosen.size()].money) found[chosen.size()] = {whole, chosen};
          least = std::min(least, whole);
          search(j + 1, more, after);
          chosen.pop_back();
        }
      };
  search(0, 0.0, std::vector<std::size_t>(m, n));
  for (const Sequence& sequence : found) {
    if (sequence.cutters.empty() || sequence.money > least * (1.0 + kNearTie)) continue;
    chain.money = sequence.money;
    for (std::size_t j : sequence.cutters) chain.cutters.push_back(static_cast<int>(j));
    break;
  }
  if (chain.cutters.empty()) return chain;
  for (std::size_t z = 0; z < m; ++z) {
    chain.left.push_back(zones[z].metal);
    for (int j : chain.cutters)
      if (!chain.left[z].empty()) chain.left[z] = intersect(chain.left[z], left[static_cast<std::size_t>(j)][z]);
  }
  return chain;
}

}  // namespace chipledger::path
