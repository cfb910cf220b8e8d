#pragma once
// Machining directions, order and holding. A setup's frame: z towards the spindle, z = 0 at the lowest point of the
// finished part in that direction, x along the blank.
#include <chipledger/part/part.hpp>
#include <chipledger/stock/stock.hpp>

#include <string>
#include <vector>

namespace chipledger::setup {

enum class Holding { Vise, FixturePlate, Nest, Vacuum };  ///< job: vise on grip stock; screws through holes; milled nest; vacuum
const char* word(Holding holding);

struct Setup {
  std::string name;      ///< "back", "outer", "side-1"
  Vec3 direction;        ///< unit vector in part coordinates from the part towards the spindle
  Frame partToSetup;
  Holding holding{Holding::FixturePlate};
  bool plateSide{true};  ///< looks along +z or -z of the plate frame; false: a further direction
  bool fromAbove{true};  ///< plate sides: true when it looks down on +z of the plate frame
  std::vector<part::FaceId> serves;  ///< faces that this direction machines
};

/// What was found about access.
struct Plan {
  Frame partToPlate;                    ///< z = plate normal ("outer" side +z), z = 0 at the lowest point
  std::vector<Setup> setups;            ///< in the order of work
  std::vector<part::FaceId> unseen;     ///< no direction sees them: undercuts
  Notes notes;
};

/// Smallest set of directions that sees every face (greedy cover; walls weighted by (reach/depth)^2), plate sides first.
Result<Plan> planSetups(const part::Body& body);

}  // namespace chipledger::setup
