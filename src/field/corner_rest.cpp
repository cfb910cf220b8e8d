#include <chipledger/field/corner_rest.hpp>

namespace chipledger::field {

Region restOf(const Region& freeRegion, double cutterRadius_mm, double least_mm) {
  const Region opened = offset(offset(freeRegion, -cutterRadius_mm), cutterRadius_mm);
  const Region rest = subtract(freeRegion, opened);
  if (least_mm <= 0) return rest;
  // Where the opening touches a wall, rounding leaves slivers: keep only pieces that survive a thin offset.
  const Region core = offset(rest, -least_mm / 2);
  Region kept;
  for (const Region& piece : pieces(rest)) {
    if (intersect(piece, core).empty()) continue;
    kept.rings.insert(kept.rings.end(), piece.rings.begin(), piece.rings.end());
  }
  return kept;
}

}  // namespace chipledger::field
