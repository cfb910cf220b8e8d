#include <chipledger/path/walk.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace chipledger::path {
namespace {

constexpr double kThinningCap = 2.5;     // engine notes 4: the correction is not trusted beyond
constexpr double kMergeShare = 0.06;     // engine notes 4: feeds this near are one feed
constexpr double kLeastAir_mm = 1.0;     // two windows of the field: shorter gaps stay at the cutting feed
constexpr double kBeforeMetal_mm = 0.5;  // common practice, no source
constexpr double kNoWay_mm = 1e-9;
constexpr double kTouch_mm = 0.2;     // over metal whose height is known from the cut before
constexpr double kLeastRun_mm = 0.5;  // the field's window: shorter feed changes are noise
constexpr double kBeside_mm = 0.1;    // a place beside a pass keeps this much off its metal
constexpr double kProbeShare = 0.90;  // a probe this much smaller ignores slivers a pass may graze

std::vector<Segment> fitted(const Pass& pass, double tolerance) {
  std::vector<Vec3> points = pass.points;
  if (pass.closed) points.push_back(points.front());
  return fitCurve(points, tolerance);
}

Segment reversed(const Segment& s) {
  Segment r = s;
  std::swap(r.start, r.end);
  if (s.shape == Segment::Shape::ArcCcw) r.shape = Segment::Shape::ArcCw;
  if (s.shape == Segment::Shape::ArcCw) r.shape = Segment::Shape::ArcCcw;
  return r;
}

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
  radius_mm_ = 0.5 * toMm(cutter.diameter);
  style_ = style;
  std::int32_t highest = field::kNoMetal;
  for (std::int32_t h : removal_.heights().cells) highest = std::max(highest, h);
  safe_mm_ = std::max(style.top_mm, highest > field::kNoMetal ? highest / 1000.0 : style.top_mm) + style.clearance_mm;
  down_ = false;
  back_.clear();
  keepOut_ = {};
  gouge_mm_ = 0.0;
  removal_.lift();
}

void Walk::keepOutOf(const Region& region, double slack_mm) { keepOut_ = offset(region, -slack_mm); }

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
      if (last.length < kLeastRun_mm || piece.length < kLeastRun_mm || std::abs(f.base / mean - 1.0) <= kMergeShare) {
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

bool Walk::legal(Vec2 a, Vec2 b) const {
  const Vec2 d = b - a;
  for (const Ring& ring : keepOut_.rings) {
    for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
      const Vec2 p = ring[j], e = ring[i] - p;
      const double den = cross(d, e);
      if (den == 0.0) continue;
      const double t = cross(p - a, e) / den, u = cross(p - a, d) / den;
      if (t >= 0 && t <= 1 && u >= 0 && u <= 1) return false;
    }
  }
  return true;
}

bool Walk::open(Vec2 p) const { return keepOut_.empty() || !contains(keepOut_, p); }

double Walk::room(Vec2 p) const {
  if (keepOut_.empty()) return radius_mm_;
  return std::max(0.0, -wallDistance(keepOut_, p));
}

void Walk::up() {
  if (down_) rapid({here_.x, here_.y, safe_mm_});
  down_ = false;
  back_.clear();
}

void Walk::over(Vec2 place) {
  up();
  rapid({place.x, place.y, safe_mm_});
}

Angle Walk::rampAngle() const {
  constexpr Angle kShallow = degrees(2.0);  // common practice, no source
  return operation_.conditions.rampAngle.rad > 0 ? operation_.conditions.rampAngle : kShallow;
}

Speed Walk::entryFeed() const {
  return operation_.conditions.enterFeed.base > 0 ? operation_.conditions.enterFeed : operation_.conditions.feed;
}

Speed Walk::slotFeed() const {
  const cutting::Conditions& c = operation_.conditions;
  return style_.slotStepFeed.base > 0 ? style_.slotStepFeed : c.slotFeed.base > 0 ? c.slotFeed : c.feed;
}

