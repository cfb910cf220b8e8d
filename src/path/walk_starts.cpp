// Where a pass is begun: a closed one where the tip comes down best, and from which side it is cut into.
#include <chipledger/parallel/parallel.hpp>
#include <chipledger/path/clearance.hpp>
#include <chipledger/path/walk.hpp>
#include <chipledger/path/wall.hpp>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <numbers>

namespace chipledger::path {
namespace {

constexpr double kStartLook_mm = 0.25;  // between places where a closed pass may begin, at least
constexpr double kStartLook = 0.5;      // of the radius: between places where a closed pass may begin
constexpr double kApartIn = 0.5, kNearIn = 3.0, kFarthestIn = 6.0;  // of the radius: from where a way in may come
constexpr int kDirectionsIn = 16;
constexpr double kStripShare = 0.5, kStripSteps = 3.0;  // of the radius, of the radial step: wider metal is a slot
constexpr double kCrumb_um = 1.0;                       // rounding of heights
constexpr double kBeside_mm = 0.1;                      // a place beside a pass keeps this much off its metal

}  // namespace

Walk::Down Walk::downAt(Vec3 place) const {
  // Metal under the axis answers without a look at the rest of the disc.
  const field::GridSpec& g = removal_.grid();
  const int i = g.column(place.x), j = g.row(place.y);
  if (i >= 0 && j >= 0 && i < g.nx && j < g.ny && removal_.heights()(i, j) > std::floor(place.z * 1000.0) + kCrumb_um &&
      norm(g.centre(i, j) - place.xy()) < graze_.radius_mm)
    return Down::Metal;
  if (!removal_.touches(line(place, place), profile_)) return Down::Free;
  return removal_.touches(line(place, place), graze_) ? Down::Metal : Down::Grazes;
}

Pass Walk::withItsLead(Pass pass) const {
  if (!pass.closed || pass.lead_mm <= 0 || pass.keepStart) return pass;
  const double lead = pass.lead_mm;
  return withLead(std::move(pass), leadOut_, lead);
}

// More metal on the way than a strip beside what is cut.
bool Walk::slotAlong(Vec3 a, Vec3 b) const {
  const double strip = std::min(kStripShare * radius_mm_, kStripSteps * style_.step_mm);
  return removal_.touches(line(a, b), field::flatProfile(2.0 * (radius_mm_ - strip)));
}

// Where a pass planned in full metal meets no more than a strip beside what is already cut, it is one of the others.
bool Walk::isSlot(const Pass& pass) const {
  if (!pass.fullWidth || !style_.engaged) return pass.fullWidth;
  const std::size_t n = pass.points.size();
  for (std::size_t i = 0; i + (pass.closed ? 0 : 1) < n; ++i)
    if (slotAlong(pass.points[i], pass.points[(i + 1) % n])) return true;
  return false;
}

// Where no region says what must stay, as for edge breaks, the part itself does.
bool Walk::spares(Vec3 a, Vec3 b) const {
  if (!keepOut_.empty()) return true;
  const int parts = std::max(1, static_cast<int>(std::ceil(norm(b - a) / kClearLook_mm)));
  std::atomic<bool> stands{false};
  forEachTask(static_cast<std::size_t>(parts) + 1, [&](std::size_t k) {
    const Vec3 tip = a + (b - a) * (static_cast<double>(k) / parts);
    if (!stands && standsIn(removal_.target(), profile_, tip, 0.0) > 0) stands = true;
  });
  return !stands;
}

// The free side of a pass is its left.
std::optional<Vec2> Walk::besideStart(const Pass& pass) const {
  const Vec3 start = pass.points.front();
  const Vec2 onward = (pass.points[1] - start).xy();
  const double l = norm(onward);
  const Vec2 ahead = l > 0 ? onward * (1.0 / l) : Vec2{1, 0};
  const auto reaches = [&](Vec2 place) {
    const Vec3 at{place.x, place.y, start.z};
    // The cells answer sooner than the rings of the region.
    return downAt(at) != Down::Metal && open(place) && legal(place, start.xy()) && spares(at, start);
  };
  // The neighbouring ring's cut.
  for (double r : {1.1 * style_.step_mm + kBeside_mm, radius_mm_, 2.0 * radius_mm_ + kBeside_mm}) {
    for (double turn : {0.5, 0.75, 0.25, 1.0}) {
      const double a = turn * std::numbers::pi;
      const Vec2 place = start.xy() + (ahead * std::cos(a) + perp(ahead) * std::sin(a)) * r;
      if (reaches(place)) return place;
    }
  }
  // The middle of a narrow place, where a slot has been cut.
  if (const std::optional<Vec2> place = middleBeside(start.xy(), ahead); place && reaches(*place)) return place;
  // Anywhere round about. Finishing takes little at once: in from farther away costs less than a helix as long as the
  // way is shorter; roughing may meet no more than a strip on the way.
  const double helix =
      (style_.top_mm - start.z) / std::sin(rampAngle().rad) + 2.0 * std::numbers::pi * 2.0 * kHelixShare * radius_mm_;
  const double most = std::min(style_.engaged ? kNearIn * radius_mm_ : kFarthestIn * radius_mm_,
                               helix / entryFeed().base * slotFeed().base);
  for (double r = kApartIn * radius_mm_; r <= most; r += kApartIn * radius_mm_) {
    for (int k = 0; k < kDirectionsIn; ++k) {
      const double a = 2.0 * std::numbers::pi * k / kDirectionsIn;
      const Vec2 place = start.xy() + (ahead * std::cos(a) + perp(ahead) * std::sin(a)) * r;
      if (reaches(place) && !(style_.engaged && slotAlong({place.x, place.y, start.z}, start))) return place;
    }
  }
  return std::nullopt;
}

std::optional<Vec2> Walk::middleBeside(Vec2 start, Vec2 ahead) const {
  if (keepOut_.empty()) return std::nullopt;
  const Vec2 across = perp(ahead) * (2.0 * radius_mm_);
  double most = 1.0;
  for (const Ring& ring : keepOut_.rings) {
    for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
      const Vec2 p = ring[j], e = ring[i] - p;
      const double den = cross(across, e);
      if (den == 0.0) continue;
      const double t = cross(p - start, e) / den, u = cross(p - start, across) / den;
      if (t > 0 && u >= 0 && u <= 1) most = std::min(most, t);
    }
  }
  const double wide = most * 2.0 * radius_mm_ - slack_mm_;
  if (most >= 1.0 || wide <= 0) return std::nullopt;
  return start + perp(ahead) * (0.5 * wide);
}

