// Offsets of regions: every edge moved along its normal, the ends joined, and what is covered twice or inside out
// removed by the library's union with the positive rule. Where the moved edges part, the join is an arc; where they
// cross, it is their crossing as long as both edges keep their sense, else a spike to the border and back, whose
// winding cancels what the edges sweep (the way the library's own offset goes everywhere). The number of crossings the
// union has to sort out grows with the square of the vertices within reach, so rings are thinned first: the chords of a
// section are far finer than the tolerance that is asked for. Senses are those of the rings; the library's own offset
// guesses them from the lowest point, which is wrong when a fold of no area lies there.
#include <algorithm>
#include <cmath>

#include "geometry/library_paths.hpp"
#include "geometry/shape_memory.hpp"

namespace chipledger {
namespace {

using namespace library;

// Shares of the arc tolerance: what thinning may use up, and what a join of one point may.
constexpr double kThinningShare = 0.4, kOnePointShare = 0.6;
constexpr std::uint64_t kOffsetKey = 0x6f666673;  // apart from the boolean operations
constexpr double kNoArea_mm2 = 1e-6;              // folds left by boolean work
constexpr double kSamePlace_mm = 0.5 / kScale;
// Spikes are as long as the distance, and each crosses those within reach. Where there are many and long ones (sections
// of sloped meshes moved by 10 mm), a short move first rounds off what they stand on. The tolerance is shared between
// the two.
constexpr double kManySpikes_mm = 8000.0;  // together
constexpr double kFirstStage = 0.1, kStagesFrom_mm = 1.5;
constexpr double kTurnsBack = -0.999;  // cosine of the turn beyond which there is no bisector to speak of

Ring thinned(const Ring& ring, double tolerance) {
  const double before = signedArea(ring);
  if (std::abs(before) < kNoArea_mm2) return {};
  Ring fewer = simplify(ring, tolerance);
  // A strip about as thin as the tolerance keeps its shape.
  if (fewer.size() < 3 || std::abs(signedArea(fewer) - before) > 0.1 * std::abs(before)) return ring;
  return fewer;
}

// No point of the ring's inside is as far from its border as `distance`: half the narrow side of its box is a bound.
bool vanishes(const Ring& ring, double distance) {
  const Vec2 size = box(ring).size();
  return std::min(size.x, size.y) < 2.0 * distance;
}

class Mover {
public:
  Mover(double distance, double tolerance)
      : d_(distance),
        onePoint_(std::max(-1.0, 1.0 - kOnePointShare * tolerance / std::abs(distance))),
        step_(2.0 * std::acos(std::clamp(1.0 - tolerance / std::abs(distance), -1.0, 1.0))) {}

  Ring operator()(const Ring& given) {
    out_.clear();
    if (!take(given)) return out_;
    for (std::size_t i = 0; i < ring_.size(); ++i) vertex(i);
    return out_;
  }

  /// Corners that become spikes.
  std::size_t spikes(const Ring& given) {
    if (!take(given)) return 0;
    std::size_t count = 0;
    for (std::size_t i = 0; i < ring_.size(); ++i)
      if (shrink_[i] > 0 && !(keepsSense(before(i)) && keepsSense(i))) ++count;
    return count;
  }

private:
  bool take(const Ring& given) {
    ring_.clear();
    for (Vec2 p : given)
      if (ring_.empty() || norm(p - ring_.back()) > kSamePlace_mm) ring_.push_back(p);
    while (ring_.size() > 1 && norm(ring_.back() - ring_.front()) <= kSamePlace_mm) ring_.pop_back();
    if (ring_.size() < 3) return false;
    measure();
    return true;
  }
  // Corner i stands between the edges i - 1 and i.
  std::size_t before(std::size_t i) const { return i == 0 ? ring_.size() - 1 : i - 1; }
  void measure() {
    const std::size_t n = ring_.size();
    along_.resize(n);
    length_.resize(n);
    shrink_.assign(n, 0.0);
    for (std::size_t i = 0; i < n; ++i) {
      const Vec2 e = ring_[(i + 1) % n] - ring_[i];
      length_[i] = norm(e);
      along_[i] = e * (1.0 / length_[i]);
    }
    for (std::size_t i = 0; i < n; ++i) {
      const Vec2 a = along_[before(i)], b = along_[i];
      const double sine = cross(a, b), cosine = dot(a, b);
      if (sine * d_ < 0) shrink_[i] = cosine > kTurnsBack ? std::abs(d_ * sine) / (1.0 + cosine) : 1e300;
    }
  }
  bool keepsSense(std::size_t edge) const { return length_[edge] > shrink_[edge] + shrink_[(edge + 1) % ring_.size()]; }
  static Vec2 outward(Vec2 along) { return {along.y, -along.x}; }

