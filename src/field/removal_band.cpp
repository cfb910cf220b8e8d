#include "field/removal_band.hpp"

#include <algorithm>
#include <cmath>

#include "field/cell_runs.hpp"
#include "field/way_heights.hpp"

namespace chipledger::field {

namespace {
const std::int32_t kGougeTolerance_um = static_cast<std::int32_t>(std::llround(kGougeTolerance_mm * 1000.0));
}  // namespace

Removal::Band::Band(Removal& owner, const Profile& profile, int firstRow, std::size_t stepCount)
    : steps(stepCount),
      suspects(owner.suspects_),
      checked(owner.checked_),
      owner_(owner),
      grid_(owner.near_.spec),
      profile_(profile),
      firstRow_(firstRow),
      lastRow_(std::min(firstRow + kRows, owner.near_.spec.ny) - 1),
      byDetail_(owner.details_, 0) {}

void Removal::Band::run(const std::vector<Sweep>& sweeps) {
  int segment = -1;
  for (const Sweep& sweep : sweeps) {
    if (sweep.segment != segment) flush(segment);
    segment = sweep.segment;
    if (sweep.level)
      level(sweep);
    else
      shaped(sweep);
  }
  flush(segment);
}

void Removal::Band::bookTo(std::size_t place, std::int64_t taken) {
  if (byDetail_[place] == 0) touched_.push_back(place);
  byDetail_[place] += taken;
}

void Removal::Band::flush(int segment) {
  for (std::size_t place : touched_) {
    booked.push_back({segment, place, byDetail_[place]});
    byDetail_[place] = 0;
  }
  touched_.clear();
}

void Removal::Band::measure(Disc& disc, Vec2 centre) const {
  const double radius = profile_.radius_mm - kTouch_mm, r2 = radius * radius, h = grid_.cell();
  const double y0 = grid_.y0_mm + (firstRow_ + 0.5) * h - centre.y;
  for (int k = 0; k < kRows; ++k) {
    const double dy = y0 + k * h, w2 = r2 - dy * dy;
    disc.half[static_cast<std::size_t>(k)] = w2 < 0 ? -1.0 : std::sqrt(std::max(w2, 0.0));
  }
  disc.centre = centre;
  disc.known = true;
}

void Removal::Band::level(const Sweep& sweep) {
  const Vec2 from = sweep.from.xy(), to = sweep.to.xy();
  const double radius = profile_.radius_mm - kTouch_mm;
  const double low = std::min(from.y, to.y) - radius, high = std::max(from.y, to.y) + radius;
  const Span over = rows(grid_, low, high);
  const int first = std::max(over.first, firstRow_), last = std::min(over.last, lastRow_);
  if (first > last) {
    if (suspects) check(sweep);
    last_.known = false;
    return;
  }
  if (!last_.known || !(last_.centre == from)) measure(last_, from);
  const bool moves = !(from == to);
  if (moves) measure(next_, to);
  const Vec2 along = to - from;
  const double run = norm(along);
  const bool slanted = std::abs(along.y) > 1e-12;
  const Vec2 side = run > 0 ? perp(along) * (radius / run) : Vec2{};
  const double lean = slanted ? along.x / along.y : 0.0;
  for (int j = first; j <= last; ++j) {
    const auto k = static_cast<std::size_t>(j - firstRow_);
    const double was = last_.half[k];
    double left = 1e300, right = -1e300;
    if (was >= 0) {
      left = from.x - was;
      right = from.x + was;
    }
    if (moves && next_.half[k] >= 0) {
      left = std::min(left, to.x - next_.half[k]);
      right = std::max(right, to.x + next_.half[k]);
    }
    if (slanted) {
      const double y = rowY(j);
      for (const Vec2 edge : {from + side, from - side}) {
        const double end = edge.y + along.y;
        if ((y < edge.y) == (y < end)) continue;
        const double x = edge.x + (y - edge.y) * lean;
        left = std::min(left, x);
        right = std::max(right, x);
      }
    }
    if (left > right) continue;
    const Span now = columns(grid_, left, right);
    if (now.empty()) continue;
    const Span old = !sweep.fresh && was >= 0 ? columns(grid_, from.x - was, from.x + was) : Span{};
    if (old.empty()) {
      take(j, now.first, now.last, sweep);
    } else {
      take(j, now.first, old.first - 1, sweep);
      take(j, old.last + 1, now.last, sweep);
    }
  }
  if (moves) std::swap(last_, next_);
  if (suspects)
    check(sweep);
  else
    checked = false;
}

void Removal::Band::take(int row, int first, int last, const Sweep& sweep) {
  const std::int32_t* near = owner_.near_.cells.data() + grid_.at(0, row);
  constexpr int kShort = 12;  // not worth a call
  if (last - first < kShort) {
    for (; first <= last && near[first] <= sweep.height; ++first) {
    }
    for (; first <= last && near[last] <= sweep.height; --last) {
    }
    if (first <= last) takeBlock(row, first, last - first + 1, sweep);
    return;
  }
  for (int i = first; i <= last; i += kMostRun) {
    const int count = std::min(kMostRun, last - i + 1);
    if (anyAbove(near + i, count, sweep.height)) takeBlock(row, i, count, sweep);
  }
}

// What of the metal just taken from a cell was void; the cell's top falls on to the metal below.
std::int32_t Removal::voidsTaken(std::size_t cell, std::int32_t from, std::int32_t height) {
  if (firstGap_[cell] < 0) return 0;
  const std::int32_t to = std::max(height, far_.cells[cell]);
  std::int32_t empty = 0;
  for (auto g = static_cast<std::size_t>(firstGap_[cell]); g < gaps_.size() && gaps_[g].cell == cell; ++g) {
    empty += std::max(0, std::min(gaps_[g].top, from) - std::max(gaps_[g].bottom, to));
    std::int32_t& top = near_.cells[cell];
    if (top != kNoMetal && top <= gaps_[g].top && top > gaps_[g].bottom) top = gaps_[g].bottom;
  }
  return empty;
}

void Removal::Band::takeBlock(int row, int first, int count, const Sweep& sweep) {
  const std::size_t base = grid_.at(first, row);
  std::array<std::int32_t, kMostRun> taken;
  RunTaken run = lower(owner_.near_.cells.data() + base, owner_.far_.cells.data() + base,
                       owner_.aim_.target.cells.data() + base, count, sweep.height, kGougeTolerance_um, taken.data());
  if (run.tooDeep) suspects = true;
  if (!owner_.firstGap_.empty()) {
    for (int i = 0; i < count; ++i) {
      std::int32_t& lost = taken[static_cast<std::size_t>(i)];
      if (lost == 0) continue;
      const std::size_t cell = base + static_cast<std::size_t>(i);
      const std::int32_t empty =
          owner_.voidsTaken(cell, lost + std::max(sweep.height, owner_.far_.cells[cell]), sweep.height);
      if (empty == 0) continue;
      run.cells -= lost > 1 && lost - empty <= 1 ? 1 : 0;
      run.sum -= empty;
      lost -= empty;
    }
  }
  const std::int32_t* detail = owner_.aim_.detail.cells.data() + base;
  // Runs of one detail: most blocks are one.
  for (int i = 0; i < count;) {
    const std::int32_t mine = detail[i];
    std::int64_t sum = 0;
    int end = i;
    for (; end < count && detail[end] == mine; ++end) sum += taken[static_cast<std::size_t>(end)];
    if (sum != 0) bookTo(static_cast<std::size_t>(mine + 1), sum);
    i = end;
  }
  if (sweep.steps == 1) {
    Step& step = steps[static_cast<std::size_t>(sweep.firstStep)];
    step.removed += run.sum;
    step.cells += run.cells;
    return;
  }
  // The disc first covers a cell when its front passes it: at a distance s along the way.
  const Vec2 way = sweep.to.xy() - sweep.from.xy();
  const double length = norm(way), radius = profile_.radius_mm - kTouch_mm;
  const Vec2 u = way * (1.0 / length);
  const Vec2 c = grid_.centre(first, row) - sweep.from.xy();
  const double h = grid_.cell(), perStep = sweep.steps / length, r2 = radius * radius;
  const double a0 = dot(c, u), b0 = cross(u, c), ah = h * u.x, bh = -h * u.y;
  std::array<std::int32_t, kMostRun> place;
  for (int i = 0; i < count; ++i) {
    const double a = a0 + i * ah, b = b0 + i * bh;
    const double s = a - std::sqrt(std::max(0.0, r2 - b * b));
    place[static_cast<std::size_t>(i)] = static_cast<std::int32_t>(std::max(0.0, s) * perStep);
  }
  for (int i = 0; i < count; ++i) {
    const std::int32_t lost = taken[static_cast<std::size_t>(i)];
    if (lost == 0) continue;
    Step& step = steps[static_cast<std::size_t>(sweep.firstStep +
                                                std::min(place[static_cast<std::size_t>(i)], sweep.steps - 1))];
    step.removed += lost;
    step.cells += lost > 1 ? 1 : 0;
  }
}

void Removal::Band::takeOne(int row, int column, std::int32_t height, Step& step) {
  const std::size_t cell = grid_.at(column, row);
  std::int32_t taken = 0;
  RunTaken run = lower(&owner_.near_.cells[cell], &owner_.far_.cells[cell], &owner_.aim_.target.cells[cell], 1, height,
                       kGougeTolerance_um, &taken);
  if (run.tooDeep) suspects = true;
  if (taken != 0 && !owner_.firstGap_.empty()) {
    const std::int32_t empty = owner_.voidsTaken(cell, taken + std::max(height, owner_.far_.cells[cell]), height);
    run.cells -= taken > 1 && taken - empty <= 1 ? 1 : 0;
    run.sum -= empty;
    taken -= empty;
  }
  if (taken != 0) bookTo(static_cast<std::size_t>(owner_.aim_.detail.cells[cell] + 1), taken);
  step.removed += run.sum;
  step.cells += run.cells;
}

void Removal::Band::checkSpan(int row, int first, int last, std::int32_t height, Step& step) {
  if (first > last) return;
  const std::size_t base = grid_.at(0, row);
  const std::int32_t* target = owner_.aim_.target.cells.data() + base;
  if (!anyAbove(target + first, last - first + 1, height + kGougeTolerance_um)) return;
  for (int i = first; i <= last; ++i) {
    if (target[i] <= height + kGougeTolerance_um) continue;
    const std::size_t cell = base + static_cast<std::size_t>(i);
    const std::int32_t far = owner_.far_.cells[cell];
    const std::int32_t depth = target[i] - std::max(height, far == kNoBottom ? height : far);
    if (depth <= kGougeTolerance_um) continue;
    gouged.push_back(cell);
    step.gouge_um = std::max(step.gouge_um, depth);
  }
}

void Removal::Band::check(const Sweep& sweep) {
  const double inner = profile_.radius_mm - kTouch_mm - kGougeTolerance_mm;
  if (inner <= 0) return;
  const bool known = checked && !sweep.fresh;
  // Step by step, so that a gouge is told where it happens.
  for (int k = 0; k < sweep.steps; ++k) {
    const auto place = [&](int at) {
      return sweep.from.xy() + (sweep.to - sweep.from).xy() * (static_cast<double>(at) / sweep.steps);
    };
    const Vec2 from = place(k), to = place(k + 1);
    const SweptDisc core(from, to, inner), before(from, from, inner);
    const Span over = rows(grid_, core.low(), core.high());
    Step& step = steps[static_cast<std::size_t>(sweep.firstStep + k)];
    double left, right;
    for (int j = std::max(over.first, firstRow_); j <= std::min(over.last, lastRow_); ++j) {
      if (!core.at(rowY(j), left, right)) continue;
      const Span now = columns(grid_, left, right);
      if (now.empty()) continue;
      const bool again = k > 0 || known;
      const Span old = again && before.at(rowY(j), left, right) ? columns(grid_, left, right) : Span{};
      if (old.empty()) {
        checkSpan(j, now.first, now.last, sweep.height, step);
      } else {
        checkSpan(j, now.first, old.first - 1, sweep.height, step);
        checkSpan(j, old.last + 1, now.last, sweep.height, step);
      }
    }
  }
  checked = true;
}

void Removal::Band::shaped(const Sweep& sweep) {
  last_.known = false;
  const Vec3 from = sweep.from, to = sweep.to;
  const double radius = profile_.radius_mm - kTouch_mm;
  const SweptDisc swept(from.xy(), to.xy(), radius);
  const Piece piece(from, to);
  Step& step = steps[static_cast<std::size_t>(sweep.firstStep)];
  const std::int32_t tip = static_cast<std::int32_t>(std::floor(std::min(from.z, to.z) * 1000.0)) - 1;
  const double toBin = kUndersideBins / (profile_.radius_mm * profile_.radius_mm);
  const auto lowestUnder = [&](double d2) {
    return owner_.lowest_um_[static_cast<std::size_t>(std::min(kUndersideBins, static_cast<int>(d2 * toBin)))];
  };
  constexpr int kTogether = 8;
  const Span over = rows(grid_, swept.low(), swept.high());
  const int first = std::max(over.first, firstRow_), last = std::min(over.last, lastRow_);
  double left, right;
  for (int j = first; j <= last; ++j) {
    if (!swept.at(rowY(j), left, right)) continue;
    const Span now = columns(grid_, left, right);
    if (now.empty()) continue;
    const std::int32_t* near = owner_.near_.cells.data() + grid_.at(0, j);
    if (!anyAbove(near + now.first, now.last - now.first + 1, tip)) continue;
    // Some cells at a time: none is cut where all lie below the underside at the nearest any of them can be.
    for (int begin = now.first; begin <= now.last; begin += kTogether) {
      const int end = std::min(now.last, begin + kTogether - 1);
      std::int32_t highest = near[begin];
      for (int i = begin + 1; i <= end; ++i) highest = std::max(highest, near[i]);
      if (highest <= tip) continue;
      const double half = 0.5 * (end - begin) * grid_.cell();
      double d2;
      piece.closest(grid_.centre(begin, j) + Vec2{half, 0.0}, d2);
      const double nearest = std::max(0.0, std::sqrt(d2) - half);
      if (nearest > radius || highest <= tip + lowestUnder(nearest * nearest)) continue;
      for (int i = begin; i <= end; ++i) {
        if (near[i] <= tip) continue;
        const double z = piece.closest(grid_.centre(i, j), d2);
        if (near[i] <= tip + lowestUnder(d2)) continue;
        const double distance = std::sqrt(d2);
        if (distance > radius) continue;
        const std::int32_t height = nearestUm(z + profile_.heightAt(distance));
        if (near[i] > height) takeOne(j, i, height, step);
      }
    }
  }
  if (!suspects) return;
  const SweptDisc core(from.xy(), to.xy(), std::max(0.0, radius - kGougeTolerance_mm));
  for (int j = first; j <= last; ++j) {
    if (!core.at(rowY(j), left, right)) continue;
    const Span now = columns(grid_, left, right);
    if (now.empty()) continue;
    const std::int32_t* target = owner_.aim_.target.cells.data() + grid_.at(0, j);
    if (!anyAbove(target + now.first, now.last - now.first + 1, tip + kGougeTolerance_um)) continue;
    for (int i = now.first; i <= now.last; ++i) {
      if (target[i] <= tip + kGougeTolerance_um) continue;
      double d2;
      const double z = piece.closest(grid_.centre(i, j), d2);
      const double distance = std::sqrt(d2) + kGougeTolerance_mm;
      if (distance > radius) continue;
      checkSpan(j, i, i, nearestUm(z + profile_.heightAt(distance)), step);
    }
  }
}

}  // namespace chipledger::field
