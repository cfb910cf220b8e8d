#pragma once
// Where the tip of one cutter may be over the finished part, as a height that can be asked for anywhere in plan.
// Setup frame, mm.
//
// Between cell centres: where the four around differ by less than kGentle_rise cells the tip's height is taken evenly
// between them (exact on a plane; a ball on an edge bulges over it by no more than h^2 (1 + slope^2) / 8R along the
// normal); where they differ by more, the highest of the four counts, so that a wall is never cut short.
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
  TipMap(const field::HeightField& target, const field::Profile& profile, const Box2& place);
  /// -infinity where nothing limits the tip.
  double at(Vec2 p) const;
  /// Along a straight way: a point wherever it crosses from four cell centres to the next four, at the higher of the
  /// two heights there. A straight line from point to point is then nowhere below the highest of a steep four. z is
  /// -infinity where nothing limits the tip.
  std::vector<Vec3> along(Vec2 from, Vec2 to) const;
  const field::HeightField& tips() const { return tips_; }

private:
  double within(int i, int j, Vec2 p) const;

  field::HeightField tips_;
};
inline constexpr double kGentle_rise = 1.7;  ///< of a cell: some 60 degrees

/// What of the part stands over a level near a wall, for passes along it: the tip's height at one place from the cells
/// under the cutter there, so that no cell of the wall that the cutter only comes near lifts it. Never below the level.
class StandsOver {
public:
  StandsOver(const field::HeightField& target, const Box2& place, double level_mm);
  double tip(const field::Profile& profile, Vec2 place) const;
  double cell() const { return spec_.cell(); }

private:
  field::GridSpec spec_;
  int firstRow_{};
  double level_mm_{};
  struct Cell {
    int column{};
    std::int32_t height{};
  };
  std::vector<std::vector<Cell>> rows_;
};

/// The cells of a mask (1: in) as a region: their outer borders, smoothed to half a cell.
Region regionOfCells(const field::GridSpec& spec, const std::vector<std::uint8_t>& mask);
/// The part of a grid over a rectangle; no metal where the rectangle goes beyond the grid (the stock of a side ends at
/// the grid's border, the cutter need not).
field::HeightField over(const field::HeightField& field, const Box2& rectangle);

}  // namespace chipledger::path
