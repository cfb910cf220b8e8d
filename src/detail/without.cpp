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

void addChanges(const Details& details, int index, std::vector<field::Change>& changes) {
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
      changes.push_back(prism(field::Prism::Act::Add, d.footprint, d.low_mm, d.high_mm));
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
      if (details.list[d].parent == group[k] &&
          std::find(group.begin(), group.end(), static_cast<int>(d)) == group.end())
        group.push_back(static_cast<int>(d));
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
      const bool asked = std::find(group.begin(), group.end(), d) != group.end();
      if (!asked && goesThrough(details.list[static_cast<std::size_t>(d)])) continue;
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
  for (const int d : all) addChanges(details, d, changes);
  return changes;
}

std::vector<field::Change> without(const Details& details, int index) {
  return without(details, std::vector<int>{index});
}

}  // namespace chipledger::detail
