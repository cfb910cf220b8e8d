#pragma once
// How the part lies in its plate.
#include <chipledger/part/part.hpp>

namespace chipledger::setup {

/// Frame with z along the plate normal: the thinnest direction among those that own at least a tenth of the largest
/// plane area; +z is the side where metal stands up inside the outline (islands), else the side from which more is
/// removed, else the file's own positive direction. x runs along the longer side of the smallest rectangle round the
/// outline (the file's axes when they are within 2 % of it), with its largest component in part coordinates positive.
/// Origin: x and y in the middle of that rectangle, z = 0 at the lowest point. Only the file's axes and the geometry
/// decide, so that a changed dimension does not turn the frame.
Frame plateFrame(const part::Body& body);

}  // namespace chipledger::setup
