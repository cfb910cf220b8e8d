#include "field/removal_step.hpp"

#include <algorithm>
#include <cmath>

namespace chipledger::field {

namespace {
constexpr double kChordSagitta_mm = 0.001;  // arcs are walked by chords this near the true arc
constexpr double kSamePlace_mm = 1e-6;

std::int32_t toUm(double mm) { return static_cast<std::int32_t>(std::llround(mm * 1000.0)); }

// How many equal pieces a segment is walked in.
int pieces(const Segment& s, double longest) {
  const double run =
      std::max(norm(s.end.xy() - s.start.xy()), sweep(s) * (s.shape == Segment::Shape::Line ? 0.0 : radius(s)));
  double step = longest;
  if (s.shape != Segment::Shape::Line) {
    const double r = std::max(radius(s), kChordSagitta_mm);
    step = std::min(step, 2.0 * r * std::acos(std::max(0.0, 1.0 - kChordSagitta_mm / r)));
  }
  return std::max(1, static_cast<int>(std::ceil(run / step - 1e-9)));
}
}  // namespace

Removal::Removal(StockBlock& stock, const Frame& plateToSetup, Aim aim)
    : block_(&stock), map_(cellMap(stock.top.spec, plateToSetup)), aim_(std::move(aim)) {
  near_ = HeightField(map_.setup, kNoMetal);
  far_ = HeightField(map_.setup, kNoBottom);
  load();
}

Removal::Removal(HeightField& stock, std::int32_t underside_um, Aim aim)
    : single_(&stock),
      map_(cellMap(stock.spec, Frame{})),
      near_(stock),
      far_(stock.spec, underside_um),
      aim_(std::move(aim)) {
  load();
}

Removal::~Removal() { store(); }

void Removal::load() {
  if (block_ != nullptr) {
    const HeightField& upper = map_.lookingUp ? block_->bottom : block_->top;
    const HeightField& lower = map_.lookingUp ? block_->top : block_->bottom;
    const std::int32_t sign = map_.lookingUp ? -1 : 1;
    for (int j = 0; j < near_.spec.ny; ++j) {
      for (int i = 0; i < near_.spec.nx; ++i) {
        const std::size_t k = map_.plateIndex(i, j), own = near_.spec.at(i, j);
        if (block_->top.cells[k] <= block_->bottom.cells[k]) continue;
        near_.cells[own] = sign * upper.cells[k] + map_.shift_um;
        far_.cells[own] = sign * lower.cells[k] + map_.shift_um;
      }
    }
  }
  if (aim_.target.cells.size() != near_.cells.size()) aim_.target = HeightField(near_.spec, kNoMetal);
  std::int32_t most = -1;
  for (std::int32_t d : aim_.detail.cells) most = std::max(most, d);
  if (aim_.detail.cells.size() != near_.cells.size()) aim_.detail = Grid<std::int32_t>(near_.spec, -1);
  byDetail_.assign(static_cast<std::size_t>(most) + 2, 0);
  // Metal missing from the start is no gouge of ours, but what a later cut does there must be looked at.
  const std::int32_t allowed = toUm(kGougeTolerance_mm);
  for (std::size_t k = 0; k < near_.cells.size(); ++k)
    if (aim_.target.cells[k] > near_.cells[k] + allowed) suspects_ = true;
}

void Removal::store() {
  if (single_ != nullptr) *single_ = near_;
  if (block_ == nullptr) return;
  HeightField& upper = map_.lookingUp ? block_->bottom : block_->top;
  const std::int32_t sign = map_.lookingUp ? -1 : 1;
  for (int j = 0; j < near_.spec.ny; ++j) {
    for (int i = 0; i < near_.spec.nx; ++i) {
      const std::size_t k = map_.plateIndex(i, j), own = near_.spec.at(i, j);
      if (near_.cells[own] == kNoMetal) {
        block_->top.cells[k] = kNoMetal;
        block_->bottom.cells[k] = kNoBottom;
      } else {
        upper.cells[k] = sign * (near_.cells[own] - map_.shift_um);
      }
    }
  }
}

VolumeCount Removal::volume(std::int64_t umCells) const {
  const std::int64_t cell = near_.spec.cell_um;
  return {umCells * cell * cell};
}

VolumeCount Removal::metalLeft() const {
  std::int64_t sum = 0;
  for (std::size_t k = 0; k < near_.cells.size(); ++k)
    sum += std::max<std::int64_t>(0, std::int64_t{near_.cells[k]} - far_.cells[k]);
  return volume(sum);
}

VolumeCount Removal::gouged() const {
  std::int64_t sum = 0;
  for (std::size_t k = 0; k < gougeCells_.size(); ++k) {
    if (gougeCells_[k] == 0) continue;
    sum += std::max<std::int64_t>(0, std::int64_t{aim_.target.cells[k]} - std::max(near_.cells[k], far_.cells[k]));
  }
  return volume(sum);
}

void Removal::lift() {
  continued_ = false;
  trail_.clear();
}

void Removal::close(const Step& step, double length_mm, bool falling, Vec2 middle, const Profile& profile,
                    CutResult& result) {
  Stretch stretch;
  stretch.length_mm = length_mm;
  stretch.removed = volume(step.removed);
  if (step.cells > 0) stretch.depth_mm = static_cast<double>(step.removed) / static_cast<double>(step.cells) / 1000.0;
  const int i = near_.spec.column(middle.x), j = near_.spec.row(middle.y);
  if (i >= 0 && j >= 0 && i < near_.spec.nx && j < near_.spec.ny) stretch.detail = aim_.detail(i, j);

  const double diameter = 2 * profile.radius_mm;
  trail_.push_back({length_mm, step.cells, falling});
  double reach = 0;
  for (const Trail& t : trail_) reach += t.length_mm;
  while (trail_.size() > 1 && reach - trail_.front().length_mm >= kEngagementWindow_mm - 1e-9) {
    reach -= trail_.front().length_mm;
    trail_.pop_front();
  }
  if (falling) {
    stretch.width_mm = step.cells > 0 ? diameter : 0.0;
  } else {
    std::int64_t cells = 0;
    double level = 0;
    for (const Trail& t : trail_) {
      if (t.falling) continue;
      cells += t.cells;
      level += t.length_mm;
    }
    const double cell = near_.spec.cell();
    if (level > 0) stretch.width_mm = std::min(diameter, static_cast<double>(cells) * cell * cell / level);
  }
  if (stretch.removed.um3 == 0 || stretch.width_mm < kAirShare * profile.radius_mm) {
    result.air_mm += length_mm;
    stretch.width_mm = 0;
  } else if (stretch.width_mm >= kSlotShare * diameter) {
    result.fullWidth_mm += length_mm;
  }
  result.gouge_mm = std::max(result.gouge_mm, step.gouge_um / 1000.0);
  result.stretches.push_back(stretch);
}

CutResult Removal::cut(const Segment& segment, const Profile& profile) {
  CutResult result;
  result.length_mm = length(segment);
  std::fill(byDetail_.begin(), byDetail_.end(), 0);
  const bool follows = continued_ && profile == lastProfile_ && norm(segment.start - last_) < kSamePlace_mm;
  if (!follows) lift();
  Step landing;
  const double drop = segment.end.z - segment.start.z;
  const bool level = std::abs(drop) < 0.5e-3;  // below half a micrometre heights cannot differ
  const bool flat = profile.levelTip();
  const double h = near_.spec.cell();
  double longest = kEngagementWindow_mm;
  if (!level) longest = std::max(h, flat ? 0.0 : std::sqrt(8.0 * profile.corner_mm * kChordSagitta_mm));
  const int n = pieces(segment, longest);
  const double each = result.length_mm / n;

  if (level) {
    const std::int32_t height = toUm(segment.start.z);
    if (!follows) {
      if (flat)
        sweepLevel(segment.start.xy(), segment.start.xy(), height, profile, true, landing);
      else
        sweepShaped(segment.start, segment.start, profile, landing);
    }
    for (int k = 0; k < n; ++k) {
      const Vec3 from = pointAt(segment, static_cast<double>(k) / n),
                 to = pointAt(segment, static_cast<double>(k + 1) / n);
      Step step;
      if (flat)
        sweepLevel(from.xy(), to.xy(), height, profile, false, step);
      else
        sweepShaped(from, to, profile, step);
      if (k == 0) step.add(landing);
      close(step, each, false, (from.xy() + to.xy()) * 0.5, profile, result);
    }
  } else {
    // From the lowest end upwards: what lies under the last disc is already lower, so only the crescent of the next
    // disc is new. The metal is the same, booked to the lowest pass over it.
    const bool falling = drop < 0;
    const int perStretch = std::max(1, static_cast<int>(std::floor(kEngagementWindow_mm / std::max(each, 1e-9))));
    std::vector<Step> steps(static_cast<std::size_t>(n));
    const auto place = [&](int k) { return pointAt(segment, static_cast<double>(falling ? n - k : k) / n); };
    const Vec3 lowest = place(0);
    if (flat)
      sweepLevel(lowest.xy(), lowest.xy(), toUm(lowest.z), profile, true, landing);
    else
      sweepShaped(lowest, lowest, profile, landing);
    for (int k = 0; k < n; ++k) {
      const Vec3 from = place(k), to = place(k + 1);
      Step& step = steps[static_cast<std::size_t>(falling ? n - 1 - k : k)];
      if (flat)
        sweepLevel(from.xy(), to.xy(), toUm(to.z), profile, false, step);
      else
        sweepShaped(from, to, profile, step);
    }
    (falling ? steps.back() : steps.front()).add(landing, true);
    for (int k = 0; k < n; k += perStretch) {
      const int end = std::min(n, k + perStretch);
      Step sum;
      for (int m = k; m < end; ++m) sum.add(steps[static_cast<std::size_t>(m)], true);
      close(sum, each * (end - k), falling, pointAt(segment, (k + end) * 0.5 / n).xy(), profile, result);
    }
  }

  const std::int64_t cell = near_.spec.cell_um;
  for (std::size_t d = 0; d < byDetail_.size(); ++d) {
    if (byDetail_[d] == 0) continue;
    result.taken.push_back({static_cast<int>(d) - 1, {byDetail_[d] * cell * cell}});
    result.removed += result.taken.back().removed;
    removed_ += byDetail_[d];
  }
  last_ = segment.end;
  lastProfile_ = profile;
  continued_ = true;
  return result;
}

}  // namespace chipledger::field
