#pragma once
// Carved faces seen from the spindle: parallel passes of a ball cutter, the tip riding on the surface.
//   step from a cusp height h:  s = 2 sqrt(2 R h - h^2)   (exact for a level face; the published stepover tables agree)
// The tip's height comes from the field of lowest tip positions, so that walls beside the face are never touched.
#include <chipledger/path/pass.hpp>
#include <chipledger/path/tip_map.hpp>
#include <chipledger/path/work.hpp>

#include <vector>

namespace chipledger::path {

/// What of the part is neither level nor a wall, as this setup sees it.
struct Ground {
  Region region;
  std::vector<std::uint8_t> cells;  ///< on the target's grid; empty when there is none
  double low_mm{}, high_mm{};
  bool empty() const { return region.empty(); }
};
/// `detail`: detail per cell; cells of details in `apart` (drilled, or cut by other cutters) are left out.
Ground groundOf(const Work& work, const field::HeightField& target, const field::Grid<std::int32_t>& detail,
                const std::vector<int>& apart);

double cuspStep(double radius_mm, double cusp_mm);

struct CarveTask {
  Region region;  ///< where the tip's axis works
  const TipMap* tips{};
  double radius_mm{}, step_mm{};
  double raise_mm{};  ///< metal that this pass leaves over the face
  double sample_mm{0.1};
};
/// To and fro along the longer side of the region; pieces side by side are joined by links on the surface.
std::vector<Pass> carvePasses(const CarveTask& task);
/// A pass put onto the surface, with points as TipMap::along gives them.
Pass laidOn(const Pass& plan, const TipMap& tips, double raise_mm);
/// A pass along a wall put onto what lies at its foot: a point every cell at the tip's height there, at the higher of
/// both where it climbs along another wall.
Pass laidBeside(const Pass& plan, const StandsOver& over, const field::Profile& profile, double raise_mm);

}  // namespace chipledger::path
