#include <chipledger/path/corners.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>

namespace chipledger::path {
namespace {

constexpr double kLeastCorner_mm2 = 0.005;  // smaller pieces are chord noise of curved walls
constexpr double kSharp_mm = 0.12;          // below this a corner is drawn sharp: hardly any end mill is smaller
constexpr double kSecondShare = 0.8;        // radius of the second cutter that is tried, beside the first
constexpr double kSame_mm = 0.05;           // corners this alike are one kind: radii are told to 0.02
constexpr std::size_t kMostPlaces = 4;      // named in one sentence
// A corner of 20 degrees keeps 4.2 R^2; what keeps more is a slot.
constexpr double kMostCornerShare = 4.2;

// What stays of `metal` next to `piece`, tails along the walls included.
double staysBeside(const Region& piece, const Region& metal, const Region& free, double radius) {
  constexpr double kFine_mm = 0.0005;
  const Region reached = offset(offset(free, -radius, kFine_mm), radius, kFine_mm);
  double sum = 0.0;
  for (const Region& part : pieces(subtract(metal, reached)))
    if (area(intersect(part, piece)) > 0.0) sum += area(part);
  return sum;
}

// What two cutters leave tells the radius: A = k (R^2 - rho^2) with the same k for both.
double rootRadius(const Region& piece, const Zone& zone, double radius, double fit) {
  const Box2 b = box(piece);
  const auto grown = [&](double by) { return rectangle(b.min - Vec2{by, by}, b.max + Vec2{by, by}); };
  const double R1 = radius + fit, R2 = kSecondShare * radius + fit;
  const Region free = subtract(grown(2.0 * R1 + 0.5), zone.obstacle);
  const Region metal = intersect(intersect(zone.metal, grown(0.5 * R1)), free);
  const double first = staysBeside(piece, metal, free, R1), second = staysBeside(piece, metal, free, R2);
  if (first - second <= 0.0) return radius;
  const double square = (first * R2 * R2 - second * R1 * R1) / (first - second);
  const double root = square > 0 ? std::sqrt(square) : 0.0;
  return root < kSharp_mm ? 0.0 : std::min(root - fit, radius);
}

}  // namespace

std::vector<Corner> cornersOf(const Zone& zone, const Region& left, double radius_mm, double fit_mm) {
  std::vector<Corner> corners;
  for (const Region& piece : pieces(left)) {
    const double whole = area(piece);
    if (whole < kLeastCorner_mm2) continue;
    Corner corner;
    corner.area_mm2 = whole;
    corner.depth_mm = zone.depth_mm;
    const Box2 b = box(piece);
    corner.place = b.centre();
    corner.slot = whole > kMostCornerShare * radius_mm * radius_mm;
    if (corner.slot) {
      const double half = 0.5 * perimeter(piece);  // width + length of a straight slot
      const double root = std::sqrt(std::max(0.0, half * half - 4.0 * whole));
      corner.length_mm = 0.5 * (half + root);
      corner.width_mm = 0.5 * (half - root);
    }
    corner.radius_mm = rootRadius(piece, zone, radius_mm, fit_mm);
    corners.push_back(corner);
  }
  return corners;
}

std::vector<std::vector<Corner>> grouped(std::vector<Corner> corners) {
  std::sort(corners.begin(), corners.end(), [](const Corner& a, const Corner& b) {
    return std::tie(a.place.x, a.place.y, a.depth_mm) < std::tie(b.place.x, b.place.y, b.depth_mm);
  });
  // One place is met again in every floor below it: the deepest counts.
  std::vector<Corner> once;
  for (const Corner& c : corners) {
    const auto same = std::find_if(once.begin(), once.end(),
                                   [&](const Corner& o) { return norm(o.place - c.place) < 2.0 * kSame_mm; });
    if (same == once.end())
      once.push_back(c);
    else if (c.depth_mm > same->depth_mm)
      *same = c;
  }
  std::vector<std::vector<Corner>> groups;
  for (const Corner& c : once) {
    const auto alike = std::find_if(groups.begin(), groups.end(), [&](const std::vector<Corner>& g) {
      return !c.slot && !g.front().slot && std::abs(g.front().radius_mm - c.radius_mm) < kSame_mm &&
             std::abs(g.front().depth_mm - c.depth_mm) < kSame_mm;
    });
    if (alike == groups.end())
      groups.push_back({c});
    else
      alike->push_back(c);
  }
  return groups;
}

std::string sentenceOf(const std::vector<Corner>& alike, const std::string& smallestUsed, const std::string& whyNoSaw) {
  const Corner& first = alike.front();
  double whole = 0.0;
  std::string places;
  for (std::size_t i = 0; i < alike.size(); ++i) {
    whole += alike[i].area_mm2;
    if (i < kMostPlaces)
      places += fmt::format("{}x {:.1f} y {:.1f}", i == 0 ? "" : "; ", alike[i].place.x, alike[i].place.y);
    if (i == kMostPlaces) places += " ...";
  }
  if (first.slot)
    return fmt::format(
        "A place {:.2f} mm wide, {:.1f} mm long and {:.1f} mm deep (at {}) is too narrow for every cutter that reaches "
        "it; {:.2f} mm2 of plan stay. {}{}Not milled here: it goes to wire cutting, and its price is left out.",
        first.width_mm, first.length_mm, first.depth_mm, places, whole, whyNoSaw, whyNoSaw.empty() ? "" : " ");
  const std::string needed = first.radius_mm > 0
                                 ? fmt::format("A cutter of {:.2f} mm diameter that reaches {:.1f} mm would take {}",
                                               2.0 * first.radius_mm, first.depth_mm, alike.size() == 1 ? "it" : "them")
                                 : std::string("No round cutter takes a sharp corner; wire cutting or a relief would");
  return fmt::format(
      "{} corner{} of radius {:.2f} mm, {:.1f} mm deep (at {}), keep{} {:.3f} mm2 of metal in plan: the "
      "smallest cutter in use is {}. {}.",
      alike.size(), alike.size() == 1 ? "" : "s", first.radius_mm, first.depth_mm, places, alike.size() == 1 ? "s" : "",
      whole, smallestUsed, needed);
}

}  // namespace chipledger::path
