#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "estimate/candidates.hpp"

namespace chipledger::estimate {
namespace {

using detail::Detail;
using detail::Side;

/// Nearest point of a ring to p.
Vec2 nearestOn(const Ring& ring, Vec2 p) {
  Vec2 best = ring.front();
  double least = norm(best - p);
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Vec2 a = ring[i], e = ring[(i + 1) % ring.size()] - a;
    const double l2 = dot(e, e);
    const double t = l2 > 0 ? std::clamp(dot(p - a, e) / l2, 0.0, 1.0) : 0.0;
    const Vec2 q = a + e * t;
    if (const double d = norm(q - p); d < least) least = d, best = q;
  }
  return best;
}

}  // namespace

detail::Standing Ground::standing() const {
  const PlanRequest& drawn = replanner.drawn();
  return {drawn.body, drawn.setups->partToPlate, drawn.solid, drawn.details};
}

std::vector<double> Ground::millsInUse() const {
  std::set<double> diameters;
  for (const CutterUse& use : estimate.cutters)
    if (use.cutter.kind == cutting::CutterKind::Flat || use.cutter.kind == cutting::CutterKind::Bull)
      diameters.insert(toMm(use.cutter.diameter));
  return {diameters.begin(), diameters.end()};
}

std::vector<int> where(const detail::Details& details, const std::function<bool(const Detail&)>& test) {
  std::vector<int> found;
  for (std::size_t i = 0; i < details.list.size(); ++i)
    if (test(details.list[i])) found.push_back(static_cast<int>(i));
  return found;
}

double upToStep(double value) { return std::ceil(value / kRounding_mm - 1e-6) * kRounding_mm; }
double downToStep(double value) { return std::floor(value / kRounding_mm + 1e-6) * kRounding_mm; }

field::Change prism(field::Prism::Act act, Region region, double low_mm, double high_mm) {
  field::Change change;
  change.kind = field::Change::Kind::Prism;
  change.prism = {act, std::move(region), low_mm, high_mm};
  return change;
}

// The shortest way between two polygons ends in a corner of one of them.
Gap gapBetween(const Region& a, const Region& b) {
  Gap gap{1e300, {}, {}};
  const auto scan = [&](const Region& corners, const Region& walls, bool first) {
    for (const Ring& ring : corners.rings)
      for (const Vec2& p : ring)
        for (const Ring& wall : walls.rings) {
          if (wall.empty()) continue;
          const Vec2 q = nearestOn(wall, p);
          if (const double d = norm(q - p); d < gap.distance_mm) gap = {d, first ? p : q, first ? q : p};
        }
  };
  scan(a, b, true);
  scan(b, a, false);
  return gap;
}

std::string namesOf(const Ground& ground, const std::vector<int>& details, const std::string& many) {
  constexpr std::size_t kNamed = 3;
  if (details.size() > kNamed) return fmt::format("{} {}", details.size(), many);
  std::string text;
  for (std::size_t i = 0; i < details.size(); ++i)
    text += (i == 0 ? "" : (i + 1 == details.size() ? " and " : ", ")) + ground.at(details[i]).name;
  return text;
}

void sayLooks(const Ground& ground, Advice& advice) {
  const detail::Details& all = ground.details();
  bool outer = false, back = false, cosmetic = false;
  for (const int i : advice.details) {
    const Detail& d = ground.at(i);
    outer = outer || d.side == Side::Outer || d.side == Side::Both;
    back = back || d.side == Side::Back || d.side == Side::Both;
    cosmetic = cosmetic || d.hint == "cosmetic";
  }
  const bool both = all.seenSide == "both";
  advice.seen = cosmetic || (outer && (both || all.seenSide == "outer")) || (back && (both || all.seenSide == "back"));
  const bool open = std::any_of(all.questions.begin(), all.questions.end(),
                                [](const detail::Question& q) { return q.key == "part.seen-side"; });
  const std::string side = outer && back ? "through both sides" : (outer ? "on the outer side" : "on the back");
  const std::string known =
      cosmetic ? "the file marks it cosmetic"
               : fmt::format("seen side {}: {}", open ? "assumed" : "answered or marked in the file", all.seenSide);
  advice.looks = fmt::format("{}, {} ({})", advice.seen ? "seen" : "hidden", side, known);
}

}  // namespace chipledger::estimate
