#pragma once
// Metal of the stock that still stands on the finished part: over its top, under its underside, and in openings that
// its outline closes off from the edge of the blank. The frame round the part and its tabs are not in it.
#include <chipledger/field/stock_block.hpp>

namespace chipledger::field {

/// `above`, `below`: highest and lowest metal of the part on the cells of the stock (Solid::fromAbove, fromBelow).
VolumeCount leftOnPart(const StockBlock& stock, const HeightField& above, const HeightField& below);

}  // namespace chipledger::field
