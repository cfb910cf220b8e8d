#include <fmt/format.h>

#include "detail/recogniser.hpp"

namespace chipledger::detail {
namespace {

constexpr double kSameHeight = 0.02;     // mm: an opening lies in this floor or top
constexpr double kOverlap = 0.05;        // mm2: less is two borders that touch
constexpr double kThinnestSpring = 0.5;  // mm: floor left under a spring thinning, from ...
constexpr double kThickestSpring = 1.5;  // ... to (job: 0.8 to 1.3 left)
constexpr double kSpringReach = 3.0;     // mm: a thin floor this near a lock cut is its spring
constexpr double kLetterReach = 3.0;     // mm: strokes nearer than this belong to one inscription
constexpr std::size_t kFewestStrokes = 3;
constexpr double kThinFloor = 0.8;   // mm: common practice: below 1.2 slower, at 0.8 and less it dishes
constexpr double kThinWall = 1.0;    // mm: common practice for walls between openings
constexpr double kWidestGap = 30.0;  // mm: farther walls do not choose a cutter

bool recess(DetailKind kind) {
  switch (kind) {
    case DetailKind::Pocket:
    case DetailKind::OpenPocket:
    case DetailKind::Slot:
    case DetailKind::Step:
    case DetailKind::Thinning:
      return true;
    default:
      return false;
  }
}
bool opening(DetailKind kind) {
  switch (kind) {
    case DetailKind::Bore:
    case DetailKind::Thread:
    case DetailKind::Seat:
    case DetailKind::Window:
    case DetailKind::LockCut:
      return true;
    default:
      return false;
  }
}

bool nearBoxes(const Region& a, const Region& b, double reach) {
  const Box2 p = chipledger::box(a), q = chipledger::box(b);
  return p.min.x - reach < q.max.x && q.min.x - reach < p.max.x && p.min.y - reach < q.max.y &&
         q.min.y - reach < p.max.y;
}

double rootOf(const Detail& d) { return d.dimensions.rootRadius ? toMm(*d.dimensions.rootRadius) : 0.0; }

}  // namespace

/// What details are to each other: who sits in whom, necks, metal left between them, thinnings and inscriptions.
void Recogniser::relate() {
  const std::size_t count = found_.size();
  for (std::size_t k = 0; k < count; ++k) {
    Detail& d = found_[k];
    const bool through = d.kind == DetailKind::Slot && d.through;
    if (d.parent >= 0 || !(opening(d.kind) || through) || d.side == Side::Other || !d.dimensions.centre) continue;
    const Vec2 at = plan_.partToPlate.apply(*d.dimensions.centre).xy();
    double smallest = std::numeric_limits<double>::infinity();
    for (std::size_t c = 0; c < count; ++c) {
      const Detail& host = found_[c];
      if (c == k || host.through || !(recess(host.kind) || host.kind == DetailKind::Island)) continue;
      const bool up = host.side == Side::Outer, island = host.kind == DetailKind::Island;
      const double ground = up == island ? host.high_mm : host.low_mm;
      if (std::abs((up ? d.high_mm : d.low_mm) - ground) > kSameHeight || !contains(host.footprint, at)) continue;
      if (const double size = area(host.footprint); size < smallest) {
        smallest = size;
        d.parent = static_cast<int>(c);
      }
    }
  }

  for (std::size_t k = 0; k < count; ++k) {
    Detail& d = found_[k];
    if (d.side != Side::Outer && d.side != Side::Back) continue;
    if (d.kind == DetailKind::Island) {
      double gap = kWidestGap;
      for (std::size_t c = 0; c < count; ++c) {
        const Detail& other = found_[c];
        if (c == k || other.side != d.side) continue;
        const bool beside = other.kind == DetailKind::Island && other.parent == d.parent;
        const bool around = static_cast<int>(c) == d.parent && recess(other.kind);
        if (!(beside || around) || (beside && !nearBoxes(d.footprint, other.footprint, gap))) continue;
        const double between = gapBetween(d.footprint, other.footprint);
        // What touches is one mass, not two with a neck between them.
        if (between > kSameHeight) gap = std::min(gap, between + rootOf(d) + (beside ? rootOf(other) : 0.0));
      }
      if (gap < kWidestGap) d.dimensions.gap = mm(gap);
    }
    if (!recess(d.kind) || d.through) continue;
    const bool up = d.side == Side::Outer;
    const double floor = up ? d.low_mm : d.high_mm;
    double under = up ? out_.bodyLow_mm : out_.bodyHigh_mm;
    for (const Detail& other : found_) {
      if (other.side != (up ? Side::Back : Side::Outer) || !recess(other.kind) ||
          !nearBoxes(d.footprint, other.footprint, 0))
        continue;
      const double ceiling = up ? other.high_mm : other.low_mm;
      if ((up ? ceiling <= under : ceiling >= under) || area(intersect(d.footprint, other.footprint)) < kOverlap)
        continue;
      under = ceiling;
    }
    const double left = std::abs(floor - under);
    d.dimensions.thickness = mm(left);
  }

  for (std::size_t k = 0; k < count; ++k) {
    Detail& d = found_[k];
    if (d.kind != DetailKind::Pocket && d.kind != DetailKind::OpenPocket) continue;
    if (!d.dimensions.thickness || toMm(*d.dimensions.thickness) < kThinnestSpring ||
        toMm(*d.dimensions.thickness) > kThickestSpring)
      continue;
    for (const Detail& cut : found_) {
      if (cut.kind == DetailKind::LockCut && nearBoxes(d.footprint, cut.footprint, kSpringReach) &&
          gapBetween(d.footprint, cut.footprint) < kSpringReach)
        d.kind = DetailKind::Thinning;
    }
  }
  joinStrokes();
}

/// Narrow shallow grooves that lie close together are one inscription or texture.
void Recogniser::joinStrokes() {
  std::vector<std::size_t> strokes;
  for (std::size_t k = 0; k < found_.size(); ++k) {
    const Detail& d = found_[k];
    if (!(recess(d.kind) || d.kind == DetailKind::CarvedFace) || d.through ||
        (d.side != Side::Outer && d.side != Side::Back))
      continue;
    const double depth = d.high_mm - d.low_mm;
    if (depth > toMm(options_.letteringDepth) || d.footprint.empty()) continue;
    // The width of a stroke, not of the letter: nothing is left of it when half of that is taken off all round.
    if (!offset(d.footprint, -0.5 * toMm(options_.letteringWidth)).empty()) continue;
    strokes.push_back(k);
  }
  std::vector<char> taken(found_.size(), 0);
  for (const std::size_t first : strokes) {
    if (taken[first]) continue;
    std::vector<std::size_t> word{first};
    taken[first] = 1;
    for (std::size_t n = 0; n < word.size(); ++n) {
      for (const std::size_t k : strokes) {
        if (taken[k] || found_[k].side != found_[first].side ||
            !nearBoxes(found_[word[n]].footprint, found_[k].footprint, kLetterReach))
          continue;
        if (gapBetween(found_[word[n]].footprint, found_[k].footprint) > kLetterReach) continue;
        taken[k] = 1;
        word.push_back(k);
      }
    }
    if (word.size() < kFewestStrokes) continue;
    Detail& d = found_[first];
    d.kind = DetailKind::Lettering;
    std::vector<Region> parts;
    double depth = 0;
    for (const std::size_t k : word) {
      Detail& stroke = found_[k];
      parts.push_back(stroke.footprint);
      depth = std::max(depth, stroke.high_mm - stroke.low_mm);
      d.low_mm = std::min(d.low_mm, stroke.low_mm);
      d.high_mm = std::max(d.high_mm, stroke.high_mm);
      if (k == first) continue;
      for (const part::FaceId f : stroke.faces) {
        owner_[static_cast<std::size_t>(f.index)] = static_cast<int>(first);
        d.faces.push_back(f);
      }
      stroke.faces.clear();
      stroke.footprint = {};
    }
    d.footprint = unite(parts);
    const PlanShape shape = measure(rectangle(chipledger::box(d.footprint).min, chipledger::box(d.footprint).max));
    Dimensions size;
    size.depth = mm(depth);
    size.length = mm(shape.length);
    size.width = mm(shape.width);
    size.thickness = d.dimensions.thickness;
    const double top = d.side == Side::Outer ? d.high_mm : d.low_mm;
    size.centre = plan_.partToPlate.applyBack({shape.centre.x, shape.centre.y, top});
    d.dimensions = size;
    for (Detail& other : found_) {
      if (other.parent >= 0 &&
          std::find(word.begin(), word.end(), static_cast<std::size_t>(other.parent)) != word.end())
        other.parent = static_cast<int>(first);
    }
    if (d.parent == static_cast<int>(first)) d.parent = -1;
  }
}

/// Thin floors and thin walls, once everything has its name.
void Recogniser::noteThinPlaces() {
  const auto tell = [&](const char* code, const std::string& text, const std::string& about) {
    out_.notes.push_back({NoteSeverity::Doubt, code, text, about});
  };
  std::vector<const Detail*> cuts;
  const Detail* outline = nullptr;
  for (const Detail& d : out_.list) {
    if (d.kind == DetailKind::Outline) outline = &d;
    const bool cut = recess(d.kind) || opening(d.kind);
    if (cut && d.side != Side::Other && !d.footprint.empty()) cuts.push_back(&d);
    if (recess(d.kind) && d.dimensions.thickness && toMm(*d.dimensions.thickness) <= kThinFloor + 1e-6) {
      tell("thin-floor",
           fmt::format("{} leaves a floor of {:.2f} mm: it may dish and chatter.", d.name,
                       toMm(*d.dimensions.thickness)),
           d.name);
    }
  }
  for (std::size_t a = 0; a < cuts.size(); ++a) {
    const Detail& d = *cuts[a];
    for (std::size_t b = a + 1; b < cuts.size(); ++b) {
      const Detail& other = *cuts[b];
      if (std::min(d.high_mm, other.high_mm) - std::max(d.low_mm, other.low_mm) < kSameHeight ||
          !nearBoxes(d.footprint, other.footprint, kThinWall))
        continue;
      const double wall = gapBetween(d.footprint, other.footprint);
      if (wall >= kThinWall || wall < kSameHeight || !intersect(d.footprint, other.footprint).empty()) continue;
      tell("thin-wall", fmt::format("Between {} and {} stands a wall of {:.2f} mm.", d.name, other.name, wall), d.name);
    }
    if (!outline || outline->footprint.empty() || d.kind == DetailKind::OpenPocket || d.kind == DetailKind::Step)
      continue;
    const double wall = gapBetween(d.footprint, outline->footprint);
    if (wall < kThinWall && wall > kSameHeight) {
      tell("thin-wall", fmt::format("Between {} and the outline stands a wall of {:.2f} mm.", d.name, wall), d.name);
    }
  }
}

}  // namespace chipledger::detail
