#include <chipledger/detail/detail.hpp>

namespace chipledger::detail {
namespace {

field::Change prism(field::Prism::Act act, const Region& region, double low, double high) {
  field::Change change;
  change.kind = field::Change::Kind::Prism;
  change.prism = {act, region, low, high};
  return change;
}

bool goesThrough(const Detail& d) {
  return d.through && (d.kind == DetailKind::Bore || d.kind == DetailKind::Thread || d.kind == DetailKind::Window ||
                       d.kind == DetailKind::Slot || d.kind == DetailKind::LockCut);
}

bool recess(const Detail& d) {
  return !d.through &&
         (d.kind == DetailKind::Pocket || d.kind == DetailKind::OpenPocket || d.kind == DetailKind::Slot ||
          d.kind == DetailKind::Step || d.kind == DetailKind::Thinning || d.kind == DetailKind::Lettering);
}

/// Metal put back into a recess leaves the openings that stay: a bore in a pocket's floor then starts at the body.
void fillRecess(const Details& details, const Detail& d, const std::vector<int>& group,
                std::vector<field::Change>& changes) {
  Region region = d.footprint;
  for (std::size_t k = 0; k < details.list.size(); ++k) {
    const Detail& other = details.list[k];
    if (!goesThrough(other) || other.side == Side::Other ||
        std::find(group.begin(), group.end(), static_cast<int>(k)) != group.end())
      continue;
    region = subtract(region, other.footprint);
  }
  if (!region.empty()) changes.push_back(prism(field::Prism::Act::Add, region, d.low_mm, d.high_mm));
}

/// Metal put back into an opening goes up to the floor of a recess that stays over it, elsewhere to the body.
void fillOpening(const Details& details, const Detail& d, const std::vector<int>& group,
                 std::vector<field::Change>& changes) {
  struct Piece {
    Region region;
    double low, high;
  };
  std::vector<Piece> list{{d.footprint, d.low_mm, d.high_mm}};
  for (std::size_t k = 0; k < details.list.size(); ++k) {
    const Detail& other = details.list[k];
    if (!recess(other) || (other.side != Side::Outer && other.side != Side::Back) ||
        std::find(group.begin(), group.end(), static_cast<int>(k)) != group.end())
      continue;
    std::vector<Piece> next;
    for (const Piece& p : list) {
      const Region under = intersect(p.region, other.footprint);
      if (under.empty()) {
        next.push_back(p);
        continue;
      }
      const Region beside = subtract(p.region, other.footprint);
      if (!beside.empty()) next.push_back({beside, p.low, p.high});
      if (other.side == Side::Outer)
        next.push_back({under, p.low, std::min(p.high, other.low_mm)});
      else
        next.push_back({under, std::max(p.low, other.high_mm), p.high});
    }
    list = std::move(next);
  }
  for (const Piece& p : list) {
    if (p.high > p.low) changes.push_back(prism(field::Prism::Act::Add, p.region, p.low, p.high));
  }
}

void addChanges(const Details& details, int index, const std::vector<int>& group, std::vector<field::Change>& changes) {
  const Detail& d = details.list[static_cast<std::size_t>(index)];
  if (d.footprint.empty() || d.side == Side::Other || d.high_mm <= d.low_mm) return;
  switch (d.kind) {
    case DetailKind::Island:
      changes.push_back(prism(field::Prism::Act::Remove, d.footprint, d.low_mm, d.high_mm));
      break;
    case DetailKind::Window:
    case DetailKind::LockCut:
    case DetailKind::Slot:
    case DetailKind::OpenPocket:
    case DetailKind::Step:
    case DetailKind::Pocket:
    case DetailKind::Thinning:
    case DetailKind::Lettering:
    case DetailKind::Bore:
    case DetailKind::Thread:
    case DetailKind::Seat:
      if (recess(d))
        fillRecess(details, d, group, changes);
      else
        fillOpening(details, d, group, changes);
      break;
    case DetailKind::CarvedFace:
      changes.push_back(prism(field::Prism::Act::Add, d.footprint, d.low_mm, d.high_mm));
      break;
    case DetailKind::Outline:
    case DetailKind::Body:
    case DetailKind::Chamfer:
    case DetailKind::Round:
    case DetailKind::SideFace:
    case DetailKind::Undercut:
      break;
  }
}

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
  std::vector<field::Change> changes;
  for (const int d : all) addChanges(details, d, all, changes);
  return changes;
}

std::vector<field::Change> without(const Details& details, int index) {
  return without(details, std::vector<int>{index});
}

}  // namespace chipledger::detail
