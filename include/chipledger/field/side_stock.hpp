#pragma once
// What is left of the blank, seen from a direction that is no plate side.
//   metal at p  <=>  the plate column over p holds it, and no further setup has cut above p's place in its own field
// Every earlier setup is kept as the field of heights it left in its own frame, so nothing is averaged away. A ray
// along the spindle may leave the metal and enter it again: the voids in between are kept, so that a cut through a void
// books no metal. Borders met along a ray are found to a micrometre within the cells of the earlier setups.
#include <chipledger/field/stock_block.hpp>
#include <chipledger/geometry/vec.hpp>

#include <vector>

namespace chipledger::field {

/// What one further setup left: metal above its heights is gone.
struct SideCut {
  Frame plateToSetup;
  HeightField heights;  ///< kNoMetal: cut through
};

/// The plate columns that are part or touch it by a cell: what remains once the frame round the part is sawn off.
StockBlock withoutFrame(const StockBlock& stock, const HeightField& partFromAbove);

/// Seen along -z of the setup frame; `spec` in that frame, heights searched from low to high.
StockBlock seenFrom(const StockBlock& stock, const std::vector<SideCut>& cuts, const Frame& plateToSetup,
                    const GridSpec& spec, double low_mm, double high_mm);

}  // namespace chipledger::field
