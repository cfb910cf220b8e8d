#include <chipledger/path/walk.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace chipledger::path {
namespace {

constexpr double kThinningCap = 2.5;  // engine notes 4: the correction is not trusted beyond
constexpr double kMergeShare = 0.06;  // engine notes 4: feeds this near are one feed
constexpr double kLeastAir_mm = 1.0;  // two windows of the field: shorter gaps stay at the cutting feed
constexpr double kNoWay_mm = 1e-9;
constexpr double kLeastRun_mm = 0.5;      // the field's window: shorter changes are noise
constexpr double kLeastFeedRun_mm = 2.0;  // four windows: the scatter of widths is no change of feed
constexpr double kGraze_mm = 0.02;        // all round: what a finished wall may be off
constexpr double kProbeShare = 0.90;      // a probe this much smaller ignores slivers a pass may graze

// The part of a segment between two fractions of its length.
Segment between(const Segment& s, double a, double b) {
  Segment part = s;
  if (a > 0) part.start = pointAt(s, a);
  if (b < 1) part.end = pointAt(s, b);
  if (s.shape != Segment::Shape::Line) {
    const double turns = sweep(s) * (b - a) / (2.0 * std::numbers::pi);
    part.turns = std::floor(turns + 1e-9);
    // A part that sweeps a whole turn to the last digit must not lose it.
    if (a <= 0 && b >= 1) part.turns = s.turns;
  }
  return part;
}

}  // namespace

field::Profile profileOf(const cutting::Cutter& c) {
  const double d = toMm(c.diameter);
  switch (c.kind) {
    case cutting::CutterKind::Bull:
      return field::bullProfile(d, toMm(c.cornerRadius));
    case cutting::CutterKind::Ball:
      return field::ballProfile(d);
    case cutting::CutterKind::Chamfer:
    case cutting::CutterKind::SpotDrill:
    case cutting::CutterKind::Drill:
      return field::coneProfile(d, c.pointAngle.rad > 0 ? c.pointAngle.rad : degrees(118).rad);
    case cutting::CutterKind::Flat:
    case cutting::CutterKind::Reamer:
    case cutting::CutterKind::Tap:
    case cutting::CutterKind::ThreadMill:
    case cutting::CutterKind::Saw:
      return field::flatProfile(d);
  }
  return field::flatProfile(d);
}

Speed engagedFeed(const cutting::Conditions& c, double radius_mm, double width_mm) {
  const auto angle = [&](double w) { return std::acos(std::clamp(1.0 - w / radius_mm, -1.0, 1.0)); };
  const double right = 0.5 * std::numbers::pi;
  const double least = 1.0 / kThinningCap;
  const double planned = angle(toMm(c.radialStep));
  const double square = planned < right ? c.feed.base * std::max(std::sin(planned), least) : c.feed.base;
  const double phi = angle(width_mm);
  if (phi <= right) return {square / std::max(std::sin(phi), least)};
  const double slot = c.slotFeed.base > 0 ? std::min(c.slotFeed.base, square) : square;
  return {square + (slot - square) * (phi - right) / right};
}

void Walk::begin(Operation operation, const cutting::Cutter& cutter, const Style& style) {
  operation_ = std::move(operation);
  profile_ = profileOf(cutter);
  probe_ = field::flatProfile(toMm(cutter.diameter) * kProbeShare);
  graze_ = field::flatProfile(std::max(0.5 * toMm(cutter.diameter), toMm(cutter.diameter) - 2.0 * kGraze_mm));
  radius_mm_ = 0.5 * toMm(cutter.diameter);
  style_ = style;
  std::int32_t highest = field::kNoMetal;
  for (std::int32_t h : removal_.heights().cells) highest = std::max(highest, h);
  safe_mm_ = std::max(style.top_mm, highest > field::kNoMetal ? highest / 1000.0 : style.top_mm) + style.clearance_mm;
  down_ = false;
  back_.clear();
  keepOut_ = {};
  leadOut_ = {};
  gouge_mm_ = 0.0;
  removal_.lift();
}

void Walk::keepOutOf(const Region& region, double slack_mm) {
  keepOut_ = offset(region, -slack_mm);
  leadOut_ = region;
  slack_mm_ = slack_mm;
}

void Walk::book(const field::CutResult& result) {
  operation_.removed += result.removed;
  for (const field::Taken& t : result.taken) {
    auto at = std::find_if(operation_.shares.begin(), operation_.shares.end(),
                           [&](const Share& s) { return s.detail == t.detail; });
    if (at == operation_.shares.end()) at = operation_.shares.insert(at, Share{t.detail, {}, 0.0});
    at->removed += t.removed;
  }
  for (const field::Stretch& t : result.stretches) {
    auto at = std::find_if(operation_.shares.begin(), operation_.shares.end(),
                           [&](const Share& s) { return s.detail == t.detail; });
    if (at == operation_.shares.end()) at = operation_.shares.insert(at, Share{t.detail, {}, 0.0});
    at->path_mm += t.length_mm;
  }
  gouge_mm_ = std::max(gouge_mm_, result.gouge_mm);
}

void Walk::cut(const Segment& segment, MoveKind kind, Speed speed, bool engaged) {
  cut(std::vector<Segment>{segment}, kind, speed, engaged);
}

