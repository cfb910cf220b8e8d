#pragma once
// Machining directions, order and holding. A setup's frame: z towards the spindle, z = 0 at the lowest point of the
// finished part in that direction, x along the blank.
#include <chipledger/part/part.hpp>
#include <chipledger/stock/stock.hpp>

#include <string>
#include <vector>

namespace chipledger::setup {

enum class Holding {
  Vise,
  FixturePlate,
  Nest,
  Vacuum
};  ///< job: vise on grip stock; screws through holes; milled nest; vacuum
const char* word(Holding holding);

struct Setup {
  std::string name;  ///< "back", "outer", "side-1"
  Vec3 direction;    ///< unit vector in part coordinates from the part towards the spindle
  Frame partToSetup;
  Holding holding{Holding::FixturePlate};
  bool plateSide{true};              ///< looks along +z or -z of the plate frame; false: a further direction
  bool fromAbove{true};              ///< plate sides: true when it looks down on +z of the plate frame
  std::vector<part::FaceId> serves;  ///< faces that this direction machines
};

/// What was found about access.
struct Plan {
  /// z = plate normal ("outer" side +z), z = 0 at the lowest point; x along the longer side of the outline, x = y = 0
  /// in the middle of the rectangle round it. The back's frame is this one turned half about x: (x, -y, height - z).
  Frame partToPlate;
  std::vector<Setup> setups;         ///< in the order of work
  std::vector<part::FaceId> unseen;  ///< no direction sees them: undercuts
  Notes notes;
};

/// Smallest set of directions that sees every face: the two plate sides (a blank is skimmed on both, so both are always
/// there, back first), then a greedy cover of the rest. A face counts as seen when at least four fifths of its samples
/// are free in a depth map; walls deeper than the reach of usual cutters weigh (reach/depth)^2. Each face is served by
/// one setup: the side it looks at, a wall by the side from which it is shallower.
/// Blind spot: faces smaller than a cell of the depth map (1/2000 of the diagonal).
/// Fails: BadFile when the body has no faces.
Result<Plan> planSetups(const part::Body& body);

}  // namespace chipledger::setup
