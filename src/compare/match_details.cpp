#include <chipledger/compare/compare.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>

namespace chipledger::compare {
namespace {

using detail::Detail;

constexpr double kSame_mm = 0.005;     ///< dimensions a drawing would call equal
constexpr double kFarthest_mm = 15.0;  ///< a detail that went further is another one
constexpr double kSizeWeight = 2.0;    ///< a millimetre of size tells more than a millimetre of place

/// How the other part lies: its plan coordinates times these, its sides exchanged.
struct Pose {
  double x{1}, y{1};
  bool over{};
};
constexpr Pose kPoses[] = {{1, 1, false}, {1, -1, true}, {-1, 1, true}, {-1, -1, false}};

Vec2 placeOf(const Detail& d, Pose pose = {}) {
  const Vec2 p = d.footprint.empty() ? Vec2{} : box(d.footprint).centre();
  return {pose.x * p.x, pose.y * p.y};
}
detail::Side sideOf(const Detail& d, Pose pose) {
  using detail::Side;
  if (!pose.over) return d.side;
  return d.side == Side::Outer ? Side::Back : d.side == Side::Back ? Side::Outer : d.side;
}
double sizeOf(const Detail& d) { return d.footprint.empty() ? 0.0 : std::sqrt(std::max(0.0, area(d.footprint))); }

void compareLength(const char* name, const std::optional<Length>& a, const std::optional<Length>& b,
                   std::string& text) {
  if (!a || !b || std::abs(toMm(*a) - toMm(*b)) < kSame_mm) return;
  if (!text.empty()) text += "; ";
  text += fmt::format("{} {:.2f} -> {:.2f} mm", name, toMm(*a), toMm(*b));
}

DetailChange changeOf(const Detail& a, const Detail& b, Pose pose) {
  DetailChange change;
  change.before = a.name;
  change.after = b.name;
  const detail::Dimensions &p = a.dimensions, &q = b.dimensions;
  compareLength("height", p.height, q.height, change.what);
  compareLength("depth", p.depth, q.depth, change.what);
  compareLength("diameter", p.diameter, q.diameter, change.what);
  compareLength("length", p.length, q.length, change.what);
  compareLength("width", p.width, q.width, change.what);
  compareLength("inside radius", p.cornerRadius, q.cornerRadius, change.what);
  compareLength("foot radius", p.rootRadius, q.rootRadius, change.what);
  compareLength("thickness", p.thickness, q.thickness, change.what);
  compareLength("counterbore", p.counterDiameter, q.counterDiameter, change.what);
  const double moved = norm(placeOf(a) - placeOf(b, pose));
  change.fate = change.what.empty() ? Fate::Same : Fate::Changed;
  if (moved >= kSame_mm) {
    if (change.fate == Fate::Same) change.fate = Fate::Moved;
    change.what += fmt::format("{}moved {:.2f} mm", change.what.empty() ? "" : "; ", moved);
  }
  return change;
}

/// Partners of one pose; `misfit` adds up how badly they fit, and what has none.
struct Pairing {
  std::vector<int> partner;  ///< per detail of `before`; -1: none
  std::vector<char> taken;   ///< per detail of `after`
  double misfit{};
};

Pairing paired(const detail::Details& before, const detail::Details& after, Pose pose) {
  std::vector<std::tuple<double, std::size_t, std::size_t>> pairs;
  for (std::size_t i = 0; i < before.list.size(); ++i)
    for (std::size_t j = 0; j < after.list.size(); ++j) {
      const Detail &a = before.list[i], &b = after.list[j];
      if (a.kind != b.kind || a.side != sideOf(b, pose)) continue;
      const double away = norm(placeOf(a) - placeOf(b, pose));
      if (away > kFarthest_mm) continue;
      pairs.emplace_back(away + kSizeWeight * std::abs(sizeOf(a) - sizeOf(b)), i, j);
    }
  std::sort(pairs.begin(), pairs.end());
  Pairing p{std::vector<int>(before.list.size(), -1), std::vector<char>(after.list.size(), 0),
            kFarthest_mm * static_cast<double>(before.list.size() + after.list.size())};
  for (const auto& [badness, i, j] : pairs) {
    if (p.partner[i] >= 0 || p.taken[j] != 0) continue;
    p.partner[i] = static_cast<int>(j);
    p.taken[j] = 1;
    p.misfit += std::min(badness, 2.0 * kFarthest_mm) - 2.0 * kFarthest_mm;
  }
  return p;
}

}  // namespace

const char* word(Fate fate) {
  switch (fate) {
    case Fate::Same:
      return "same";
    case Fate::Changed:
      return "changed";
    case Fate::Moved:
      return "moved";
    case Fate::Added:
      return "added";
    case Fate::Gone:
      return "gone";
  }
  return "";
}

Matching matchDetails(const detail::Details& before, const detail::Details& after) {
  constexpr double kBetter = 1e-3;  // symmetrical parts fit two ways: as they lie, then
  Pose pose;
  Pairing best = paired(before, after, pose);
  for (const Pose& other : kPoses) {
    Pairing p = paired(before, after, other);
    if (p.misfit > best.misfit - kBetter) continue;
    best = std::move(p);
    pose = other;
  }
  Matching out;
  out.turnedOver = pose.over;
  for (std::size_t i = 0; i < before.list.size(); ++i) {
    if (best.partner[i] >= 0) {
      out.changes.push_back(changeOf(before.list[i], after.list[static_cast<std::size_t>(best.partner[i])], pose));
    } else {
      out.changes.push_back({Fate::Gone, before.list[i].name, "", "", {}, {}});
    }
  }
  for (std::size_t j = 0; j < after.list.size(); ++j)
    if (best.taken[j] == 0) out.changes.push_back({Fate::Added, "", after.list[j].name, "", {}, {}});
  return out;
}

}  // namespace chipledger::compare
