// Whether a cutter would touch metal on a way.
#include <chipledger/field/removal.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

#include "field/cell_runs.hpp"
#include "field/disc_rows.hpp"
#include "field/way_heights.hpp"

namespace chipledger::field {

std::int32_t Removal::touch(const Segment& segment, const Profile& profile) const {
  return touchUpTo(std::numeric_limits<std::int32_t>::max(), segment, profile);
}

bool Removal::touches(const Segment& segment, const Profile& profile) const {
  return touchUpTo(1, segment, profile) > 0;
}

std::int32_t Removal::touchUpTo(std::int32_t enough, const Segment& segment, const Profile& profile) const {
  const GridSpec& grid = near_.spec;
  const double widest = profile.widest() - kTouch_mm;
  const bool level = std::abs(segment.end.z - segment.start.z) < 0.5e-3;
  const bool straight = segment.shape == Segment::Shape::Line;
  const double run =
      straight ? norm(segment.end.xy() - segment.start.xy()) : chipledger::sweep(segment) * radius(segment);
  const double step = level && straight ? std::max(run, grid.cell()) : grid.cell();
  const int n = std::max(1, static_cast<int>(std::ceil(run / step - 1e-9)));
  std::int32_t worst = 0;
  for (int k = 0; k < n; ++k) {
    const Vec3 from = pointAt(segment, static_cast<double>(k) / n),
               to = pointAt(segment, static_cast<double>(k + 1) / n);
    const SweptDisc swept(from.xy(), to.xy(), widest);
    const Piece piece(from, to);
    const std::int32_t tip = static_cast<std::int32_t>(std::floor(std::min(from.z, to.z) * 1000.0));
    const Span over = rows(grid, swept.low(), swept.high());
    double left, right;
    for (int j = over.first; j <= over.last; ++j) {
      if (!swept.at(grid.y0_mm + (j + 0.5) * grid.cell(), left, right)) continue;
      const Span now = columns(grid, left, right);
      if (now.empty()) continue;
      const std::int32_t* near = near_.cells.data() + grid.at(0, j);
      if (!anyAbove(near + now.first, now.last - now.first + 1, tip + worst)) continue;
      for (int i = now.first; i <= now.last; ++i) {
        if (near[i] <= tip + worst) continue;
        double d2;
        const double z = std::min(piece.closest(grid.centre(i, j), d2), piece.perLength2 > 0 ? 1e300 : to.z);
        const double under = profile.heightWithBody(std::sqrt(d2));
        if (under < 1e6) worst = std::max(worst, near[i] - nearestUm(z + under));
        if (worst >= enough) return worst;
      }
    }
  }
  return worst;
}

}  // namespace chipledger::field
