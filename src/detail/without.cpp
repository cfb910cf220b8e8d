#include "detail/without_rest.hpp"

#include <algorithm>

namespace chipledger::detail {
namespace {

/// mm: footprints are chords within 0.002 mm of the walls they stand for; a filling reaches this far into the metal
/// round it, and what is cut down that far beyond its foot, so that no sliver is left between them.
constexpr double kSeam = 0.006;
constexpr double kSameHeight = 0.01;  // mm

bool goesThrough(const Detail& d) {
  return d.through && (d.kind == DetailKind::Bore || d.kind == DetailKind::Thread || d.kind == DetailKind::Window ||
                       d.kind == DetailKind::Slot || d.kind == DetailKind::LockCut);
}

bool recess(const Detail& d) {
  switch (d.kind) {
    case DetailKind::Pocket:
    case DetailKind::OpenPocket:
    case DetailKind::Slot:
    case DetailKind::Step:
    case DetailKind::Thinning:
    case DetailKind::Lettering:
    case DetailKind::Bore:
    case DetailKind::Thread:
    case DetailKind::Seat:
      return !d.through;
    default:
      return false;
  }
}

bool plateSide(const Detail& d) { return d.side == Side::Outer || d.side == Side::Back || d.side == Side::Both; }

struct Piece {
  Region region;
  double low, high;
};

/// Cuts the pieces along a region; `inside` changes what lies in it.
template <class Inside, class Beside>
void split(std::vector<Piece>& list, const Region& along, const Inside& inside, const Beside& beside) {
  std::vector<Piece> next;
  for (Piece& p : list) {
    Region in = intersect(p.region, along);
    if (in.empty()) {
      next.push_back(std::move(p));
      continue;
    }
    Region out = subtract(p.region, along);
    if (!out.empty()) {
      Piece o{std::move(out), p.low, p.high};
      beside(o);
      next.push_back(std::move(o));
    }
    Piece i{std::move(in), p.low, p.high};
    inside(i);
    next.push_back(std::move(i));
  }
  std::erase_if(next, [](const Piece& p) { return p.high <= p.low; });
  list = std::move(next);
}
/// Where an island stands at its full height: its footprint reaches to the end of its foot.
Region fullHeight(const Detail& island) {
  const double root = island.dimensions.rootRadius ? toMm(*island.dimensions.rootRadius) : 0.0;
  return root > 0 ? offset(island.footprint, -root) : island.footprint;
}
const auto kAsItIs = [](Piece&) {};
const auto kNothing = [](Piece& p) { p.high = p.low; };

class Taker {
public:
  Taker(const Details& details, const std::vector<int>& group) : all_(details), group_(group) {}

  void take(int index) {
    const Detail& d = all_.list[static_cast<std::size_t>(index)];
    if (d.footprint.empty() || d.side == Side::Other || d.high_mm <= d.low_mm) return;
    if (d.kind == DetailKind::Island) {
      cutDown(d);
    } else if (d.kind == DetailKind::CarvedFace) {
      flatten(d);
    } else if (recess(d) || goesThrough(d) ||
               (d.through && (d.kind == DetailKind::OpenPocket || d.kind == DetailKind::Step ||
                              d.kind == DetailKind::Seat || d.kind == DetailKind::Pocket))) {
      fill(d);
    }
  }

  std::vector<field::Change> changes;

private:
  bool stays(const Detail& other) const {
    const int index = static_cast<int>(&other - all_.list.data());
    return plateSide(other) && !other.footprint.empty() &&
           std::find(group_.begin(), group_.end(), index) == group_.end();
  }

  void put(field::Prism::Act act, const std::vector<Piece>& list) {
    for (const Piece& p : list) {
      if (p.region.empty() || p.high <= p.low) continue;
      field::Change change;
      change.kind = field::Change::Kind::Prism;
      change.prism = {act, p.region, p.low, p.high};
      changes.push_back(std::move(change));
    }
  }

  /// Grown into the metal round it, but not beyond the outline.
  Region seamed(const Detail& d) const {
    Region grown = offset(d.footprint, kSeam);
    for (const Detail& o : all_.list) {
      if (o.kind == DetailKind::Outline && !o.footprint.empty())
        return intersect(grown, unite(o.footprint, d.footprint));
    }
    return grown;
  }