Speed Walk::fallingFeed(double slope) const {
  const Speed slot = slotFeed(), enter = std::min(entryFeed(), slot);
  return slot + (enter - slot) * std::clamp(slope / std::tan(rampAngle().rad), 0.0, 1.0);
}

// Down at the start of a pass: plunge in free room, helix where there is room, else a ramp along the pass.
void Walk::enter(const Pass& pass) {
  const Vec3 start = pass.points.front();
  const double top = std::max(style_.top_mm, start.z);
  const Speed slow = entryFeed();
  const double metal = removal_.touch(line(start, start), profile_) / 1000.0;
  // Slivers that the pass will graze are no reason for a helix, but no rapid may meet them either.
  const bool slivers = metal > 0 && removal_.touch(line(start, start), probe_) == 0;
  const Angle ramp = rampAngle();
  // A fall of less than the chips of a floor pass is a plain plunge; so is the way down in free room.
  constexpr double kPlungeDepth_mm = 0.02;
  const auto plunge = [&] {
    over(start.xy());
    rapid({start.x, start.y, start.z + metal + style_.entryClearance_mm});
    feed(start, slow, MoveKind::Enter);
    down_ = true;
  };
  // The last bit down to the metal is done at feed, from higher where it stands higher than it should.
  const auto comeDown = [&](Vec3 to) {
    const double in = removal_.touch(line(to, to), profile_) / 1000.0;
    over(to.xy());
    rapid({to.x, to.y, to.z + in + std::min(style_.entryClearance_mm, kTouch_mm)});
    feed(to, slow, MoveKind::Enter);
  };
  if (metal == 0 || top - start.z <= kPlungeDepth_mm) {
    plunge();
    return;
  }
  const double diameter = 2.0 * radius_mm_;
  if (!pass.fullWidth) {
    // Down beside the start where the neighbouring ring has been cut, then in from the side. The free side is the left.
    const Vec2 onward = (pass.points[1] - start).xy();
    const double l = norm(onward);
    const Vec2 ahead = l > 0 ? onward * (1.0 / l) : Vec2{1, 0};
    for (double r : {1.1 * style_.step_mm + kBeside_mm, radius_mm_, diameter + kBeside_mm}) {
      for (double turn : {0.5, 0.75, 0.25, 1.0}) {
        const double a = turn * std::numbers::pi;
        const Vec2 place = start.xy() + (ahead * std::cos(a) + perp(ahead) * std::sin(a)) * r;
        if (!open(place) || !legal(place, start.xy())) continue;
        const Vec3 at{place.x, place.y, start.z};
        if (removal_.touch(line(at, at), profile_) != 0) continue;
        over(place);
        rapid({at.x, at.y, at.z + style_.entryClearance_mm});
        feed(at, slow, MoveKind::Enter);
        cut(line(at, start), MoveKind::Enter, operation_.conditions.feed, style_.engaged);
        down_ = true;
        return;
      }
    }
  }
  if (slivers) {
    plunge();
    return;
  }
  // Round a ring that is hardly wider than a point a ramp would turn on the spot some thousand times.
  const bool point = planLength(pass) < 2.0 * std::numbers::pi * kLeastHelixShare * diameter;
  if (!(pass.fullWidth && pass.closed) || point) {
    // The helix touches the start of the pass and lies on its left, away from the wall.
    const Vec2 onward = (pass.points[1] - start).xy();
    const double l = norm(onward);
    const Vec2 left = l > 0 ? perp(onward) * (1.0 / l) : Vec2{1, 0};
    for (double r = kHelixShare * diameter; r >= kLeastHelixShare * diameter; r *= 0.7) {
      const Vec2 centre = start.xy() + left * r;
      if (room(centre) + 1e-6 < r) continue;
      const std::vector<Segment> helix =
          helixEntry(centre, r, top, start.z, ramp, std::atan2(start.y - centre.y, start.x - centre.x));
      comeDown(helix.front().start);
      along(helix, MoveKind::Enter, slow);
      down_ = true;
      return;
    }
  }
  // Round a full-width pass in slot steps: that is cutting, not entering.
  const bool spiral = pass.fullWidth && pass.closed;
  const std::vector<Segment> way = rampEntry(pass, top, ramp, spiral ? style_.slotStep_mm : 0.0);
  if (way.empty()) {
    comeDown({start.x, start.y, top});
    feed(start, slow, MoveKind::Enter);
  } else {
    comeDown(way.front().start);
    const double slope = (way.front().start.z - way.front().end.z) / norm((way.front().end - way.front().start).xy());
    if (spiral)
      cut(way, MoveKind::Cut, fallingFeed(slope), false);
    else
      along(way, MoveKind::Enter, slow);
  }
  down_ = true;
}