void Walk::cut(const std::vector<Segment>& segments, MoveKind kind, Speed speed, bool engaged) {
  if (segments.empty()) return;
  here_ = segments.back().end;
  std::vector<Segment> ways;
  for (const Segment& s : segments)
    if (length(s) > kNoWay_mm) ways.push_back(s);
  const std::vector<field::CutResult> results = removal_.cut(ways, profile_);
  for (std::size_t i = 0; i < ways.size(); ++i) record(ways[i], results[i], kind, speed, engaged);
}

void Walk::record(const Segment& segment, const field::CutResult& result, MoveKind kind, Speed speed, bool engaged) {
  const double whole = length(segment);
  book(result);
  if (kind == MoveKind::Cut) {
    operation_.air += mm(result.air_mm);
    operation_.slotting += mm(result.fullWidth_mm);
  }
  struct Run {
    double length{}, seconds{}, width{};
  };
  std::vector<Run> runs;
  for (const field::Stretch& t : result.stretches) {
    if (t.length_mm <= 0) continue;
    const Speed f = engaged ? engagedFeed(operation_.conditions, radius_mm_, t.width_mm) : speed;
    const Run piece{t.length_mm, t.length_mm / f.base, t.width_mm * t.length_mm};
    if (!runs.empty()) {
      Run& last = runs.back();
      const double mean = last.length / last.seconds;
      const bool airEnds = engaged && (last.width <= 0) != (piece.width <= 0);
      if (last.length < kLeastRun_mm ||
          (!airEnds && (last.length < kLeastFeedRun_mm || std::abs(f.base / mean - 1.0) <= kMergeShare))) {
        last.length += piece.length;
        last.seconds += piece.seconds;
        last.width += piece.width;
        continue;
      }
    }
    runs.push_back(piece);
  }
  if (runs.empty()) runs.push_back({whole, whole / speed.base, 0.0});
  double total = 0.0;
  for (const Run& run : runs) total += run.length;
  double at = 0.0;
  for (std::size_t i = 0; i < runs.size(); ++i) {
    const double a = at / total;
    at += runs[i].length;
    const double b = i + 1 == runs.size() ? 1.0 : at / total;
    // Where a long stretch meets nothing it is run at travel speed, but for its last bit before the metal.
    const double air = runs[i].length - kBeforeMetal_mm;
    if (engaged && kind == MoveKind::Cut && runs[i].width <= 0 && air >= kLeastAir_mm) {
      const double c = a + (b - a) * air / runs[i].length;
      Move travel;
      travel.kind = MoveKind::Link;
      travel.segment = between(segment, a, c);
      travel.feed = kLinkFeed;
      operation_.moves.push_back(travel);
      operation_.air -= mm(air);
      Move last;
      last.kind = kind;
      last.segment = between(segment, c, b);
      last.feed = {runs[i].length / runs[i].seconds};
      operation_.moves.push_back(last);
      continue;
    }
    Move move;
    move.kind = kind;
    move.segment = between(segment, a, b);
    move.feed = {runs[i].length / runs[i].seconds};
    move.width = mm(runs[i].width / runs[i].length);
    operation_.moves.push_back(move);
  }
}

void Walk::rapid(Vec3 to) {
  if (norm(to - here_) <= 1e-9 && !operation_.moves.empty()) return;
  // The way to an operation's first place belongs to the change of cutter, which ends above it.
  if (!operation_.moves.empty())
    operation_.moves.push_back({MoveKind::Rapid, line(here_, to), {}, {}, {}});
  else
    operation_.moves.push_back({MoveKind::Rapid, line({to.x, to.y, safe_mm_}, to), {}, {}, {}});
  here_ = to;
  removal_.lift();
}

void Walk::feed(Vec3 to, Speed speed, MoveKind kind) { cut(line(here_, to), kind, speed, false); }

void Walk::pass(Vec3 to, Speed speed, MoveKind kind) {
  operation_.moves.push_back({kind, line(here_, to), speed, {}, {}});
  here_ = to;
}

void Walk::along(const std::vector<Segment>& segments, MoveKind kind, Speed speed) {
  cut(segments, kind, speed, kind == MoveKind::Cut && style_.engaged);
}

void Walk::dwell(Duration time) {
  if (!operation_.moves.empty()) operation_.moves.back().dwell += time;
}

void Walk::surface(const Pass& pass) {
  if (pass.points.size() < 2) return;
  const Vec3 start = pass.points.front();
  const double metal = removal_.touch(line(start, start), profile_) / 1000.0;
  const Speed slow = entryFeed();
  over(start.xy());
  rapid({start.x, start.y, std::min(safe_mm_, start.z + metal + style_.entryClearance_mm)});
  feed(start, slow, MoveKind::Enter);
  down_ = true;
  cut(fitCurve(pass.points, style_.fitTolerance_mm), MoveKind::Cut, operation_.conditions.feed, false);
  back_.clear();
}

Operation Walk::end() {
  if (!operation_.moves.empty()) rapid({here_.x, here_.y, safe_mm_});
  down_ = false;
  std::sort(operation_.shares.begin(), operation_.shares.end(),
            [](const Share& a, const Share& b) { return a.detail < b.detail; });
  return std::move(operation_);
}

}  // namespace chipledger::path
