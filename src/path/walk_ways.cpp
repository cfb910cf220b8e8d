// Ways in, links between passes, and passes followed.
#include <chipledger/path/walk.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace chipledger::path {
namespace {

constexpr double kSamePlace_mm = 1e-4;
constexpr double kBehindMetal_mm = 0.1;
constexpr double kTouch_mm = 0.2;  // over metal whose height is known from the cut before
constexpr double kLeastTrim_mm = 0.5;
constexpr double kAirLook_mm = 0.5;  // a pass is looked at for metal in bits of this
constexpr double kHelixOver = 0.5;   // of the helix radius: a ring this small lies well inside what the helix clears

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

}  // namespace

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

bool Walk::meets(Vec3 a, Vec3 b) const { return removal_.touches(line(a, b), profile_); }

Pass Walk::trimmed(const Pass& pass) const {
  if (!style_.engaged || pass.fullWidth || pass.keepStart) return pass;
  std::vector<Vec3> way = pass.points;
  if (pass.closed) way.push_back(way.front());
  bool cut = false;
  for (int end = 0; end < 2; ++end) {
    // The first bit that meets metal; the pass begins a little before it.
    double air = 0.0;
    bool metal = false;
    for (std::size_t i = 1; i < way.size() && !metal; ++i) {
      const Vec3 d = way[i] - way[i - 1];
      const double l = norm(d);
      const int parts = std::max(1, static_cast<int>(std::ceil(l / kAirLook_mm)));
      for (int k = 0; k < parts && !metal; ++k) {
        metal = meets(way[i - 1] + d * (static_cast<double>(k) / parts), way[i - 1] + d * ((k + 1.0) / parts));
        if (!metal) air += l / parts;
      }
    }
    if (!metal) return {};
    double off = air - (end == 0 ? kBeforeMetal_mm : kBehindMetal_mm);
    if (off >= kLeastTrim_mm) {
      cut = true;
      std::size_t i = 1;
      while (off > norm(way[i] - way[i - 1])) off -= norm(way[i] - way[i - 1]), ++i;
      const Vec3 d = way[i] - way[i - 1];
      way[i - 1] = way[i - 1] + d * (off / norm(d));
      way.erase(way.begin(), way.begin() + static_cast<std::ptrdiff_t>(i - 1));
    }
    std::reverse(way.begin(), way.end());
  }
  if (!cut) return pass;
  Pass out = pass;
  out.closed = false;
  out.points = std::move(way);
  return out;
}

bool Walk::helixOver(const Pass& pass, double top_mm) {
  if (!pass.closed) return false;
  Vec2 middle{};
  for (const Vec3& p : pass.points) middle = middle + p.xy() * (1.0 / static_cast<double>(pass.points.size()));
  double out = 0.0;
  for (const Vec3& p : pass.points) out = std::max(out, norm(p.xy() - middle));
  const double r = std::min(2.0 * kHelixShare * radius_mm_, open(middle) ? room(middle) : 0.0);
  if (kHelixOver * r < out || r < 2.0 * kLeastHelixShare * radius_mm_) return false;
  const Vec3 start = pass.points.front();
  const std::vector<Segment> helix =
      helixEntry(middle, r, top_mm, start.z, rampAngle(), std::atan2(start.y - middle.y, start.x - middle.x));
  comeDown(helix.front().start);
  along(helix, MoveKind::Enter, entryFeed());
  down_ = true;
  return true;
}

// The last bit down to the metal is done at feed, from higher where it stands higher than it should.
void Walk::comeDown(Vec3 to) {
  const double in = removal_.touch(line(to, to), profile_) / 1000.0;
  over(to.xy());
  rapid({to.x, to.y, to.z + in + std::min(style_.entryClearance_mm, kTouch_mm)});
  feed(to, entryFeed(), MoveKind::Enter);
}