void Walk::to(const Pass& pass) {
  const Vec3 start = pass.points.front();
  if (!down_ || std::abs(here_.z - start.z) > 1e-6) {
    enter(pass);
    return;
  }
  LinkQuestion q;
  q.gap_mm = norm((start - here_).xy());
  q.step_mm = style_.step_mm;
  if (q.gap_mm <= 1e-6) return;
  q.straightLegal = legal(here_.xy(), start.xy());
  const bool near = q.gap_mm <= 3.0 * q.step_mm + 0.2;
  const Segment straight = line(here_, start);
  if (q.straightLegal && !near) q.straightFree = removal_.touch(straight, probe_) == 0;
  if (!back_.empty()) {
    const Vec3 first = back_.front().start;
    const double rest = norm((start - first).xy());
    if (rest <= 3.0 * q.step_mm + 0.2 && legal(first.xy(), start.xy())) q.back_mm = pathLength(back_) + rest;
  }
  switch (chooseLink(q)) {
    case LinkWay::Step:
      cut(straight, MoveKind::Link, operation_.conditions.feed, style_.engaged);
      break;
    case LinkWay::Straight:
      cut(straight, MoveKind::Link, kLinkFeed, false);
      break;
    case LinkWay::Back: {
      std::vector<Segment> back;
      for (std::size_t i = back_.size(); i-- > 0;) back.push_back(reversed(back_[i]));
      cut(back, MoveKind::Link, kLinkFeed, false);
      cut(line(here_, start), MoveKind::Link, operation_.conditions.feed, style_.engaged);
      break;
    }
    case LinkWay::Over:
      enter(pass);
      break;
  }
}

// A full-width pass with open ends goes down in slot steps, to and fro; each layer begins where the last one ended.
void Walk::fullWidthOpen(const Pass& pass) {
  const double bottom = pass.points.front().z, top = std::max(style_.top_mm, bottom), depth = top - bottom;
  const int count = std::max(1, static_cast<int>(std::ceil(depth / std::max(style_.slotStep_mm, 0.01) - 1e-9)));
  Pass step = pass;
  for (int i = 1; i <= count; ++i) {
    const double above = top - depth * (i - 1) / count, z = i == count ? bottom : top - depth * i / count;
    for (Vec3& p : step.points) p.z = z;
    if (i == 1) {
      if (down_) over(step.points.front().xy());
      enter(step);
    } else {
      along(rampEntry(step, above, rampAngle(), 0.0), MoveKind::Enter, entryFeed());
    }
    cut(fitted(step, style_.fitTolerance_mm), MoveKind::Cut, slotFeed(), false);
    std::reverse(step.points.begin(), step.points.end());
  }
  back_.clear();
  down_ = true;
}

void Walk::follow(const Pass& given) {
  if (given.points.size() < 2) return;
  const Pass pass = down_ ? begunNear(given, here_.xy()) : given;
  if (pass.fullWidth && !pass.closed) {
    fullWidthOpen(pass);
    return;
  }
  if (pass.fullWidth) {
    if (down_) over(pass.points.front().xy());
    enter(pass);
  } else {
    to(pass);
  }
  const std::vector<Segment> way = fitted(pass, style_.fitTolerance_mm);
  cut(way, MoveKind::Cut, operation_.conditions.feed, style_.engaged);
  if (pass.closed)
    back_.clear();
  else
    back_ = way;
}

void Walk::follow(const std::vector<Pass>& passes) {
  for (const Pass& pass : passes) follow(pass);
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
