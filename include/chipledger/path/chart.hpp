#pragma once
// A setup as plane regions: what must stay at each height, and the level floors to be finished. Setup frame, mm.
//
//   obstacle(z)   what the tip at height z must stay clear of: the part's shadow just above z, and the fills: holes
//   that
//                 are drilled and recesses that another setup cuts, each only below its own opening
//   floor at L    obstacle(just below L) without obstacle(just above L): the faces that look up at L
// Fits are decided on these exact regions, never on the grid.
#include <chipledger/geometry/curve.hpp>
#include <chipledger/geometry/polygon.hpp>
#include <chipledger/path/work.hpp>

#include <functional>
#include <map>
#include <vector>

namespace chipledger::path {

struct FloorLevel {
  double z_mm{};
  Region region;
};

/// A region closed for cutters below `below_mm`.
struct Fill {
  Region region;
  double below_mm{};
};

class Chart {
public:
  /// `shadow(z)`: union of sections at and above z. `levels`: heights of level faces.
  Chart(std::function<Region(double)> shadow, std::vector<double> levels, std::vector<Fill> fills, double high_mm);
  /// From a setup: fills are the served drilled bores (`drilled`: detail indices) and recesses served elsewhere.
  static Chart of(const Work& work, const std::vector<int>& drilled, std::vector<Fill> more = {});

  /// Further directions: of every floor only what still carries metal; `standing` gives the stock above a height.
  void keepFloors(const std::function<Region(double)>& standing);

  /// Sloped ground between two heights, in steps: terrace z holds what of it lies between z - step and z. Roughing
  /// clears them as if they were floors.
  void addTerraces(const Region& ground, double low_mm, double high_mm, double step_mm);

  const Region& obstacle(double z_mm) const;
  const std::vector<FloorLevel>& floors() const { return floors_; }  ///< falling heights
  /// Floors and terraces together, falling heights: what roughing clears.
  const std::vector<FloorLevel>& cleared() const { return cleared_.empty() ? floors_ : cleared_; }
  bool isTerrace(double z_mm) const;
  const Region& part() const { return part_; }        ///< obstacle just above the lowest point
  const Region& outline() const { return outline_; }  ///< the part with its windows filled
  double high() const { return high_; }

private:
  std::function<Region(double)> shadow_;
  std::vector<Fill> fills_;
  std::vector<FloorLevel> floors_, terraces_, cleared_;
  Region part_, outline_;
  double high_{};
  bool sloped_{};
  mutable std::map<long long, Region> known_;
};

/// Asks for the shadows that the charts of these setups will begin with, beside each other, so that they are known.
void prepareCharts(const std::vector<field::SetupView>& views);

/// Footprint of a detail in the setup frame.
Region footprintInSetup(const Work& work, const detail::Detail& detail);
/// Lowest and highest z of a detail in the setup frame.
std::pair<double, double> heightsInSetup(const Work& work, const detail::Detail& detail);
bool isServed(const Work& work, int detail);

/// Levels are asked for this much above: the view takes heights within 0.003 mm of a level for the level itself, so
/// twice that stays clear of it whatever the rounding.
inline constexpr double kAboveLevel_mm = 0.006;

}  // namespace chipledger::path
