// The sweeps behind Removal: a level disc (only what it did not cover before), and any other underside.
#include "field/disc_rows.hpp"
#include "field/removal_step.hpp"

#include <algorithm>
#include <cmath>

namespace chipledger::field {

namespace {
constexpr std::int32_t kCrumb_um = 1;  // rounding of heights: not counted as width of cut
constexpr int kBins = 512;             // of squared distance, for a quick lower bound of the underside

const std::int32_t kGougeTolerance_um = static_cast<std::int32_t>(std::llround(kGougeTolerance_mm * 1000.0));

// To the nearest um without a library call; heights lie within +-1 m.
std::int32_t nearestUm(double mm) {
  constexpr double kBias = 1048576.0;
  return static_cast<std::int32_t>(mm * 1000.0 + (kBias + 0.5)) - static_cast<std::int32_t>(kBias);
}

bool anyAbove(const std::int32_t* cells, int count, std::int32_t limit) {
  int above = 0;
  for (int i = 0; i < count; ++i) above |= cells[i] > limit ? 1 : 0;
  return above != 0;
}

// Closest point of the piece to a cell centre.
struct Piece {
  Vec3 from;
  Vec2 along;
  double rise, perLength2;
  Piece(Vec3 a, Vec3 b) : from(a), along(b.xy() - a.xy()), rise(b.z - a.z) {
    const double l2 = dot(along, along);
    perLength2 = l2 > 0 ? 1.0 / l2 : 0.0;
  }
  double closest(Vec2 p, double& distance2) const {
    const Vec2 d = p - from.xy();
    const double t = std::clamp(dot(d, along) * perLength2, 0.0, 1.0);
    const Vec2 gap = d - along * t;
    distance2 = dot(gap, gap);
    return from.z + rise * t;
  }
};
}  // namespace

void Removal::cutSpan(int row, int first, int last, std::int32_t height, Step& step) {
  if (first > last) return;
  const std::size_t base = near_.spec.at(0, row);
  std::int32_t* near = near_.cells.data() + base;
  const std::int32_t* far = far_.cells.data() + base;
  const std::int32_t* target = aim_.target.cells.data() + base;
  const std::int32_t* detail = aim_.detail.cells.data() + base;
  std::int64_t sum = 0, cells = 0;
  for (int i = first; i <= last; ++i) {
    if (near[i] <= height) continue;
    const std::int32_t taken = near[i] - std::max(height, far[i]);
    near[i] = height > far[i] ? height : kNoMetal;
    sum += taken;
    cells += taken > kCrumb_um ? 1 : 0;
    byDetail_[static_cast<std::size_t>(detail[i] + 1)] += taken;
    if (target[i] > height + kGougeTolerance_um) suspects_ = true;
  }
  step.removed += sum;
  step.cells += cells;
}

void Removal::checkSpan(int row, int first, int last, std::int32_t height, Step& step) {
  if (first > last) return;
  const std::size_t base = near_.spec.at(0, row);
  const std::int32_t* target = aim_.target.cells.data() + base;
  if (!anyAbove(target + first, last - first + 1, height + kGougeTolerance_um)) return;
  for (int i = first; i <= last; ++i)
    if (target[i] > height + kGougeTolerance_um) markGouge(base + static_cast<std::size_t>(i), height, step);
}

void Removal::markGouge(std::size_t cell, std::int32_t height, Step& step) {
  if (gougeCells_.empty()) gougeCells_.assign(near_.cells.size(), 0);
  const std::int32_t floor = std::max(height, far_.cells[cell] == kNoBottom ? height : far_.cells[cell]);
  const std::int32_t depth = aim_.target.cells[cell] - floor;
  if (depth <= kGougeTolerance_um) return;
  gougeCells_[cell] = 1;
  step.gouge_um = std::max(step.gouge_um, depth);
}

void Removal::sweepLevel(Vec2 from, Vec2 to, std::int32_t height, const Profile& profile, bool fresh, Step& step) {
  const double radius = profile.radius_mm - kTouch_mm;
  const SweptDisc swept(from, to, radius), before(from, from, radius);
  const GridSpec& grid = near_.spec;
  const Span over = rows(grid, swept.low(), swept.high());
  double left, right;
  for (int j = over.first; j <= over.last; ++j) {
    const double y = grid.y0_mm + (j + 0.5) * grid.cell();
    if (!swept.at(y, left, right)) continue;
    const Span now = columns(grid, left, right);
    if (now.empty()) continue;
    const Span old = !fresh && before.at(y, left, right) ? columns(grid, left, right) : Span{};
    if (old.empty()) {
      cutSpan(j, now.first, now.last, height, step);
    } else {
      cutSpan(j, now.first, old.first - 1, height, step);
      cutSpan(j, old.last + 1, now.last, height, step);
    }
  }
  if (!suspects_) {
    checked_ = false;
    return;
  }
  const double inner = radius - kGougeTolerance_mm;
  if (inner <= 0) return;
  const SweptDisc core(from, to, inner), coreBefore(from, from, inner);
  const bool known = checked_ && !fresh;
  for (int j = over.first; j <= over.last; ++j) {
    const double y = grid.y0_mm + (j + 0.5) * grid.cell();
    if (!core.at(y, left, right)) continue;
    const Span now = columns(grid, left, right);
    if (now.empty()) continue;
    const Span old = known && coreBefore.at(y, left, right) ? columns(grid, left, right) : Span{};
    if (old.empty()) {
      checkSpan(j, now.first, now.last, height, step);
    } else {
      checkSpan(j, now.first, old.first - 1, height, step);
      checkSpan(j, old.last + 1, now.last, height, step);
    }
  }
  checked_ = true;
}

void Removal::prepare(const Profile& profile) {
  if (!lowest_um_.empty() && profile == shaped_) return;
  shaped_ = profile;
  lowest_um_.assign(kBins + 1, 0);
  const double r2 = profile.radius_mm * profile.radius_mm;
  for (int b = 0; b <= kBins; ++b) {
    const double height = profile.heightAt(std::min(profile.radius_mm, std::sqrt(r2 * b / kBins)));
    lowest_um_[static_cast<std::size_t>(b)] = static_cast<std::int32_t>(std::floor(height * 1000.0)) - 1;
  }
}

void Removal::sweepShaped(Vec3 from, Vec3 to, const Profile& profile, Step& step) {
  prepare(profile);
  const double radius = profile.radius_mm - kTouch_mm;
  const SweptDisc swept(from.xy(), to.xy(), radius);
  const Piece piece(from, to);
  const GridSpec& grid = near_.spec;
  const std::int32_t tip = static_cast<std::int32_t>(std::floor(std::min(from.z, to.z) * 1000.0)) - 1;
  const double toBin = kBins / (profile.radius_mm * profile.radius_mm);
  const Span over = rows(grid, swept.low(), swept.high());
  double left, right;
  for (int j = over.first; j <= over.last; ++j) {
    const double y = grid.y0_mm + (j + 0.5) * grid.cell();
    if (!swept.at(y, left, right)) continue;
    const Span now = columns(grid, left, right);
    if (now.empty()) continue;
    const std::int32_t* near = near_.cells.data() + grid.at(0, j);
    if (!anyAbove(near + now.first, now.last - now.first + 1, tip)) continue;
    for (int i = now.first; i <= now.last; ++i) {
      if (near[i] <= tip) continue;
      double d2;
      const double z = piece.closest(grid.centre(i, j), d2);
      const int bin = std::min(kBins, static_cast<int>(d2 * toBin));
      if (near[i] <= tip + lowest_um_[static_cast<std::size_t>(bin)]) continue;
      const double distance = std::sqrt(d2);
      if (distance > radius) continue;
      cutSpan(j, i, i, nearestUm(z + profile.heightAt(distance)), step);
    }
  }
  if (!suspects_) return;
  const SweptDisc core(from.xy(), to.xy(), std::max(0.0, radius - kGougeTolerance_mm));
  for (int j = over.first; j <= over.last; ++j) {
    const double y = grid.y0_mm + (j + 0.5) * grid.cell();
    if (!core.at(y, left, right)) continue;
    const Span now = columns(grid, left, right);
    if (now.empty()) continue;
    const std::int32_t* target = aim_.target.cells.data() + grid.at(0, j);
    if (!anyAbove(target + now.first, now.last - now.first + 1, tip + kGougeTolerance_um)) continue;
    for (int i = now.first; i <= now.last; ++i) {
      if (target[i] <= tip + kGougeTolerance_um) continue;
      double d2;
      const double z = piece.closest(grid.centre(i, j), d2);
      const double distance = std::sqrt(d2) + kGougeTolerance_mm;
      if (distance > radius) continue;
      checkSpan(j, i, i, nearestUm(z + profile.heightAt(distance)), step);
    }
  }
}

std::int32_t Removal::touch(const Segment& segment, const Profile& profile) const {
  const GridSpec& grid = near_.spec;
  const double widest = profile.widest() - kTouch_mm;
  const bool level = std::abs(segment.end.z - segment.start.z) < 0.5e-3;
  const bool straight = segment.shape == Segment::Shape::Line;
  const double run =
      straight ? norm(segment.end.xy() - segment.start.xy()) : chipledger::sweep(segment) * radius(segment);
  const double step = level && straight ? std::max(run, grid.cell()) : grid.cell();
  const int n = std::max(1, static_cast<int>(std::ceil(run / step - 1e-9)));
  std::int32_t worst = 0;
  for (int k = 0; k < n; ++k) {
    const Vec3 from = pointAt(segment, static_cast<double>(k) / n),
               to = pointAt(segment, static_cast<double>(k + 1) / n);
    const SweptDisc swept(from.xy(), to.xy(), widest);
    const Piece piece(from, to);
    const std::int32_t tip = static_cast<std::int32_t>(std::floor(std::min(from.z, to.z) * 1000.0));
    const Span over = rows(grid, swept.low(), swept.high());
    double left, right;
    for (int j = over.first; j <= over.last; ++j) {
      if (!swept.at(grid.y0_mm + (j + 0.5) * grid.cell(), left, right)) continue;
      const Span now = columns(grid, left, right);
      if (now.empty()) continue;
      const std::int32_t* near = near_.cells.data() + grid.at(0, j);
      if (!anyAbove(near + now.first, now.last - now.first + 1, tip + worst)) continue;
      for (int i = now.first; i <= now.last; ++i) {
        if (near[i] <= tip + worst) continue;
        double d2;
        const double z = std::min(piece.closest(grid.centre(i, j), d2), piece.perLength2 > 0 ? 1e300 : to.z);
        const double under = profile.heightWithBody(std::sqrt(d2));
        if (under < 1e6) worst = std::max(worst, near[i] - nearestUm(z + under));
      }
    }
  }
  return worst;
}

}  // namespace chipledger::field
