#pragma once
// All sweeps of a walk over some rows of the grid. Rows do not know of each other, so bands of rows run side by side;
// what they book are whole numbers, so their sums do not depend on who ran when.
#include <array>
#include <cstdint>
#include <vector>

#include "field/disc_rows.hpp"
#include "field/removal_step.hpp"

namespace chipledger::field {

class Removal::Band {
public:
  struct Booked {
    int segment{};
    std::size_t place{};  ///< detail + 1
    std::int64_t taken{};
  };

  static constexpr int kRows = 32;

  Band(Removal& owner, const Profile& profile, int firstRow, std::size_t steps);
  void run(const std::vector<Sweep>& sweeps);

  std::vector<Step> steps;
  std::vector<Booked> booked;
  std::vector<std::size_t> gouged;  ///< cells
  bool suspects{}, checked{};

private:
  /// Half widths of a disc on the band's rows; negative where the row misses it.
  struct Disc {
    Vec2 centre;
    std::array<double, kRows> half{};
    bool known{};
  };
  void measure(Disc& disc, Vec2 centre) const;
  double rowY(int row) const { return grid_.y0_mm + (row + 0.5) * grid_.cell(); }
  void level(const Sweep& sweep);
  void check(const Sweep& sweep);
  void shaped(const Sweep& sweep);
  void take(int row, int first, int last, const Sweep& sweep);
  void takeBlock(int row, int first, int count, const Sweep& sweep);
  void takeOne(int row, int column, std::int32_t height, Step& step);
  void checkSpan(int row, int first, int last, std::int32_t height, Step& step);
  void bookTo(std::size_t place, std::int64_t taken);
  void flush(int segment);

  Removal& owner_;
  const GridSpec& grid_;
  const Profile& profile_;
  int firstRow_, lastRow_;
  Disc last_, next_;
  std::vector<std::int64_t> byDetail_;
  std::vector<std::size_t> touched_;
};

}  // namespace chipledger::field