// Down at the start of a pass: plunge in free room, helix where there is room, else a ramp along the pass.
void Walk::enter(const Pass& pass) {
  const Vec3 start = pass.points.front();
  const double top = std::max(style_.top_mm, start.z);
  const Speed slow = entryFeed();
  const double metal = removal_.touch(line(start, start), profile_) / 1000.0;
  // Slivers that the pass will graze are no reason for a helix, but no rapid may meet them either.
  const bool slivers = metal > 0 && !removal_.touches(line(start, start), probe_);
  const Angle ramp = rampAngle();
  // A fall of less than the chips of a floor pass is a plain plunge; so is the way down in free room.
  constexpr double kPlungeDepth_mm = 0.02;
  const auto plunge = [&] {
    over(start.xy());
    rapid({start.x, start.y, start.z + metal + style_.entryClearance_mm});
    feed(start, slow, MoveKind::Enter);
    down_ = true;
  };
  if (metal == 0 || top - start.z <= kPlungeDepth_mm) {
    plunge();
    return;
  }
  const double diameter = 2.0 * radius_mm_;
  // A slot with a free place beside its start is cut into from there, at its own feed.
  if (!(pass.fullWidth && pass.closed)) {
    if (const std::optional<Vec2> place = besideStart(pass)) {
      const Vec3 at{place->x, place->y, start.z};
      const double beside = removal_.touch(line(at, at), profile_) / 1000.0;
      over(*place);
      rapid({at.x, at.y, at.z + beside + style_.entryClearance_mm});
      // A graze of the neighbouring cut's rim is a finishing cut, no way into the solid.
      feed(at, beside > 0 ? operation_.conditions.feed : slow, MoveKind::Enter);
      if (pass.fullWidth)
        cut(line(at, start), MoveKind::Enter, slotFeed(), false);
      else
        cut(line(at, start), MoveKind::Enter, operation_.conditions.feed, style_.engaged);
      down_ = true;
      return;
    }
  }
  if (slivers) {
    plunge();
    return;
  }
  if (helixOver(pass, top)) return;
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

LinkQuestion Walk::questionTo(Vec3 start) const {
  LinkQuestion q;
  q.gap_mm = norm((start - here_).xy());
  q.step_mm = style_.step_mm;
  if (q.gap_mm <= kSamePlace_mm) return q;
  q.straightLegal = legal(here_.xy(), start.xy());
  const bool near = q.gap_mm <= 3.0 * q.step_mm + 0.2;
  if (q.straightLegal && !near) q.straightFree = !removal_.touches(line(here_, start), probe_);
  if (!back_.empty()) {
    const Vec3 first = back_.front().start;
    const double rest = norm((start - first).xy());
    if (rest <= 3.0 * q.step_mm + 0.2 && legal(first.xy(), start.xy())) q.back_mm = pathLength(back_) + rest;
  }
  return q;
}

void Walk::to(const Pass& pass) {
  const Vec3 start = pass.points.front();
  if (!down_ || std::abs(here_.z - start.z) > 1e-6) {
    enter(pass);
    return;
  }
  const LinkQuestion q = questionTo(start);
  if (q.gap_mm <= kSamePlace_mm) return;
  const Segment straight = line(here_, start);
  switch (chooseLink(q)) {
    case LinkWay::Step:
      if (!meets(here_, start))
        cut(straight, MoveKind::Link, kLinkFeed, false);
      else
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

void Walk::follow(const Pass& planned) {
  if (planned.points.size() < 2) return;
  Pass given = planned;
  given.fullWidth = isSlot(planned);
  Pass pass = trimmed(begun(given));
  if (pass.points.size() < 2) return;
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
  // A helix may have taken the pass along, or most of it.
  if (norm(here_ - pass.points.front()) > kSamePlace_mm) {
    pass.fullWidth = false;
    pass = trimmed(pass);
    if (pass.points.empty()) return;
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

}  // namespace chipledger::path