  /// Metal put back goes up to the floor of a recess that stays there, to the top of an island that stands there, and
  /// leaves the openings that stay; elsewhere up to where the detail began.
  void fill(const Detail& d) {
    std::vector<Piece> list{{seamed(d), d.low_mm, d.high_mm}};
    for (const Detail& o : all_.list) {
      if (&o == &d || o.kind != DetailKind::Island || !stays(o) || o.side == Side::Back) continue;
      const bool onBody = o.parent < 0 || !recess(all_.list[static_cast<std::size_t>(o.parent)]);
      const bool partly = onBody && !subtract(d.footprint, o.footprint).empty();
      split(
          list, fullHeight(o),
          [&](Piece& p) {
            if (p.high < o.low_mm + kSameHeight && p.high > o.low_mm - kSameHeight) p.high = o.high_mm;
          },
          [&](Piece& p) {
            if (partly && d.through) p.high = std::min(p.high, o.low_mm);
          });
    }
    for (const Detail& o : all_.list) {
      if (&o == &d || !recess(o) || !stays(o)) continue;
      // What it stands in keeps it as it is.
      if (o.side == Side::Outer)
        split(
            list, o.footprint, [&](Piece& p) { p.high = std::min(p.high, o.low_mm); }, kAsItIs);
      else if (o.side == Side::Back)
        split(
            list, o.footprint, [&](Piece& p) { p.low = std::max(p.low, o.high_mm); }, kAsItIs);
    }
    for (const Detail& o : all_.list) {
      if (&o != &d && goesThrough(o) && stays(o)) split(list, o.footprint, kNothing, kAsItIs);
    }
    put(field::Prism::Act::Add, list);
  }

  /// A carved face is filled up to its crest; what opens in it and stays opens there.
  void flatten(const Detail& d) {
    std::vector<Piece> list{{d.footprint, d.low_mm, d.high_mm}};
    for (const Detail& o : all_.list)
      if (&o != &d && stays(o) && (goesThrough(o) || (recess(o) && o.side == d.side)))
        split(list, o.footprint, kNothing, kAsItIs);
    put(field::Prism::Act::Add, list);
  }

  /// An island comes down to its foot; others that stay in the same place keep their own height.
  void cutDown(const Detail& d) {
    Region region = offset(d.footprint, kSeam);
    const bool inRecess = d.parent >= 0 && recess(all_.list[static_cast<std::size_t>(d.parent)]);
    if (inRecess) region = intersect(region, all_.list[static_cast<std::size_t>(d.parent)].footprint);
    std::vector<Piece> list{{std::move(region), d.low_mm, d.high_mm}};
    for (const Detail& o : all_.list) {
      if (&o == &d || o.kind != DetailKind::Island || !stays(o) || o.side != d.side || o.parent != d.parent) continue;
      split(
          list, fullHeight(o),
          [&](Piece& p) {
            if (d.side == Side::Back)
              p.high = std::min(p.high, o.low_mm);
            else
              p.low = std::max(p.low, o.high_mm);
          },
          kAsItIs);
    }
    put(field::Prism::Act::Remove, list);
  }

  const Details& all_;
  const std::vector<int>& group_;
};

}  // namespace

std::vector<int> withChildren(const Details& details, int index) {
  std::vector<int> group{index};
  for (std::size_t k = 0; k < group.size(); ++k) {
    for (std::size_t d = 0; d < details.list.size(); ++d) {
      if (details.list[d].parent != group[k] || goesThrough(details.list[d])) continue;
      if (std::find(group.begin(), group.end(), static_cast<int>(d)) == group.end()) {
        group.push_back(static_cast<int>(d));
      }
    }
  }
  std::sort(group.begin(), group.end());
  return group;
}

std::vector<field::Change> without(const Details& details, const std::vector<int>& group) {
  std::vector<int> all;
  for (const int index : group) {
    if (index < 0 || index >= static_cast<int>(details.list.size())) continue;
    for (const int d : withChildren(details, index)) {
      if (std::find(all.begin(), all.end(), d) == all.end()) all.push_back(d);
    }
  }
  return withoutRest(details, std::move(all), {});
}

std::vector<field::Change> withoutRest(const Details& details, std::vector<int> all, const std::vector<int>& taken) {
  // What sits in or on another goes before it: a pocket in an island is filled, then the island comes off; an island in
  // a pocket comes off, then the pocket is filled.
  const auto depth = [&](int d) {
    int n = 0;
    for (int p = details.list[static_cast<std::size_t>(d)].parent; p >= 0 && n < 100;
         p = details.list[static_cast<std::size_t>(p)].parent)
      ++n;
    return n;
  };
  std::stable_sort(all.begin(), all.end(), [&](int a, int b) {
    return std::pair{-depth(a), a} < std::pair{-depth(b), b};
  });
  Taker taker(details, all);
  for (const int d : all)
    if (std::find(taken.begin(), taken.end(), d) == taken.end()) taker.take(d);
  return std::move(taker.changes);
}

std::vector<field::Change> without(const Details& details, int index) {
  return without(details, std::vector<int>{index});
}

}  // namespace chipledger::detail
