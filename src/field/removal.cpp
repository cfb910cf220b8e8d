#include <chipledger/parallel/parallel.hpp>

#include <algorithm>
#include <cmath>
#include <optional>

#include "field/removal_band.hpp"

namespace chipledger::field {

namespace {
constexpr double kChordSagitta_mm = 0.001;  // arcs are walked by chords this near the true arc
constexpr double kSamePlace_mm = 1e-6;
constexpr std::size_t kRowsPerTask = 64;
constexpr double kCellWork = 0.05;        // a cell passed over, against finding a row's span
constexpr double kWorthSharing = 3000.0;  // rows; some 30 microseconds

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

void Removal::forEachRow(const std::function<void(int)>& body) const {
  forEachRange(static_cast<std::size_t>(near_.spec.ny), kRowsPerTask, [&](std::size_t begin, std::size_t end) {
    for (std::size_t j = begin; j < end; ++j) body(static_cast<int>(j));
  });
}

void Removal::load() {
  if (block_ != nullptr) {
    const HeightField& upper = map_.lookingUp ? block_->bottom : block_->top;
    const HeightField& lower = map_.lookingUp ? block_->top : block_->bottom;
    const std::int32_t sign = map_.lookingUp ? -1 : 1;
    forEachRow([&](int j) {
      for (int i = 0; i < near_.spec.nx; ++i) {
        const std::size_t k = map_.plateIndex(i, j), own = near_.spec.at(i, j);
        if (block_->top.cells[k] <= block_->bottom.cells[k]) continue;
        near_.cells[own] = sign * upper.cells[k] + map_.shift_um;
        far_.cells[own] = sign * lower.cells[k] + map_.shift_um;
      }
    });
  }
  if (block_ != nullptr && !block_->gaps.empty() && !map_.lookingUp) {
    gaps_ = block_->gaps;
    firstGap_.assign(near_.cells.size(), -1);
    for (std::size_t g = gaps_.size(); g-- > 0;) firstGap_[gaps_[g].cell] = static_cast<std::int32_t>(g);
  }
  if (aim_.target.cells.size() != near_.cells.size()) aim_.target = HeightField(near_.spec, kNoMetal);
  std::int32_t most = -1;
  for (std::int32_t d : aim_.detail.cells) most = std::max(most, d);
  if (aim_.detail.cells.size() != near_.cells.size()) aim_.detail = Grid<std::int32_t>(near_.spec, -1);
  details_ = static_cast<std::size_t>(most) + 2;
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
  forEachRow([&](int j) {
    for (int i = 0; i < near_.spec.nx; ++i) {
      const std::size_t k = map_.plateIndex(i, j), own = near_.spec.at(i, j);
      if (near_.cells[own] == kNoMetal) {
        block_->top.cells[k] = kNoMetal;
        block_->bottom.cells[k] = kNoBottom;
      } else {
        upper.cells[k] = sign * (near_.cells[own] - map_.shift_um);
      }
    }
  });
}

VolumeCount Removal::volume(std::int64_t umCells) const {
  const std::int64_t cell = near_.spec.cell_um;
  return {umCells * cell * cell};
}

VolumeCount Removal::metalLeft() const {
  std::int64_t sum = 0;
  for (const Gap& gap : gaps_)
    sum -= std::max(0, std::min(gap.top, near_.cells[gap.cell]) - std::max(gap.bottom, far_.cells[gap.cell]));
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

void Removal::prepare(const Profile& profile) {
  if (!lowest_um_.empty() && profile == shaped_) return;
  shaped_ = profile;
  lowest_um_.assign(kUndersideBins + 1, 0);
  const double r2 = profile.radius_mm * profile.radius_mm;
  for (int b = 0; b <= kUndersideBins; ++b) {
    const double height = profile.heightAt(std::min(profile.radius_mm, std::sqrt(r2 * b / kUndersideBins)));
    lowest_um_[static_cast<std::size_t>(b)] = static_cast<std::int32_t>(std::floor(height * 1000.0)) - 1;
  }
}

/// One segment cut into steps: those of a landing (metal under a cutter set down) come before those of the way.
struct Removal::Way {
  Segment segment;
  bool follows{}, level{}, falling{}, landed{};
  int landing{}, first{}, count{};
  double each_mm{};
};

Removal::Way Removal::plan(const Segment& segment, int index, bool follows, const Profile& profile,
                           std::vector<Sweep>& sweeps, int& steps) const {
  Way way;
  way.segment = segment;
  way.follows = follows;
  const double drop = segment.end.z - segment.start.z;
  way.level = std::abs(drop) < 0.5e-3;  // below half a micrometre heights cannot differ
  const bool flat = profile.levelTip();
  const double h = near_.spec.cell();
  double longest = kEngagementWindow_mm;
  if (!way.level) longest = std::max(h, flat ? 0.0 : std::sqrt(8.0 * profile.corner_mm * kChordSagitta_mm));
  const int n = pieces(segment, longest);
  way.count = n;
  way.each_mm = length(segment) / n;
  way.landing = steps++;
  way.first = steps;
  steps += n;
  const auto add = [&](Vec3 from, Vec3 to, double height_mm, bool fresh, int step, int stepCount) {
    sweeps.push_back({from, to, toUm(height_mm), flat, fresh, index, step, stepCount});
  };
  if (way.level) {
    if (!follows) {
      add(segment.start, segment.start, segment.start.z, true, way.landing, 1);
      way.landed = true;
    }
    if (flat && segment.shape == Segment::Shape::Line) {
      add(segment.start, segment.end, segment.start.z, false, way.first, n);
      return way;
    }
    for (int k = 0; k < n; ++k)
      add(pointAt(segment, static_cast<double>(k) / n), pointAt(segment, static_cast<double>(k + 1) / n),
          segment.start.z, false, way.first + k, 1);
    return way;
  }
  // From the lowest end upwards: what lies under the last disc is already lower, so only the crescent of the next
  // disc is new. The metal is the same, booked to the lowest pass over it.
  way.falling = drop < 0;
  way.landed = true;
  const auto place = [&](int k) { return pointAt(segment, static_cast<double>(way.falling ? n - k : k) / n); };
  const Vec3 lowest = place(0);
  add(lowest, lowest, lowest.z, true, way.landing, 1);
  for (int k = 0; k < n; ++k) {
    const Vec3 to = place(k + 1);
    add(place(k), to, to.z, false, way.first + (way.falling ? n - 1 - k : k), 1);
  }
  return way;
}

void Removal::closeWay(const Way& way, std::vector<Step>& all, const Profile& profile, CutResult& result) {
  const Segment& segment = way.segment;
  result.length_mm = length(segment);
  if (!way.follows) lift();
  const Step landing = all[static_cast<std::size_t>(way.landing)];
  const auto step = [&](int k) -> Step& { return all[static_cast<std::size_t>(way.first + k)]; };
  const int n = way.count;
  if (way.level) {
    if (way.landed) step(0).add(landing);
    Vec3 from = segment.start;
    for (int k = 0; k < n; ++k) {
      const Vec3 to = pointAt(segment, static_cast<double>(k + 1) / n);
      close(step(k), way.each_mm, false, (from.xy() + to.xy()) * 0.5, profile, result);
      from = to;
    }
    return;
  }
  const int perStretch = std::max(1, static_cast<int>(std::floor(kEngagementWindow_mm / std::max(way.each_mm, 1e-9))));
  (way.falling ? step(n - 1) : step(0)).add(landing, true);
  for (int k = 0; k < n; k += perStretch) {
    const int end = std::min(n, k + perStretch);
    Step sum;
    for (int m = k; m < end; ++m) sum.add(step(m), true);
    close(sum, way.each_mm * (end - k), way.falling, pointAt(segment, (k + end) * 0.5 / n).xy(), profile, result);
  }
}

CutResult Removal::cut(const Segment& segment, const Profile& profile) {
  return std::move(cut(std::vector<Segment>{segment}, profile).front());
}

std::vector<CutResult> Removal::cut(const std::vector<Segment>& segments, const Profile& profile) {
  std::vector<CutResult> results(segments.size());
  if (segments.empty()) return results;
  if (!profile.levelTip()) prepare(profile);
  std::vector<Way> ways;
  std::vector<Sweep> sweeps;
  int stepCount = 0;
  for (std::size_t s = 0; s < segments.size(); ++s) {
    const bool follows = s > 0
                             ? norm(segments[s].start - segments[s - 1].end) < kSamePlace_mm
                             : continued_ && profile == lastProfile_ && norm(segments[s].start - last_) < kSamePlace_mm;
    ways.push_back(plan(segments[s], static_cast<int>(s), follows, profile, sweeps, stepCount));
  }

  double low = 1e300, high = -1e300;
  for (const Sweep& sweep : sweeps) {
    low = std::min({low, sweep.from.y, sweep.to.y});
    high = std::max({high, sweep.from.y, sweep.to.y});
  }
  const Span over = rows(near_.spec, low - profile.radius_mm, high + profile.radius_mm);
  std::vector<Step> steps(static_cast<std::size_t>(stepCount));
  if (!over.empty()) {
    const int firstBand = over.first / Band::kRows, bandCount = over.last / Band::kRows - firstBand + 1;
    std::vector<std::optional<Band>> bands(static_cast<std::size_t>(bandCount));
    const auto runBand = [&](std::size_t b) {
      bands[b].emplace(*this, profile, (firstBand + static_cast<int>(b)) * Band::kRows, steps.size());
      bands[b]->run(sweeps);
    };
    // A task of its own must be worth some ten microseconds.
    const double h = near_.spec.cell(), rowsOfDisc = 2.0 * profile.radius_mm / h;
    double work = 0.0;
    for (const Sweep& sweep : sweeps) work += rowsOfDisc * (1.0 + kCellWork * norm((sweep.to - sweep.from).xy()) / h);
    if (work < kWorthSharing) {
      for (std::size_t b = 0; b < bands.size(); ++b) runBand(b);
    } else {
      forEachTask(bands.size(), runBand);
    }
    bool suspects = suspects_, checked = true;
    std::vector<std::int64_t> byDetail(segments.size() * details_, 0);
    for (const std::optional<Band>& band : bands) {
      suspects = suspects || band->suspects;
      checked = checked && band->checked;
      for (std::size_t k = 0; k < steps.size(); ++k) steps[k].add(band->steps[k], true);
      for (const Band::Booked& b : band->booked)
        byDetail[static_cast<std::size_t>(b.segment) * details_ + b.place] += b.taken;
      if (!band->gouged.empty() && gougeCells_.empty()) gougeCells_.assign(near_.cells.size(), 0);
      for (std::size_t cell : band->gouged) gougeCells_[cell] = 1;
    }
    suspects_ = suspects;
    checked_ = checked;
    for (std::size_t s = 0; s < segments.size(); ++s) {
      for (std::size_t d = 0; d < details_; ++d) {
        const std::int64_t taken = byDetail[s * details_ + d];
        if (taken == 0) continue;
        results[s].taken.push_back({static_cast<int>(d) - 1, volume(taken)});
        results[s].removed += results[s].taken.back().removed;
        removed_ += taken;
      }
    }
  }
  for (std::size_t s = 0; s < segments.size(); ++s) closeWay(ways[s], steps, profile, results[s]);
  last_ = segments.back().end;
  lastProfile_ = profile;
  continued_ = true;
  return results;
}

}  // namespace chipledger::field
