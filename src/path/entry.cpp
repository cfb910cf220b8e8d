#include <chipledger/path/entry.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace chipledger::path {

namespace {
constexpr double kTwoPi = 2.0 * std::numbers::pi;
}

std::vector<Segment> helixEntry(Vec2 centre, double radius_mm, double top_mm, double bottom_mm, Angle ramp,
                                double endAngle) {
  std::vector<Segment> out;
  const double depth = top_mm - bottom_mm;
  const double drop = kTwoPi * radius_mm * std::tan(ramp.rad);
  const auto at = [&](double angle, double z) {
    return Vec3{centre.x + radius_mm * std::cos(angle), centre.y + radius_mm * std::sin(angle), z};
  };
  if (depth > 0 && drop > 0) {
    const double turns = depth / drop;
    const double whole = std::floor(turns + 1e-12), part = (turns - whole) * kTwoPi;
    const double startAngle = endAngle - part;
    // One segment per whole turn keeps a helix a helix for whoever times it.
    double z = top_mm;
    const double partDepth = drop * (turns - whole);
    if (part > 1e-9) {
      out.push_back(arc(at(startAngle, z), at(endAngle, z - partDepth), centre, Segment::Shape::ArcCcw));
      z -= partDepth;
    }
    for (int i = 0; i < static_cast<int>(whole); ++i) {
      out.push_back(arc(at(endAngle, z), at(endAngle, z - drop), centre, Segment::Shape::ArcCcw, 1.0));
      z -= drop;
    }
    if (!out.empty()) out.back().end.z = bottom_mm;
  }
  out.push_back(arc(at(endAngle, bottom_mm), at(endAngle, bottom_mm), centre, Segment::Shape::ArcCcw, 1.0));
  return out;
}

std::vector<Segment> rampEntry(const Pass& pass, double top_mm, Angle ramp, double dropPerTurn_mm) {
  std::vector<Segment> out;
  if (pass.points.size() < 2) return out;
  const double length = planLength(pass);
  const double bottom = pass.points.front().z, depth = top_mm - bottom;
  if (depth <= 0 || length <= 0) return out;
  double slope = std::tan(ramp.rad);
  if (dropPerTurn_mm > 0) slope = std::min(slope, dropPerTurn_mm / length);
  // On an open pass the ramp goes to and fro and must come back to the start: an even number of strokes, and no longer
  // strokes than the depth needs.
  std::vector<Vec2> way;
  for (const Vec3& p : pass.points) way.push_back(p.xy());
  if (pass.closed) way.push_back(way.front());
  double run = depth / slope, stroke = length;
  if (!pass.closed) {
    const double strokes = 2.0 * std::max(1.0, std::ceil(run / (2.0 * length) - 1e-9));
    stroke = run / strokes;
  }
  double z = top_mm, left = run;
  Vec3 here{way.front().x, way.front().y, z};
  const auto go = [&](Vec2 to) {
    const double l = norm(to - here.xy());
    if (l <= 1e-9) return;
    z = std::max(bottom, z - l * slope);
    left -= l;
    const Vec3 next{to.x, to.y, z};
    out.push_back(line(here, next));
    here = next;
  };
  if (pass.closed) {
    // Begin so far back along the pass that the ramp ends at its start.
    double back = std::fmod(run, length);
    std::vector<Vec2> first;
    if (back > 1e-9) {
      double from = length - back, at = 0.0;
      for (std::size_t i = 1; i < way.size(); ++i) {
        const double l = norm(way[i] - way[i - 1]);
        if (at + l > from) {
          if (first.empty()) first.push_back(way[i - 1] + (way[i] - way[i - 1]) * ((from - at) / l));
          first.push_back(way[i]);
        }
        at += l;
      }
      here = {first.front().x, first.front().y, top_mm};
      for (std::size_t i = 1; i < first.size(); ++i) go(first[i]);
    }
    while (left > 1e-6)
      for (std::size_t i = 1; i < way.size(); ++i) go(way[i]);
  } else {
    std::vector<Vec2> there{way.front()};
    double at = 0.0;
    for (std::size_t i = 1; i < way.size() && at < stroke - 1e-9; ++i) {
      const double l = norm(way[i] - way[i - 1]);
      const double take = std::min(l, stroke - at);
      if (l > 0) there.push_back(way[i - 1] + (way[i] - way[i - 1]) * (take / l));
      at += take;
    }
    while (left > 1e-6) {
      for (std::size_t i = 1; i < there.size(); ++i) go(there[i]);
      for (std::size_t i = there.size() - 1; i-- > 0;) go(there[i]);
    }
  }
  if (!out.empty()) out.back().end.z = bottom;
  return out;
}

double pathLength(const std::vector<Segment>& segments) {
  double sum = 0.0;
  for (const Segment& s : segments) sum += length(s);
  return sum;
}

}  // namespace chipledger::path
