#include <numbers>

#include "detail/recogniser.hpp"

namespace chipledger::detail {
namespace {

constexpr int kBins = 720;          // half degrees
constexpr double kPartTurn = 0.55;  // a partial cylinder beyond a half turn, ended by sharp edges, is a cut bore
constexpr double kRoundPocketDiameter = 6.0;     // mm: a flat-bottomed recess this wide ...
constexpr double kRoundPocketSlenderness = 0.5;  // ... and shallower than half its width is milled, not drilled
constexpr double kSeatDiameter = 3.2;            // mm: flat-floored blind bores up to here seat balls and pins

constexpr double kRimWidth = 0.5;         // mm: common practice: edges are broken by 0.15 to 0.4
constexpr double kRimShare = 0.2;         // of the bore's diameter
constexpr double kSeatSlenderness = 1.5;  // deeper ones are bores

/// Upright hollow cylinder faces of one axis and radius that overlap in height.
struct Barrel {
  Vec2 centre;
  double radius{}, low{}, high{};
  std::vector<int> faces;
  std::vector<char> bins = std::vector<char>(kBins, 0);
  bool sharpEnds{true};  ///< no tangent neighbour: not a corner or a slot end
  double turn() const {
    double n = 0;
    for (const char b : bins) n += b;
    return n / kBins;
  }
};

struct Cone {
  Vec2 centre;
  double low{}, high{}, wideLow{}, wideHigh{};  ///< radius at its lower and upper end
  double halfAngle{};
  std::vector<int> faces;
  /// A broken rim rather than a seat for a screw head: it stays a chamfer of its own.
  bool rim() const {
    const double narrow = std::min(wideLow, wideHigh), width = std::abs(wideHigh - wideLow);
    return width <= kRimWidth && width < kRimShare * 2 * narrow;
  }
};

void markBins(std::vector<char>& bins, Vec2 centre, const std::vector<Vec3>& points) {
  for (std::size_t i = 1; i < points.size(); ++i) {
    const Vec2 a = points[i - 1].xy() - centre, b = points[i].xy() - centre;
    if (norm(a) < 1e-9 || norm(b) < 1e-9) continue;
    const double from = std::atan2(a.y, a.x), turn = std::atan2(cross(a, b), dot(a, b));
    const int steps = std::max(1, static_cast<int>(std::ceil(std::abs(turn) / (2 * std::numbers::pi / kBins) * 2)));
    for (int k = 0; k <= steps; ++k) {
      const double angle = from + turn * k / steps;
      int bin = static_cast<int>(std::floor(angle / (2 * std::numbers::pi) * kBins));
      bin = ((bin % kBins) + kBins) % kBins;
      bins[static_cast<std::size_t>(bin)] = 1;
    }
  }
}

}  // namespace

void Recogniser::findBores() {
  for (std::size_t v = 0; v < views_.size(); ++v) {
    if (static_cast<int>(v) == back_) continue;  // one look along each axis is enough
    View& view = views_[v];
    const bool side = sideOf(view) == Side::Other;

    std::vector<Barrel> barrels;
    std::vector<Cone> cones;
    for (std::size_t f = 0; f < body_.faces.size(); ++f) {
      const part::Face& bf = body_.faces[f];
      const ViewFace& vf = face(view, static_cast<int>(f));
      if (claimed(static_cast<int>(f)) || !bf.hollow) continue;
      const Vec2 at = view.graph.frame.apply(bf.origin).xy();
      if (bf.kind == part::SurfaceKind::Cone && std::abs(view.graph.frame.turn(bf.axis).z) > 0.9999) {
        double least = std::numeric_limits<double>::infinity(), most = 0;
        for (const int e : vf.edges) {
          for (const Vec3 p : edge(view, e).points) {
            least = std::min(least, norm(p.xy() - at));
            most = std::max(most, norm(p.xy() - at));
          }
        }
        if (vf.edges.empty()) continue;
        // A tip without an edge of its own at the apex.
        const double reach = (vf.high - vf.low) * std::tan(toDegrees(bf.halfAngle) * std::numbers::pi / 180);
        if (most - least < 0.5 * reach || most - least < 1e-6) least = std::max(0.0, most - reach);
        const bool opensUp = vf.normal.z > 0 || vf.upMost > 0.01;
        const double wideLow = opensUp ? least : most, wideHigh = opensUp ? most : least;
        const auto half = std::find_if(cones.begin(), cones.end(), [&](const Cone& c) {
          return norm(c.centre - at) < kTolerances.axis && std::abs(c.low - vf.low) < kTolerances.axis &&
                 std::abs(c.high - vf.high) < kTolerances.axis && std::abs(c.wideLow - wideLow) < kTolerances.axis;
        });
        if (half != cones.end())
          half->faces.push_back(static_cast<int>(f));
        else
          cones.push_back({at, vf.low, vf.high, wideLow, wideHigh, bf.halfAngle.rad, {static_cast<int>(f)}});
        continue;
      }
      if (bf.kind != part::SurfaceKind::Cylinder || vf.lie != Lie::Wall) continue;
      const double r = toMm(bf.radius);
      auto same = std::find_if(barrels.begin(), barrels.end(), [&](const Barrel& b) {
        return norm(b.centre - at) < kTolerances.axis && std::abs(b.radius - r) < kTolerances.radius &&
               vf.low < b.high + kTolerances.axis && vf.high > b.low - kTolerances.axis;
      });
      if (same == barrels.end()) same = barrels.insert(barrels.end(), Barrel{at, r, vf.low, vf.high, {}});
      same->low = std::min(same->low, vf.low);
      same->high = std::max(same->high, vf.high);
      same->faces.push_back(static_cast<int>(f));
      for (const int e : vf.edges) {
        if (!edge(view, e).upright) markBins(same->bins, same->centre, edge(view, e).points);
      }
    }
    for (Barrel& b : barrels) {
      for (const int f : b.faces) {
        for (const int e : face(view, f).edges) {
          const int other = across(body_, e, f);
          if (!edge(view, e).upright || std::find(b.faces.begin(), b.faces.end(), other) != b.faces.end()) continue;
          b.sharpEnds = b.sharpEnds && bodyEdge(e).sense == part::Sense::Convex;
        }
      }
    }
    std::erase_if(barrels, [&](const Barrel& b) {
      const double turn = b.turn();
      return !(turn >= kTolerances.fullTurn || (turn > kPartTurn && b.sharpEnds));
    });

    // What a barrel stands on or opens through at one end, by the faces beyond its borders there.
    struct End {
      bool closed{};  ///< a floor (or ceiling) reaches inwards
      bool filleted{};
      int floor{-1};    ///< face
      int opensOn{-1};  ///< level face beyond a convex border
    };
    const auto endOf = [&](const Barrel& b, bool top) {
      End end;
      for (const int f : b.faces) {
        for (const int e : face(view, f).edges) {
          if (edge(view, e).upright) continue;
          const double z = edge(view, e).middle();
          if (std::abs(z - (top ? b.high : b.low)) > 0.25 * (b.high - b.low)) continue;
          const int other = across(body_, e, f);
          if (other < 0) continue;
          const Lie lie = face(view, other).lie;
          if (bodyEdge(e).sense == part::Sense::Concave && (lie == Lie::Floor || lie == Lie::Ceiling)) {
            end.closed = true;
            end.floor = other;
          } else if (bodyEdge(e).sense == part::Sense::Smooth && lie == Lie::Curved) {
            end.filleted = end.filleted || rootFillet(view, other) || face(view, other).upLeast < -0.5;
          } else if (bodyEdge(e).sense == part::Sense::Convex) {
            end.opensOn = other;
          }
        }
      }
      return end;
    };

    std::vector<char> used(barrels.size(), 0);
    std::vector<std::size_t> order(barrels.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return barrels[a].radius < barrels[b].radius; });
    for (const std::size_t first : order) {
      if (used[first]) continue;
      // The stack of one axis: barrels and cones that meet end to end, starting from the narrowest.
      std::vector<std::size_t> stack{first};
      std::vector<const Cone*> tips;
      double low = barrels[first].low, high = barrels[first].high;
      for (bool grown = true; grown;) {
        grown = false;
        for (std::size_t k = 0; k < barrels.size(); ++k) {
          if (used[k] || std::find(stack.begin(), stack.end(), k) != stack.end()) continue;
          const Barrel& b = barrels[k];
          if (norm(b.centre - barrels[first].centre) > 2 * kTolerances.axis) continue;
          if (std::abs(b.low - high) > kTolerances.axis && std::abs(b.high - low) > kTolerances.axis) continue;
          stack.push_back(k);
          low = std::min(low, b.low);
          high = std::max(high, b.high);
          grown = true;
        }
        for (const Cone& c : cones) {
          if (std::find(tips.begin(), tips.end(), &c) != tips.end() || claimed(c.faces.front()) ||
              norm(c.centre - barrels[first].centre) > 2 * kTolerances.axis)
            continue;
          if (std::abs(c.low - high) > kTolerances.axis && std::abs(c.high - low) > kTolerances.axis) continue;
          tips.push_back(&c);
          low = std::min(low, c.low);
          high = std::max(high, c.high);
          grown = true;
        }
      }
      std::stable_sort(stack.begin(), stack.end(),
                       [&](std::size_t a, std::size_t b) { return barrels[a].low < barrels[b].low; });
      const Barrel& lowest = barrels[stack.front()];
      const Barrel& highest = barrels[stack.back()];
      const End under = endOf(lowest, false), over = endOf(highest, true);
      const auto tipAt = [&](double z, bool top) {
        for (const Cone* c : tips) {
          if (std::abs((top ? c->low : c->high) - z) < kTolerances.axis &&
              (top ? c->wideHigh : c->wideLow) < 0.05 * lowest.radius + 1e-3)
            return c;
        }
        return static_cast<const Cone*>(nullptr);
      };
      const bool closedLow = under.closed || tipAt(lowest.low, false) != nullptr;
      const bool closedHigh = over.closed || tipAt(highest.high, true) != nullptr;
      if (under.filleted || over.filleted || (closedLow && closedHigh))
        continue;  // a round pocket, or no opening at all

      const auto floorLevel = [&](int f) -> const Level* {
        const int l = f >= 0 ? view.levels.ofFace[static_cast<std::size_t>(f)] : -1;
        return l >= 0 ? &view.levels.list[static_cast<std::size_t>(l)] : nullptr;
      };
      // Floors of this stack must carry nothing and hold no other opening: else it is a round pocket with something in
      // it.
      bool carries = false;
      for (const std::size_t k : stack) {
        for (const bool top : {false, true}) {
          const End end = endOf(barrels[k], top);
          if (!end.closed || end.floor < 0) continue;
          for (const part::FaceLoop& loop : bodyFace(end.floor).loops) {
            if (loop.outer) continue;
            bool inner = true;
            for (const part::FaceLoop::Use& use : loop.uses) {
              bool coaxial = true;
              for (const Vec3 p : view.graph.edges[static_cast<std::size_t>(use.edge.index)].points) {
                coaxial = coaxial && norm(p.xy() - barrels[k].centre) < barrels[k].radius;
              }
              const int other = across(body_, use.edge.index, end.floor);
              const bool onAxis =
                  other >= 0 && (std::any_of(stack.begin(), stack.end(),
                                             [&](std::size_t s) {
                                               return std::find(barrels[s].faces.begin(), barrels[s].faces.end(),
                                                                other) != barrels[s].faces.end();
                                             }) ||
                                 std::any_of(tips.begin(), tips.end(), [&](const Cone* c) {
                                   return std::find(c->faces.begin(), c->faces.end(), other) != c->faces.end();
                                 }));
              inner = inner && coaxial && onAxis;
            }
            carries = carries || !inner;
          }
        }
      }
      const bool single = stack.size() == 1;
      const bool through = !closedLow && !closedHigh;
      const double depth = high - low;
      const double widest = barrels[*std::max_element(stack.begin(), stack.end(), [&](std::size_t a, std::size_t b) {
                              return barrels[a].radius < barrels[b].radius;
                            })].radius;
      const bool flat = (closedLow && under.closed) || (closedHigh && over.closed);
      if (carries) continue;
      if (single && !through && flat && 2 * widest >= kRoundPocketDiameter &&
          depth < kRoundPocketSlenderness * 2 * widest)
        continue;
      if (through && single && 2 * widest > 2.5 * kRoundPocketDiameter && depth < kRoundPocketSlenderness * 2 * widest)
        continue;  // a round window

      Detail d;
      d.kind = DetailKind::Bore;
      d.through = through;
      const Barrel& main = barrels[first];
      bool upwards = closedLow || (!closedHigh && highest.radius >= lowest.radius);
      d.dimensions.diameter = mm(2 * main.radius);
      double mainEnd = upwards ? main.low : main.high;
      if (stack.size() > 1) {
        // The widest barrel at the open end is the counterbore; further steps stay in faces and footprint.
        const Barrel* wide = highest.radius > lowest.radius ? &highest : &lowest;
        if (wide->radius > main.radius + kTolerances.radius) {
          d.dimensions.counterDiameter = mm(2 * wide->radius);
          d.dimensions.counterDepth = mm(wide->high - wide->low);
          if (through) upwards = wide == &highest;
        }
      }
      for (const Cone* c : tips) {
        const double mouth = std::max(c->wideLow, c->wideHigh);
        const bool atTop = std::abs(c->high - high) < kTolerances.axis,
                   atBottom = std::abs(c->low - low) < kTolerances.axis;
        const bool widensOut = (atTop && c->wideHigh > c->wideLow) || (atBottom && c->wideLow > c->wideHigh);
        if (c->rim() || !widensOut || mouth <= main.radius + kTolerances.radius || d.dimensions.counterDiameter)
          continue;
        d.dimensions.counterDiameter = mm(2 * mouth);
        d.dimensions.counterDepth = mm(c->high - c->low);
        d.dimensions.angle = radians(2 * c->halfAngle);
        if (through) upwards = atTop;
      }
      mainEnd = upwards ? main.low : main.high;
      d.dimensions.depth = mm(through ? depth : (upwards ? high - mainEnd : mainEnd - low));
      if (!through && flat && !d.dimensions.counterDiameter && 2 * main.radius <= kSeatDiameter && !side &&
          toMm(*d.dimensions.depth) <= kSeatSlenderness * 2 * main.radius)
        d.kind = DetailKind::Seat;
      const bool plainThrough = through && !d.dimensions.counterDiameter;
      d.side = side ? Side::Other : (plainThrough ? Side::Both : (upwards ? Side::Outer : Side::Back));
      if (!side) {
        d.low_mm = low;
        d.high_mm = high;
        double mouth = widest;
        for (const Cone* c : tips) mouth = std::max({mouth, c->wideLow, c->wideHigh});
        d.footprint = disc(main.centre, mouth);
      }
      d.dimensions.centre = toPart(view, main.centre, upwards ? high : low);
      for (const TapDrill& tap : options_.tapDrills) {
        const double diameter = 2 * main.radius;
        if (diameter > toMm(tap.least) - kTolerances.radius && diameter < toMm(tap.most) + kTolerances.radius)
          d.thread = tap.thread;
      }
      const int index = add(std::move(d), static_cast<int>(v));
      for (const std::size_t k : stack) {
        used[k] = 1;
        for (const int f : barrels[k].faces) claim(f, index);
        for (const bool top : {false, true}) {
          const End end = endOf(barrels[k], top);
          if (!end.closed) continue;
          claim(end.floor, index);
          // A floor split into halves is one level.
          if (const Level* level = floorLevel(end.floor)) {
            for (const int f : level->faces) claim(f, index);
          }
        }
      }
      for (const Cone* c : tips) {
        for (const int f : c->faces) {
          if (!c->rim()) claim(f, index);
        }
      }
    }
  }
}

}  // namespace chipledger::detail
