#include <chipledger/path/narrow.hpp>
#include <chipledger/path/roughing.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::path {
namespace {

constexpr double kBeside_mm = 0.05;    // room this near to roughed room is the strip that finishing takes
constexpr double kLongShare = 2.0;     // of the radius: a shorter piece is a corner
constexpr double kMiddleShare = 0.98;  // of the way in: just before the region is gone
constexpr int kHalvings = 14;

}  // namespace

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
  for (const Region& piece : pieces(room)) {
    const Box2 b = box(piece);
    double in = 0.0, out = 0.5 * std::min(b.size().x, b.size().y) + 1e-3;
    for (int i = 0; i < kHalvings; ++i) {
      const double half = 0.5 * (in + out);
      (offset(piece, -half).empty() ? out : in) = half;
    }
    const Region middle = in > 0 ? offset(piece, -kMiddleShare * in) : piece;
    for (const Ring& ring : middle.rings) {
      if (signedArea(ring) <= 0 || ring.size() < 3) continue;
      // There and back between the two points farthest apart; one way is the middle.
      std::size_t p = 0, q = 0;
      double far = 0.0;
      for (std::size_t i = 0; i < ring.size(); ++i)
        for (std::size_t k = i + 1; k < ring.size(); ++k)
          if (norm(ring[i] - ring[k]) > far) {
            far = norm(ring[i] - ring[k]);
            p = i;
            q = k;
          }
      const Line way(ring.begin() + static_cast<std::ptrdiff_t>(p), ring.begin() + static_cast<std::ptrdiff_t>(q) + 1);
      double length = 0.0;
      for (std::size_t i = 1; i < way.size(); ++i) length += norm(way[i] - way[i - 1]);
      constexpr double kEven = 0.2;  // both ways are one slot when they are this alike
      const bool slot = middle.rings.size() == 1 && std::abs(perimeter(ring) - 2.0 * length) < kEven * length;
      Pass pass = levelPass(slot ? way : Line(ring.begin(), ring.end()), z_mm, !slot, 0);
      pass.fullWidth = true;
      passes.push_back(std::move(pass));
    }
  }
  return passes;
}

}  // namespace chipledger::path
