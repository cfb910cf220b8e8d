#pragma once
// Where the tip of one cutter may be over the finished part, as a height that can be asked for anywhere in plan.
// Setup frame, mm. Between cells the highest of the four around counts, so that a wall is never cut short.
#include <chipledger/field/grid.hpp>
#include <chipledger/field/profile.hpp>
#include <chipledger/geometry/polygon.hpp>

#include <cstdint>
#include <limits>
#include <vector>

namespace chipledger::path {

class TipMap {
public:
  /// Over the rectangle and the cutter's radius round it. Of the body, what can touch nothing there is left out.
  TipMap(const field::HeightField& target, const field::Profile& profile, const Box2& over);
  /// -infinity where nothing limits the tip.
  double at(Vec2 p) const;
  const field::HeightField& tips() const { return tips_; }

private:
  field::HeightField tips_;
};

/// The cells of a mask (1: in) as a region: their outer borders, smoothed to half a cell.
Region regionOfCells(const field::GridSpec& spec, const std::vector<std::uint8_t>& mask);
/// The part of a grid over a rectangle, clipped to the grid.
field::HeightField cropped(const field::HeightField& field, const Box2& over);

}  // namespace chipledger::path