// Along a closed pass that has to be entered: where its start is free, else where a place beside it is; the nearest.
Pass Walk::begunWhereFree(const Pass& pass) const {
  const Pass near = begunNear(pass, here_.xy());
  const double whole = planLength(near), gap = std::max(kStartLook_mm, kStartLook * radius_mm_);
  const int looks = std::max(1, static_cast<int>(std::ceil(0.5 * whole / gap)));
  struct Look {
    Pass led;
    bool free{}, beside{};
  };
  std::optional<Pass> beside;
  // To and fro from the nearest place: 0, 1, -1, 2, -2, ... As many at once as there are threads.
  const int together = threads(), count = 2 * looks + 1;
  for (int first = 0; first < count; first += together) {
    std::vector<Look> seen(static_cast<std::size_t>(std::min(together, count - first)));
    forEachTask(seen.size(), [&](std::size_t n) {
      const int index = first + static_cast<int>(n), k = (index + 1) / 2, way = index % 2 == 1 ? 1 : -1;
      Look& look = seen[n];
      look.led = withItsLead(begunAt(near, std::fmod(whole + way * 0.5 * whole * k / looks, whole)));
      look.free = downAt(look.led.points.front()) == Down::Free;
      look.beside = !look.free && !beside && besideStart(look.led);
    });
    for (Look& look : seen) {
      if (look.free) return std::move(look.led);
      if (!beside && look.beside) beside = std::move(look.led);
    }
  }
  return beside ? *beside : withItsLead(near);
}

Pass Walk::begun(const Pass& pass) const {
  if (!pass.closed || pass.keepStart) return pass;
  const Pass near = withItsLead(begunNear(pass, here_.xy()));
  if (pass.fullWidth) return near;
  const Vec3 start = near.points.front();
  const bool level = down_ && std::abs(here_.z - start.z) <= 1e-6;
  if (level && chooseLink(questionTo(start)) != LinkWay::Over) return near;
  return begunWhereFree(pass);
}

}  // namespace chipledger::path
