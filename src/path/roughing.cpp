#include <chipledger/path/narrow.hpp>
#include <chipledger/path/roughing.hpp>

#include <algorithm>
#include <cstdint>
#include <functional>
#include <map>
#include <unordered_map>
#include <utility>

namespace chipledger::path {
namespace {

constexpr double kRoughArc_mm = 0.005;    // chords of round joins: a quarter of the fitting tolerance of roughing
constexpr double kGrazeShare = 0.02;      // passes that would cut less than this share of the radius are air
constexpr double kLeastPiece_mm2 = 0.02;  // smaller bits of metal are left to the next cutter
constexpr double kOpenEdge_mm = 0.05;     // metal this near to the border of the blank has an open side
constexpr double kSampleShare = 0.7;      // of the radial step: finer than the gap to a neighbour
constexpr double kDeepShare = 0.3;        // of the radius: this deep inside the metal a first pass is a slot
constexpr double kRestSliver_mm = 0.03;   // thinner strips of rest are chord errors
constexpr int kMostRings = 4000;          // a guard against a step of nothing

double binOf(const ClearTask& task) {
  constexpr double kLeastBin_mm = 0.05;
  return std::max(2.0 * task.step_mm, kLeastBin_mm);
}

// Points along passes in square bins, to find what lies beside a ring.
class Neighbours {
public:
  explicit Neighbours(double bin) : bin_(bin) {}
  void add(Vec2 p, int owner) { bins_[key(index(p.x), index(p.y))].push_back({p, owner}); }
  // Nearest point within `reach` (at most one bin); -1 when there is none.
  int nearest(Vec2 p, double reach, double* distance = nullptr) const {
    int owner = -1;
    double best = reach;
    // Whole bins are counted on: a place on the border of two plus one bin may round into the one after the next.
    const std::int64_t x = index(p.x), y = index(p.y);
    for (int dx = -1; dx <= 1; ++dx) {
      for (int dy = -1; dy <= 1; ++dy) {
        const auto found = bins_.find(key(x + dx, y + dy));
        if (found == bins_.end()) continue;
        for (const auto& [q, who] : found->second) {
          const double gap = norm(p - q);
          if (gap < best - 1e-9) {
            best = gap;
            owner = who;
          }
        }
      }
    }
    if (distance != nullptr) *distance = best;
    return owner;
  }

private:
  // Only looked up, never walked through, so its order does not matter.
  std::int64_t index(double x) const { return static_cast<std::int64_t>(std::floor(x / bin_)); }
  static std::int64_t key(std::int64_t x, std::int64_t y) { return (x << 32) ^ (y & 0xffffffff); }
  double bin_;
  std::unordered_map<std::int64_t, std::vector<std::pair<Vec2, int>>> bins_;
};

template <class Visit>
void sample(const Pass& pass, double spacing, Visit visit) {
  const std::size_t n = pass.points.size(), last = pass.closed ? n : n - 1;
  visit(pass.points.front().xy(), std::size_t{0}, 0.0);
  for (std::size_t i = 0; i < last; ++i) {
    const Vec2 a = pass.points[i].xy(), b = pass.points[(i + 1) % n].xy();
    const int parts = std::max(1, static_cast<int>(std::ceil(norm(b - a) / spacing)));
    for (int k = 1; k <= parts; ++k)
      visit(a + (b - a) * (static_cast<double>(k) / parts), i, static_cast<double>(k) / parts);
  }
}

Vec2 middle(const Pass& pass) {
  const double half = 0.5 * planLength(pass);
  double run = 0.0;
  for (std::size_t i = 1; i < pass.points.size(); ++i) {
    const Vec2 a = pass.points[i - 1].xy(), b = pass.points[i].xy();
    const double l = norm(b - a);
    if (run + l >= half && l > 0) return a + (b - a) * ((half - run) / l);
    run += l;
  }
  return pass.points.back().xy();
}

// Stretches of a pass with nothing cut beside them yet and metal all round become full-width passes of their own.
struct Split {
  std::vector<Pass> slots;
  bool whole{};
};
Split fullWidthParts(const Pass& pass, const Neighbours& cutBefore, const Region& deep, double radius, double step) {
  Split split;
  const double reach = 1.6 * step;
  std::vector<Vec2> at;
  std::vector<char> bare;
  sample(pass, kSampleShare * step, [&](Vec2 p, std::size_t, double) {
    at.push_back(p);
    bare.push_back(cutBefore.nearest(p, reach) < 0 ? 1 : 0);
  });
  if (std::none_of(bare.begin(), bare.end(), [](char b) { return b != 0; })) return split;
  for (std::size_t i = 0; i < at.size(); ++i)
    if (bare[i] && !contains(deep, at[i])) bare[i] = 0;
  if (std::all_of(bare.begin(), bare.end(), [](char b) { return b != 0; })) {
    split.whole = true;
    return split;
  }
  for (std::size_t i = 0; i < at.size();) {
    if (!bare[i]) {
      ++i;
      continue;
    }
    std::size_t j = i;
    Line line;
    if (i > 0) line.push_back(at[i - 1]);
    while (j < at.size() && bare[j]) line.push_back(at[j++]);
    if (j < at.size()) line.push_back(at[j]);
    double length = 0.0;
    for (std::size_t k = 1; k < line.size(); ++k) length += norm(line[k] - line[k - 1]);
    // Shorter ones are the spikes of ring corners; the walk slows down for them.
    if (length > radius) {
      Pass slot = levelPass(simplifyLine(line, 0.002), pass.points.front().z, false, pass.level);
      slot.fullWidth = true;
      split.slots.push_back(std::move(slot));
    }
    i = j;
  }
  return split;
}

// Children first, nearest first; roots are what has no parent.
std::vector<Pass> inOrder(std::vector<Pass> passes, const ClearTask& task, const Region& metal) {
  if (passes.empty()) return passes;
  const double step = task.step_mm, bin = binOf(task);
  std::map<int, std::vector<int>> byLevel;
  for (std::size_t i = 0; i < passes.size(); ++i) byLevel[passes[i].level].push_back(static_cast<int>(i));

  const std::size_t n = passes.size();
  std::vector<int> parent(n, -1);
  std::vector<std::vector<int>> children(n);
  std::vector<Pass> slotOf;
  std::vector<std::vector<int>> slots(n);
  const Region deep = offset(metal, -kDeepShare * task.radius_mm, kRoughArc_mm);
  Neighbours outer(bin);  // the level above, already cut when this one comes
  for (auto it = byLevel.rbegin(); it != byLevel.rend(); ++it) {
    const auto below = std::next(it);
    Neighbours here(bin);
    for (int i : it->second)
      sample(passes[static_cast<std::size_t>(i)], kSampleShare * step,
             [&](Vec2 p, std::size_t, double) { here.add(p, i); });
    for (int i : it->second) {
      Pass& pass = passes[static_cast<std::size_t>(i)];
      if (task.wholeOnly) continue;
      Split split = fullWidthParts(pass, outer, deep, task.radius_mm, step);
      if (split.whole) pass.fullWidth = true;
      for (Pass& slot : split.slots) {
        slots[static_cast<std::size_t>(i)].push_back(static_cast<int>(slotOf.size()));
        slotOf.push_back(std::move(slot));
      }
    }
    if (below != byLevel.rend()) {
      Neighbours next(bin);
      for (int i : below->second)
        sample(passes[static_cast<std::size_t>(i)], kSampleShare * step,
               [&](Vec2 p, std::size_t, double) { next.add(p, i); });
      for (int i : it->second) {
        const Pass& pass = passes[static_cast<std::size_t>(i)];
        int found = next.nearest(middle(pass), bin);
        if (found < 0) {
          double best = bin;
          sample(pass, kSampleShare * step, [&](Vec2 p, std::size_t, double) {
            double gap = best;
            const int who = next.nearest(p, best, &gap);
            if (who >= 0 && gap < best) {
              best = gap;
              found = who;
            }
          });
        }
        if (found >= 0) {
          parent[static_cast<std::size_t>(i)] = found;
          children[static_cast<std::size_t>(found)].push_back(i);
        }
      }
    }
    outer = std::move(here);
  }

  // Where work under a pass begins: its highest descendant.
  std::vector<Vec2> begins(n);
  std::vector<int> height(n);
  for (auto it = byLevel.rbegin(); it != byLevel.rend(); ++it) {
    for (int i : it->second) {
      const auto u = static_cast<std::size_t>(i);
      begins[u] = passes[u].points.front().xy();
      height[u] = passes[u].level;
      for (int c : children[u]) {
        const auto v = static_cast<std::size_t>(c);
        if (height[v] > height[u]) {
          height[u] = height[v];
          begins[u] = begins[v];
        }
      }
    }
  }
  std::vector<int> roots;
  for (std::size_t i = 0; i < n; ++i)
    if (parent[i] < 0) roots.push_back(static_cast<int>(i));

  std::vector<Pass> ordered;
  ordered.reserve(n + slotOf.size());
  Vec2 place = begins[static_cast<std::size_t>(roots.front())];
  const auto put = [&](Pass pass) {
    pass = begunNear(std::move(pass), place);
    place = pass.closed ? pass.points.front().xy() : pass.points.back().xy();
    ordered.push_back(std::move(pass));
  };
  std::function<void(std::vector<int>)> visit = [&](std::vector<int> open) {
    while (!open.empty()) {
      std::size_t best = 0;
      for (std::size_t k = 1; k < open.size(); ++k) {
        const auto a = static_cast<std::size_t>(open[k]), b = static_cast<std::size_t>(open[best]);
        // Roots of a higher level first: they lie on the free side.
        if (height[a] != height[b] && parent[a] < 0) {
          if (height[a] > height[b]) best = k;
          continue;
        }
        if (norm(begins[a] - place) < norm(begins[b] - place) - 1e-9) best = k;
      }
      const int i = open[best];
      open.erase(open.begin() + static_cast<std::ptrdiff_t>(best));
      visit(children[static_cast<std::size_t>(i)]);
      for (int s : slots[static_cast<std::size_t>(i)]) put(slotOf[static_cast<std::size_t>(s)]);
      put(passes[static_cast<std::size_t>(i)]);
    }
  };
  visit(roots);
  return ordered;
}

std::vector<Pass> fromTheWall(const ClearTask& task, const Region& metal) {
  std::vector<Pass> passes;
  const Region touch = offset(metal, task.radius_mm * (1.0 - kGrazeShare), kRoughArc_mm);
  // Floors: beyond the first ring the centre need only come within half a step of the floor's border.
  const Region inner = task.wholeOnly ? offset(metal, 0.5 * task.step_mm + 0.02, kRoughArc_mm) : touch;
  for (int k = 0; k < kMostRings; ++k) {
    const Region grown = k == 0 ? task.keepOut : offset(task.keepOut, k * task.step_mm, kRoughArc_mm);
    bool any = false;
    const Region& limit = k == 0 ? touch : inner;
    const Region free = subtract(limit, grown);
    // Rings that meet in the middle of a channel: what lies between them is chord error, not a place for two more.
    if (k > 0 && area(free) < kRestSliver_mm * 0.5 * perimeter(free)) break;
    for (const Ring& ring : grown.rings) {
      for (Pass& pass : clipRing(ring, limit, task.z_mm, k)) {
        any = true;
        passes.push_back(std::move(pass));
      }
    }
    if (!any && (k > 0 || free.empty())) break;
  }
  return passes;
}

std::vector<Pass> fromTheEdge(const ClearTask& task, const Region& metal) {
  std::vector<std::vector<Pass>> rings;
  const Region touch = offset(metal, task.radius_mm * (1.0 - kGrazeShare), kRoughArc_mm);
  const Region free = task.keepOut.empty() ? touch : subtract(touch, task.keepOut);
  // The edge is that of the metal with its islands filled: rings shrink towards the middle, islands only break them.
  Region hull;
  for (const Ring& ring : metal.rings)
    if (signedArea(ring) > 0) hull.rings.push_back(simplify(ring, kRoughArc_mm));
  const double half = halfWidth(hull);
  // Ring j takes what lies up to (j + 1) s inside the edge. When that is all of it, only what stands behind obstacles
  // is left, and the further rings keep to it.
  Region limit = free;
  bool behind = false;
  for (int j = 0; j < kMostRings; ++j) {
    const double d = task.radius_mm - (j + 1) * task.step_mm;
    // Round the metal that stays after this ring. Its corners are rounded up to R, a step more each ring: the cutter
    // goes round a sharp one in the air. A rounded corner is never cut wider than the sides (angle of engagement).
    const double in = (j + 1) * task.step_mm;
    const double corner = std::max(0.0, std::min({in, task.radius_mm, 0.5 * (half - in)}));
    const Region stays = offset(offset(hull, -(in + corner), kRoughArc_mm), corner, kRoughArc_mm);
    const Region shrunk = stays.empty() ? offset(hull, d, kRoughArc_mm) : offset(stays, task.radius_mm, kRoughArc_mm);
    if (!behind && offset(hull, -j * task.step_mm, kRoughArc_mm).empty()) {
      behind = true;
      const Region sofar = subtract(free, offset(hull, d + task.step_mm, kRoughArc_mm));
      const Region reach = sweptOf(metal, task.keepOut, task.radius_mm);
      Region rest = subtract(reach, offset(sofar, task.radius_mm, kRoughArc_mm));
      rest = offset(offset(rest, -kRestSliver_mm, kRoughArc_mm), kRestSliver_mm, kRoughArc_mm);
      limit =
          rest.empty() ? Region{} : intersect(free, offset(rest, task.radius_mm * (1.0 - kGrazeShare), kRoughArc_mm));
    }
    if (shrunk.empty() || limit.empty()) break;
    std::vector<Pass> row;
    for (const Ring& ring : shrunk.rings)
      for (Pass& pass : clipRing(ring, limit, task.z_mm, 0)) row.push_back(std::move(pass));
    rings.push_back(std::move(row));
  }
  std::vector<Pass> passes;
  const int count = static_cast<int>(rings.size());
  for (int j = 0; j < count; ++j) {
    for (Pass& pass : rings[static_cast<std::size_t>(j)]) {
      pass.level = count - j;
      passes.push_back(std::move(pass));
    }
  }
  return passes;
}

// The ring along the obstacle that ends the pattern from the edge; what it meets are the cusps between the others.
std::vector<Pass> lastRing(const ClearTask& task, const Region& metal, const std::vector<Pass>& before) {
  std::vector<Pass> passes;
  const Region touch = offset(metal, task.radius_mm * (1.0 - kGrazeShare), kRoughArc_mm);
  const Region deep = offset(metal, -kDeepShare * task.radius_mm, kRoughArc_mm);
  Neighbours cut(binOf(task));
  for (std::size_t i = 0; i < before.size(); ++i)
    sample(before[i], kSampleShare * task.step_mm,
           [&](Vec2 p, std::size_t, double) { cut.add(p, static_cast<int>(i)); });
  Vec2 place = before.empty() ? Vec2{} : before.back().points.back().xy();
  std::vector<Pass> open;
  for (const Ring& ring : task.keepOut.rings)
    for (Pass& pass : clipRing(ring, touch, task.z_mm, 0)) open.push_back(std::move(pass));
  while (!open.empty()) {
    std::size_t best = 0;
    for (std::size_t i = 1; i < open.size(); ++i)
      if (norm(open[i].points.front().xy() - place) < norm(open[best].points.front().xy() - place) - 1e-9) best = i;
    Pass pass = begunNear(std::move(open[best]), place);
    open.erase(open.begin() + static_cast<std::ptrdiff_t>(best));
    if (!task.wholeOnly) {
      Split split = fullWidthParts(pass, cut, deep, task.radius_mm, task.step_mm);
      if (split.whole) pass.fullWidth = true;
      for (Pass& slot : split.slots) passes.push_back(std::move(slot));
    }
    place = pass.closed ? pass.points.front().xy() : pass.points.back().xy();
    passes.push_back(std::move(pass));
  }
  return passes;
}

double weight(const ClearTask& task, const std::vector<Pass>& passes) {
  double seconds = planLength(passes) * task.secondsPerMm;
  for (const Pass& pass : passes)
    if (!pass.closed) seconds += task.secondsPerBreak;
  return seconds;
}

}  // namespace

Region keepOutOf(const Region& obstacle, double radius_mm, double allowance_mm, double fit_mm) {
  const Region grown = offset(obstacle, radius_mm + allowance_mm + fit_mm, kRoughArc_mm);
  return offset(grown, -fit_mm, kRoughArc_mm);
}

Region sweptOf(const Region& metal, const Region& keepOut, double radius_mm) {
  const Region touch = offset(metal, radius_mm, kRoughArc_mm);
  return intersect(offset(subtract(touch, keepOut), radius_mm, kRoughArc_mm), metal);
}

ClearPlan clearRegion(const ClearTask& task) {
  ClearPlan plan;
  if (task.metal.empty() || task.step_mm <= 0) return plan;
  const Region inside = offset(task.blank, -kOpenEdge_mm);
  Vec2 place{};
  std::vector<Region> open = pieces(task.metal);
  while (!open.empty()) {
    // Largest first, then the nearest of the rest.
    std::size_t best = 0;
    if (!plan.passes.empty()) {
      double gap = 1e300;
      for (std::size_t i = 0; i < open.size(); ++i) {
        const Box2 b = box(open[i]);
        const Vec2 near{std::clamp(place.x, b.min.x, b.max.x), std::clamp(place.y, b.min.y, b.max.y)};
        if (norm(near - place) < gap - 1e-9) {
          gap = norm(near - place);
          best = i;
        }
      }
    }
    const Region metal = std::move(open[best]);
    open.erase(open.begin() + static_cast<std::ptrdiff_t>(best));
    if (area(metal) < kLeastPiece_mm2) continue;
    const bool openSide = area(subtract(metal, inside)) > kLeastPiece_mm2;
    std::vector<Pass> passes;
    if (!task.keepOut.empty()) passes = fromTheWall(task, metal);
    // Metal that no wall stands in, the top of a low island beside a high one, is open all round.
    if (openSide || passes.empty()) {
      std::vector<Pass> edge = fromTheEdge(task, metal);
      const std::vector<Pass> last = lastRing(task, metal, edge);
      if (passes.empty() || weight(task, edge) + weight(task, last) < weight(task, passes)) {
        passes = inOrder(std::move(edge), task, metal);
        passes.insert(passes.end(), last.begin(), last.end());
      } else {
        passes = inOrder(std::move(passes), task, metal);
      }
    } else {
      passes = inOrder(std::move(passes), task, metal);
    }
    for (Pass& pass : passes) {
      place = pass.closed ? pass.points.front().xy() : pass.points.back().xy();
      plan.passes.push_back(std::move(pass));
    }
  }
  for (const Pass& pass : plan.passes)
    if (!pass.fullWidth || pass.closed) plan.length_mm += planLength(pass);
  return plan;
}

}  // namespace chipledger::path