  void vertex(std::size_t i) {
    const Vec2 v = ring_[i], a = outward(along_[before(i)]), b = outward(along_[i]);
    const double sine = cross(a, b), cosine = dot(a, b);
    if (sine * d_ < 0) {
      if (keepsSense(before(i)) && keepsSense(i)) {
        out_.push_back(v + (a + b) * (d_ / (1.0 + cosine)));
      } else {
        out_.push_back(v + a * d_);
        out_.push_back(v);
        out_.push_back(v + b * d_);
      }
      return;
    }
    if (cosine > 0 && std::sqrt(0.5 * (1.0 + cosine)) >= onePoint_) {
      const Vec2 middle = a + b;
      out_.push_back(v + middle * (d_ / norm(middle)));
      return;
    }
    const double turn = std::atan2(sine, cosine);
    const int parts = std::max(1, static_cast<int>(std::ceil(std::abs(turn) / step_)));
    const double c = std::cos(turn / parts), s = std::sin(turn / parts);
    Vec2 spoke = a * d_;
    out_.push_back(v + spoke);
    for (int k = 1; k < parts; ++k) {
      spoke = {spoke.x * c - spoke.y * s, spoke.x * s + spoke.y * c};
      out_.push_back(v + spoke);
    }
    out_.push_back(v + b * d_);
  }

  double d_, onePoint_, step_;
  Ring ring_, out_;
  std::vector<Vec2> along_;
  std::vector<double> length_, shrink_;
};

Region offsetAnew(const Region& region, double distance, double arcTolerance) {
  const auto gone = [&](const Ring& ring) { return vanishes(ring, std::abs(distance)); };
  const auto isOuter = [](const Ring& ring) { return signedArea(ring) > 0; };
  if (distance < 0 &&
      std::all_of(region.rings.begin(), region.rings.end(), [&](const Ring& r) { return !isOuter(r) || gone(r); }))
    return {};
  Region fine;
  for (const Ring& ring : region.rings) {
    // A hole that vanishes is filled, and what stands inside it lies within the grown ring round it.
    if (distance > 0 && !isOuter(ring) && gone(ring)) continue;
    Ring fewer = thinned(ring, kThinningShare * arcTolerance);
    if (fewer.size() >= 3) fine.rings.push_back(std::move(fewer));
  }
  if (fine.empty()) return {};
  Mover mover(distance, arcTolerance);
  if (std::abs(distance) > kStagesFrom_mm) {
    std::size_t spikes = 0;
    for (const Ring& ring : fine.rings) spikes += mover.spikes(ring);
    if (static_cast<double>(spikes) * std::abs(distance) > kManySpikes_mm)
      return offsetAnew(offsetAnew(region, kFirstStage * distance, 0.5 * arcTolerance), (1.0 - kFirstStage) * distance,
                        0.5 * arcTolerance);
  }
  Region moved;
  for (const Ring& ring : fine.rings) moved.rings.push_back(distance == 0 ? ring : mover(ring));
  const bool swapped = liesAlongX(box(moved));
  cl::Clipper clipper;
  clipper.AddPaths(toPaths(moved, swapped), cl::ptSubject, true);
  cl::Paths out;
  clipper.Execute(cl::ctUnion, out, cl::pftPositive, cl::pftPositive);
  return toRegion(out, swapped);
}

}  // namespace

Region offset(const Region& region, double distance, double arcTolerance) {
  if (region.empty()) return {};
  return remembered(shapeKey(kOffsetKey, {&region}, {distance, arcTolerance}),
                    [&] { return offsetAnew(region, distance, arcTolerance); });
}

}  // namespace chipledger
