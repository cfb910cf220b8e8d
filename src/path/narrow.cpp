#include <chipledger/path/narrow.hpp>
#include <chipledger/path/roughing.hpp>

#include <algorithm>
#include <cmath>
#include <optional>

namespace chipledger::path {
namespace {

constexpr double kBeside_mm = 0.05;    // room this near to roughed room is the strip that finishing takes
constexpr double kLongShare = 2.0;     // of the radius: a shorter piece is a corner
constexpr double kMiddleShare = 0.98;  // of the way in: just before the region is gone
constexpr double kBothWays = 2.5;      // of the half width: opposite sides are no farther apart
constexpr double kInside_mm = 0.01;    // the middle is looked for this far inside the room
constexpr double kLook_mm = 0.5;       // between places where the middle is looked for
constexpr double kStraight_mm = 0.002;
constexpr int kHalvings = 14;
constexpr int kLooks = 24;

// A ring by arc length.
class Round {
public:
  explicit Round(const Ring& ring) : ring_(ring) {
    run_.push_back(0.0);
    for (std::size_t i = 0; i < ring.size(); ++i)
      run_.push_back(run_.back() + norm(ring[(i + 1) % ring.size()] - ring[i]));
  }
  double whole() const { return run_.back(); }
  const std::vector<double>& corners() const { return run_; }
  Vec2 at(double place) const {
    place = std::fmod(place + 2.0 * whole(), whole());
    const auto next = std::upper_bound(run_.begin() + 1, run_.end() - 1, place);
    const auto i = static_cast<std::size_t>(next - run_.begin());
    const Vec2 a = ring_[i - 1], b = ring_[i % ring_.size()];
    const double l = run_[i] - run_[i - 1];
    return l > 0 ? a + (b - a) * ((place - run_[i - 1]) / l) : a;
  }
  // From one place on, the given length; every corner, and no gap longer than kLook_mm.
  Line way(double from, double along) const {
    std::vector<double> places{0.0, along};
    for (std::size_t i = 0; i + 1 < run_.size(); ++i) {
      const double p = std::fmod(run_[i] - from + 2.0 * whole(), whole());
      if (p < along) places.push_back(p);
    }
    std::sort(places.begin(), places.end());
    Line line{at(from)};
    for (std::size_t i = 1; i < places.size(); ++i) {
      const double gap = places[i] - places[i - 1];
      if (gap <= 1e-9) continue;
      const int parts = std::max(1, static_cast<int>(std::ceil(gap / kLook_mm)));
      for (int k = 1; k <= parts; ++k) line.push_back(at(from + places[i - 1] + gap * k / parts));
    }
    return line;
  }

private:
  const Ring& ring_;
  std::vector<double> run_;
};

Vec2 nearestOn(const Line& way, Vec2 p) {
  Vec2 best = way.front();
  for (std::size_t i = 1; i < way.size(); ++i) {
    const Vec2 a = way[i - 1], d = way[i] - a;
    const double l2 = dot(d, d);
    const Vec2 q = a + d * (l2 > 0 ? std::clamp(dot(p - a, d) / l2, 0.0, 1.0) : 0.0);
    if (norm(q - p) < norm(best - p)) best = q;
  }
  return best;
}

// Half way to the opposite side; nothing when the sides are farther apart than `most_mm` anywhere.
std::optional<Line> between(const Line& one, const Line& other, double most_mm) {
  for (Vec2 p : other)
    if (norm(nearestOn(one, p) - p) > most_mm) return std::nullopt;
  Line middle;
  for (Vec2 p : one) {
    const Vec2 q = nearestOn(other, p);
    if (norm(q - p) > most_mm) return std::nullopt;
    middle.push_back((p + q) * 0.5);
  }
  return middle;
}

// On to where the room ends.
void extend(Line& line, const Region& room, double most_mm) {
  for (int end = 0; end < 2; ++end) {
    const Vec2 d = line.back() - line[line.size() - 2];
    const double l = norm(d);
    if (l > 0) {
      const std::vector<Line> on = clipInside({line.back(), line.back() + d * (most_mm / l)}, room);
      if (!on.empty() && norm(on.front().front() - line.back()) < 1e-3) line.push_back(on.front().back());
    }
    std::reverse(line.begin(), line.end());
  }
}

// Where a ring turns back beside itself: going both ways from there leads past the same places. One place an end.
std::vector<double> turnings(const Round& round, double half_mm) {
  constexpr double kLocal = 8.0, kBeside = 4.0;  // of the half width: how far is looked, how near both ways stay
  const double reach = std::min(kLocal * half_mm, 0.2 * round.whole());
  struct End {
    double at, gap;
  };
  std::vector<End> ends;
  const auto look = [&](double at) {
    double widest = 0.0;
    for (int k = 1; k <= kLooks; ++k) {
      const double s = reach * k / kLooks;
      widest = std::max(widest, norm(round.at(at + s) - round.at(at - s)));
    }
    if (widest > kBeside * half_mm) return;
    // Corners of one end follow each other.
    if (!ends.empty() && at - ends.back().at < kBeside * half_mm) {
      if (widest < ends.back().gap - 1e-9) ends.back() = {at, widest};
    } else {
      ends.push_back({at, widest});
    }
  };
  const std::vector<double>& corners = round.corners();
  for (std::size_t i = 0; i + 1 < corners.size(); ++i) {
    look(corners[i]);
    look(0.5 * (corners[i] + corners[i + 1]));
  }
  if (ends.size() > 1 && ends.front().at + round.whole() - ends.back().at < kBeside * half_mm) {
    if (ends.back().gap < ends.front().gap) ends.front() = ends.back();
    ends.pop_back();
  }
  std::vector<double> places;
  for (const End& end : ends) places.push_back(end.at);
  return places;
}

// The middle of a room without holes from one end to the other. Bends do not matter; nothing when it branches.
std::optional<Line> middleOfSlot(const Region& room, double half_mm) {
  const Round round(room.rings.front());
  const std::vector<double> ends = turnings(round, half_mm);
  if (ends.size() != 2) return std::nullopt;
  const double from = std::min(ends[0], ends[1]), half = std::abs(ends[1] - ends[0]);
  std::optional<Line> line =
      between(round.way(from, half), round.way(from + half, round.whole() - half), kBothWays * half_mm);
  if (!line) return line;
  // Beside its ends the opposite side is the end itself: straight on from before that.
  const Vec2 first = line->front(), last = line->back();
  Line inner;
  for (Vec2 p : *line)
    if (norm(p - first) > 2.0 * half_mm && norm(p - last) > 2.0 * half_mm) inner.push_back(p);
  if (inner.size() > 1) line = std::move(inner);
  *line = simplifyLine(*line, kStraight_mm);
  if (line->size() < 2) return std::nullopt;
  extend(*line, room, kLook_mm + 4.0 * half_mm);
  return line;
}

// And of one that closes on itself.
std::optional<Line> middleOfRound(const Region& room, double half_mm) {
  const Round outer(room.rings[0]), inner(room.rings[1]);
  std::optional<Line> line = between(outer.way(0.0, outer.whole()), inner.way(0.0, inner.whole()), kBothWays * half_mm);
  if (!line) return line;
  line->pop_back();
  return simplifyLine(*line, kStraight_mm);
}

}  // namespace

double halfWidth(const Region& piece) {
  const Box2 b = box(piece);
  double in = 0.0, out = 0.5 * std::min(b.size().x, b.size().y) + 1e-3;
  for (int i = 0; i < kHalvings; ++i) {
    const double half = 0.5 * (in + out);
    (offset(piece, -half).empty() ? out : in) = half;
  }
  return in;
}

Region narrowRoom(const Region& place, const Region& obstacle, double radius_mm, double allowance_mm, double fit_mm) {
  if (obstacle.empty()) return {};
  const Region bare = subtract(place, keepOutOf(obstacle, radius_mm, 0.0, fit_mm));
  const Region roughed = subtract(place, keepOutOf(obstacle, radius_mm, allowance_mm, fit_mm));
  std::vector<Region> kept;
  for (Region& piece : pieces(roughed.empty() ? bare : subtract(bare, offset(roughed, allowance_mm + kBeside_mm))))
    if (0.5 * perimeter(piece) > kLongShare * radius_mm) kept.push_back(std::move(piece));
  return kept.empty() ? Region{} : unite(kept);
}

std::vector<Pass> middlePasses(const Region& room, double z_mm) {
  std::vector<Pass> passes;
  const auto put = [&](const Line& line, bool closed) {
    Pass pass = levelPass(line, z_mm, closed, 0);
    pass.fullWidth = true;
    passes.push_back(std::move(pass));
  };
  for (const Region& piece : pieces(room)) {
    const double half = halfWidth(piece);
    for (const Region& part : pieces(offset(piece, -std::min(kInside_mm, 0.5 * half)))) {
      std::optional<Line> line;
      if (part.rings.size() == 1) line = middleOfSlot(part, half);
      if (part.rings.size() == 2) line = middleOfRound(part, half);
      if (line) {
        put(*line, part.rings.size() == 2);
        continue;
      }
      // Branches: round the middle of the widest.
      for (const Ring& ring : offset(part, -kMiddleShare * half).rings)
        if (signedArea(ring) > 0 && ring.size() > 2) put(Line(ring.begin(), ring.end()), true);
    }
  }
  return passes;
}

}  // namespace chipledger::path
