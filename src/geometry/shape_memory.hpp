#pragma once
// Regions that were worked out before, by content: a plan asks for the same offset of the same section level after
// level, cutter after cutter, and once more for every detail that is taken away. An answer is the same whether it is
// remembered or made anew, so neither the order of questions nor the number of threads shows in results. Two
// generations, each bounded: what was not asked for in a whole generation is dropped.
#include <chipledger/geometry/polygon.hpp>

#include <cstdint>
#include <functional>
#include <initializer_list>

namespace chipledger {

/// 128 bits over every coordinate: two regions of one key are the same region.
struct ShapeKey {
  std::uint64_t high{}, low{};
  bool operator<(const ShapeKey& o) const { return high != o.high ? high < o.high : low < o.low; }
};
ShapeKey shapeKey(std::uint64_t operation, std::initializer_list<const Region*> regions,
                  std::initializer_list<double> numbers = {});

/// The region of this key; made when it is not known.
Region remembered(const ShapeKey& key, const std::function<Region()>& make);

}  // namespace chipledger
