#include "detail/stretch.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

namespace chipledger::detail {
namespace {

constexpr double kUpright = 1e-3;      // |z| of the normal of a wall
constexpr double kSameEnd_mm = 0.003;  // a face that reaches this near to the foot stands on it
constexpr double kClear_mm = 0.01;     // between the slice and the floors beside it, so that they stay apart
constexpr double kFarBelow_mm = 1.0;   // under everything
constexpr double kHair_mm = 1e-6;      // the rounding of sums of heights
constexpr double kLeastPiece_mm2 = 1e-3;

/// What a recess on the outer side reaches down to, or one on the back up to.
struct Reach {
  Side side{Side::Outer};
  double z_mm{};
};
std::vector<Reach> reachesOf(const Detail& d) {
  std::vector<Reach> found;
  const bool bore = d.kind == DetailKind::Bore || d.kind == DetailKind::Thread || d.kind == DetailKind::Seat;
  switch (d.kind) {
    case DetailKind::Outline:
    case DetailKind::Body:
    case DetailKind::Island:
    case DetailKind::SideFace:
    case DetailKind::Undercut:
      return found;
    case DetailKind::Pocket:
    case DetailKind::OpenPocket:
    case DetailKind::Window:
    case DetailKind::Slot:
    case DetailKind::LockCut:
    case DetailKind::Thinning:
    case DetailKind::Bore:
    case DetailKind::Thread:
    case DetailKind::Seat:
    case DetailKind::Step:
    case DetailKind::Chamfer:
    case DetailKind::Round:
    case DetailKind::Lettering:
    case DetailKind::CarvedFace:
      break;
  }
  if (!d.through) {
    if (d.side == Side::Outer) found.push_back({Side::Outer, d.low_mm});
    if (d.side == Side::Back) found.push_back({Side::Back, d.high_mm});
  } else if (bore && d.dimensions.counterDepth) {
    const double depth = toMm(*d.dimensions.counterDepth);
    if (d.side != Side::Back) found.push_back({Side::Outer, d.high_mm - depth});
    if (d.side != Side::Outer) found.push_back({Side::Back, d.low_mm + depth});
  }
  return found;
}

field::Change lift(Region region, double above, double by) {
  field::Change change;
  change.kind = field::Change::Kind::Lift;
  change.lift = {std::move(region), above, by};
  return change;
}

}  // namespace

std::vector<int> family(const Details& details, int index) {
  std::vector<int> all{index};
  for (std::size_t k = 0; k < all.size(); ++k)
    for (std::size_t d = 0; d < details.list.size(); ++d)
      if (details.list[d].parent == all[k] && std::find(all.begin(), all.end(), static_cast<int>(d)) == all.end())
        all.push_back(static_cast<int>(d));
  std::sort(all.begin(), all.end());
  return all;
}

WallEnds wallEnds(const Standing& part, int index) {
  const Detail& d = part.details->list[static_cast<std::size_t>(index)];
  const part::Mesh& mesh = part.body->mesh;
  struct Span {
    double low{1e300}, high{-1e300};
    bool upright{true}, level{true};
  };
  std::vector<Span> spans;
  double low = 1e300, high = -1e300;
  for (const part::FaceId id : d.faces) {
    Span span;
    const auto begin = std::lower_bound(mesh.triangleFace.begin(), mesh.triangleFace.end(), id.index);
    const auto end = std::upper_bound(begin, mesh.triangleFace.end(), id.index);
    for (auto t = begin; t != end; ++t)
      for (const std::int32_t p : mesh.triangles[static_cast<std::size_t>(t - mesh.triangleFace.begin())]) {
        const double z = part.partToPlate.apply(mesh.points[static_cast<std::size_t>(p)]).z;
        span.low = std::min(span.low, z);
        span.high = std::max(span.high, z);
      }
    if (begin == end) continue;
    for (const part::FaceSample& s : part.body->faces[static_cast<std::size_t>(id.index)].samples)
      span.upright = span.upright && std::abs(part.partToPlate.turn(s.normal).z) < kUpright;
    span.level = span.high - span.low < kSameEnd_mm;
    low = std::min(low, span.low);
    high = std::max(high, span.high);
    spans.push_back(span);
  }
  WallEnds ends;
  // An island stands on its foot, a recess ends at its floor: the fillet is at the closed end.
  const bool filletBelow = d.side != Side::Back;
  for (const Span& s : spans) {
    if (s.upright || s.level) continue;
    const bool atLow = s.low<low + kSameEnd_mm, atHigh = s.high> high - kSameEnd_mm;
    const bool atClosedEnd = filletBelow ? atLow && !atHigh : atHigh && !atLow;
    double& here = atClosedEnd ? ends.fillet_mm : ends.edge_mm;
    here = std::max(here, s.high - s.low);
  }
  // Edge breaks are details of their own.
  for (const Detail& other : part.details->list)
    if (other.parent == index &&
        (other.kind == DetailKind::Chamfer || other.kind == DetailKind::Round || other.kind == DetailKind::CarvedFace))
      ends.edge_mm = std::max(ends.edge_mm, other.high_mm - other.low_mm);
  return ends;
}

std::vector<Layer> layers(const Details& details, const Region& region, double low_mm, double high_mm,
                          const std::vector<int>& skip) {
  std::vector<Layer> list{{region, low_mm, high_mm, "the back", "the outer side"}};
  for (std::size_t k = 0; k < details.list.size(); ++k) {
    const Detail& d = details.list[k];
    if (d.footprint.empty() || std::find(skip.begin(), skip.end(), static_cast<int>(k)) != skip.end()) continue;
    for (const Reach& reach : reachesOf(d)) {
      std::vector<Layer> next;
      for (Layer& piece : list) {
        const bool cuts = reach.side == Side::Outer ? reach.z_mm < piece.high_mm : reach.z_mm > piece.low_mm;
        const Region under = cuts ? intersect(piece.region, d.footprint) : Region{};
        if (area(under) < kLeastPiece_mm2) {
          next.push_back(std::move(piece));
          continue;
        }
        const Region beside = subtract(piece.region, d.footprint);
        Layer cut = piece;
        cut.region = under;
        if (reach.side == Side::Outer)
          cut.high_mm = reach.z_mm, cut.highest = d.name;
        else
          cut.low_mm = reach.z_mm, cut.lowest = d.name;
        next.push_back(std::move(cut));
        if (area(beside) >= kLeastPiece_mm2) {
          piece.region = beside;
          next.push_back(std::move(piece));
        }
      }
      list = std::move(next);
    }
  }
  return list;
}

Room roomBetween(const std::vector<Layer>& layers) {
  Room room{1e300, "", ""};
  for (const Layer& l : layers)
    if (l.high_mm - l.low_mm - kLeastFloor_mm < room.by_mm)
      room = {l.high_mm - l.low_mm - kLeastFloor_mm, l.lowest, l.highest};
  return room;
}

Result<std::vector<field::Change>> moveSide(Side side, const std::vector<Layer>& all, double by_mm, double leave_mm) {
  std::vector<field::Change> changes;
  if (by_mm == 0.0 || all.empty()) return changes;
  // Towards the other side the slice is as thick as the move; away from it a single section is drawn out.
  const bool towards = (side == Side::Outer) == (by_mm < 0);
  const double slice = towards ? std::abs(by_mm) : 0.0;
  struct Cut {
    double from, to;  // where the upper end of the slice may lie
    const Layer* layer;
  };
  std::vector<Cut> cuts;
  for (const Layer& l : all) {
    const double clear = std::min(kClear_mm, std::max(0.0, (l.high_mm - l.low_mm - slice) / 4));
    if (l.high_mm - l.low_mm - slice < (towards ? leave_mm : 0.0) + kHair_mm * (towards ? -1.0 : 1.0))
      return fault(
          FaultCode::Usage, "",
          fmt::format("Only {:.2f} mm of metal lie between {} and {}.", l.high_mm - l.low_mm, l.lowest, l.highest), "");
    cuts.push_back({l.low_mm + slice + clear, l.high_mm - clear, &l});
  }
  // The fewest heights that serve all pieces: by the lowest upper ends.
  std::stable_sort(cuts.begin(), cuts.end(), [](const Cut& a, const Cut& b) { return a.to < b.to; });
  std::vector<char> done(cuts.size(), 0);
  std::vector<std::pair<double, Region>> slices;
  for (std::size_t i = 0; i < cuts.size(); ++i) {
    if (done[i] != 0) continue;
    std::vector<Region> regions;
    double from = cuts[i].from;
    for (std::size_t k = i; k < cuts.size(); ++k)
      if (done[k] == 0 && cuts[k].from <= cuts[i].to) {
        done[k] = 1;
        from = std::max(from, cuts[k].from);
        regions.push_back(cuts[k].layer->region);
      }
    slices.emplace_back(0.5 * (from + cuts[i].to), unite(regions));
  }
  if (side == Side::Outer) {
    for (auto& [above, region] : slices) changes.push_back(lift(std::move(region), above, by_mm));
    return changes;
  }
  // Seen from below: all moves, then the outer side moves back.
  for (auto& [above, region] : slices) {
    double under = all.front().low_mm;
    for (const Layer& l : all) under = std::min(under, l.low_mm);
    changes.push_back(lift(region, under - std::abs(by_mm) - kFarBelow_mm, by_mm));
    changes.push_back(lift(std::move(region), above + by_mm, -by_mm));
  }
  return changes;
}

void moveDetails(Details& details, const std::vector<int>& which, Side side, double by_mm) {
  for (const int index : which) {
    Detail& d = details.list[static_cast<std::size_t>(index)];
    if (d.through) {
      (side == Side::Outer ? d.high_mm : d.low_mm) += by_mm;
      if (d.dimensions.depth) d.dimensions.depth = mm(d.high_mm - d.low_mm);
    } else if (d.side == side) {
      d.low_mm += by_mm;
      d.high_mm += by_mm;
    } else if (d.side == Side::Both) {
      (side == Side::Outer ? d.high_mm : d.low_mm) += by_mm;
    }
  }
}

}  // namespace chipledger::detail
