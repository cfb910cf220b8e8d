#include <chipledger/route/crossing.hpp>

#include <algorithm>

namespace chipledger::route {

std::optional<double> perOwnerHour(Money left, double ownerHours) {
  if (!(ownerHours > 0.0)) return std::nullopt;
  return toUnits(left) / ownerHours;
}

std::optional<double> perOwnerHour(const CustomHour& custom) {
  return perOwnerHour(custom.price - custom.cost - custom.overhead, custom.hours);
}

namespace {

/// Least size from which `holds` is true for all larger ones of the curve.
template <class Holds>
std::optional<int> heldFrom(const std::vector<CurvePoint>& curve, Holds holds) {
  std::optional<int> from;
  for (auto point = curve.rbegin(); point != curve.rend() && holds(*point); ++point) from = point->sets;
  return from;
}

}  // namespace

Crossing findCrossing(const std::vector<CurvePoint>& curve, double customPerHour) {
  Crossing crossing;
  if (!curve.empty()) crossing.searchedTo = curve.back().sets;
  crossing.cash = heldFrom(curve, [](const CurvePoint& p) { return p.left >= Money{}; });
  crossing.perHour = heldFrom(curve, [&](const CurvePoint& p) {
    const auto hour = perOwnerHour(p.left, p.ownerHours);
    return hour ? *hour >= customPerHour : p.left >= Money{};
  });
  return crossing;
}

std::optional<int> breakEven(Money fixed, Money margin) {
  if (margin <= Money{}) return std::nullopt;
  if (fixed <= Money{}) return 0;
  return static_cast<int>((fixed.micros + margin.micros - 1) / margin.micros);
}

std::vector<int> curveSizes(int largest, const std::vector<int>& always) {
  struct Stretch {
    int upTo, step;
  };
  // Where the curve bends it is drawn finely.
  const Stretch stretches[] = {{20, 1}, {50, 2}, {100, 5}, {200, 10}, {500, 25}, {largest, 100}};
  std::vector<int> sizes;
  int n = 1;
  for (const Stretch& stretch : stretches)
    for (; n <= std::min(stretch.upTo, largest); n += stretch.step) sizes.push_back(n);
  for (int size : always)
    if (size >= 1) sizes.push_back(size);
  std::sort(sizes.begin(), sizes.end());
  sizes.erase(std::unique(sizes.begin(), sizes.end()), sizes.end());
  return sizes;
}

}  // namespace chipledger::route
