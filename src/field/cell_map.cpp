#include <chipledger/field/cell_map.hpp>

namespace chipledger::field {

CellMap cellMap(const GridSpec& plate, const Frame& plateToSetup) {
  CellMap map;
  map.plate = plate;
  const Vec3& rowX = plateToSetup.x;
  const Vec3& rowY = plateToSetup.y;
  map.swapped = std::abs(rowX.y) > std::abs(rowX.x);
  map.flippedX = (map.swapped ? rowX.y : rowX.x) < 0;
  map.flippedY = (map.swapped ? rowY.x : rowY.y) < 0;
  map.lookingUp = plateToSetup.z.z < 0;
  map.shift_um = static_cast<std::int32_t>(std::llround(plateToSetup.shift.z * 1000.0));
  map.setup = plate;
  map.setup.nx = map.swapped ? plate.ny : plate.nx;
  map.setup.ny = map.swapped ? plate.nx : plate.ny;
  // The corner of the setup grid is the image of the plate corner that lies lowest along each setup axis.
  const double lowAlongX = map.swapped ? plate.y0_mm : plate.x0_mm;
  const double lowAlongY = map.swapped ? plate.x0_mm : plate.y0_mm;
  map.setup.x0_mm = (map.flippedX ? -(lowAlongX + map.setup.nx * plate.cell()) : lowAlongX) + plateToSetup.shift.x;
  map.setup.y0_mm = (map.flippedY ? -(lowAlongY + map.setup.ny * plate.cell()) : lowAlongY) + plateToSetup.shift.y;
  return map;
}

}  // namespace chipledger::field
