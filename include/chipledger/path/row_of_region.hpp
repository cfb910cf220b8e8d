#pragma once
// One straight row through a region: what of it lies inside, for one look at the border a row.
#include <chipledger/geometry/polygon.hpp>

#include <algorithm>
#include <vector>

namespace chipledger::path {

class RowOfRegion {
public:
  enum class Along { X, Y };

  /// The row at y = `at`, or x = `at` along y. Even-odd, as `contains`.
  RowOfRegion(const Region& region, double at, Along along = Along::X) {
    const bool x = along == Along::X;
    for (const Ring& ring : region.rings)
      for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
        const Vec2 a = x ? ring[i] : Vec2{ring[i].y, ring[i].x}, b = x ? ring[j] : Vec2{ring[j].y, ring[j].x};
        if ((a.y > at) != (b.y > at)) crossings_.push_back((b.x - a.x) * (at - a.y) / (b.y - a.y) + a.x);
      }
    std::sort(crossings_.begin(), crossings_.end());
  }
  /// The answer of `contains`, to the last bit.
  bool holds(double place) const {
    return (crossings_.end() - std::upper_bound(crossings_.begin(), crossings_.end(), place)) % 2 != 0;
  }
  /// Calls f(from, to) for each stretch inside, in rising order.
  template <class F>
  void forEachStretch(F f) const {
    for (std::size_t k = 0; k + 1 < crossings_.size(); k += 2) f(crossings_[k], crossings_[k + 1]);
  }

private:
  std::vector<double> crossings_;
};

}  // namespace chipledger::path
