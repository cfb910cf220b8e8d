#include <chipledger/detail/treads.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::detail {

void appendSlope(const Slope& slope, field::Prism::Act act, double at_mm, bool up,
                 std::vector<field::Change>& changes) {
  constexpr double kLeastHeight_mm = 0.0005;  // half a thousandth is nothing
  const int treads = std::max(1, static_cast<int>(std::ceil(slope.width_mm / kTread_mm - 1e-9)));
  const auto border = [&](double distance) {
    return distance == 0.0 ? slope.wall : offset(slope.wall, slope.outwards ? distance : -distance);
  };
  for (int k = 0; k < treads; ++k) {
    const double from = slope.width_mm * k / treads, to = slope.width_mm * (k + 1) / treads;
    const double height = slope.height(0.5 * (from + to));
    if (height < kLeastHeight_mm) continue;
    const Region near = border(std::max(0.0, from - kTreadOverlap_mm)), far = border(to);
    field::Change change;
    change.kind = field::Change::Kind::Prism;
    change.prism = {act, slope.outwards ? subtract(far, near) : subtract(near, far), up ? at_mm : at_mm - height,
                    up ? at_mm + height : at_mm};
    if (!change.prism.region.empty()) changes.push_back(std::move(change));
  }
}

void appendFillet(const Region& wall, double radius_mm, bool outwards, double floor_mm, bool up,
                  std::vector<field::Change>& changes) {
  const double r = radius_mm;
  const auto height = [r](double x) { return r - std::sqrt(std::max(0.0, r * r - (r - x) * (r - x))); };
  appendSlope({wall, r, outwards, height}, field::Prism::Act::Add, floor_mm, up, changes);
}

}  // namespace chipledger::detail
