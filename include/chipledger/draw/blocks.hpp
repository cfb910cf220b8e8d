#pragma once
// Analytic blocks: solids whose volume and surface are known in closed form, to check readers and fields against.
#include <chipledger/draw/drawn.hpp>

#include <vector>

namespace chipledger::draw {

struct Block {
  Drawn drawn;  ///< drawn.closedForm is always set
  Area closedFormArea{};
};

/// Corner at the origin, sides along the axes (mm).
Result<Block> boxBlock(const std::string& name, Vec3 size_mm, FileUnit unit = FileUnit::Mm);
/// A box, centred in plan, back in z = 0, with a rectangular pocket in the middle of its upper face.
Result<Block> pocketBlock(const std::string& name, Vec3 size_mm, Rectangle pocket, Length depth);
/// A plate with one round island in the middle.
Result<Block> islandBlock(const std::string& name, Vec3 size_mm, Length diameter, Length height);
/// A plate with one rectangular window in the middle.
Result<Block> windowBlock(const std::string& name, Vec3 size_mm, Rectangle window);
/// A plate with `count` bores of one diameter in a row along x, evenly spaced.
Result<Block> boreBlock(const std::string& name, Vec3 size_mm, Length diameter, int count);
/// A box with a T-shaped slot along its whole length: the wide part cannot be reached from above (an undercut).
struct TSlot {
  Length neckWidth{}, neckDepth{}, headWidth{}, headHeight{};
};
Result<Block> undercutBlock(const std::string& name, Vec3 size_mm, TSlot slot);

/// The blocks that ship as samples, in the order of their names.
Result<std::vector<Block>> sampleBlocks();

}  // namespace chipledger::draw
