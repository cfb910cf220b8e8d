#pragma once
// A slope along a wall as a stair of upright prisms. Treads are so narrow that no floor is seen on them: the field
// counts the ends of a prism narrower than 0.02 mm as parts of a slope, so they are not cleared as floors.
#include <chipledger/field/solid.hpp>

#include <functional>
#include <vector>

namespace chipledger::detail {

inline constexpr double kTread_mm = 0.014;  ///< and prisms overlap by kTreadOverlap_mm
inline constexpr double kTreadOverlap_mm = 0.003;

struct Slope {
  Region wall;                           ///< the border from which the slope is measured
  double width_mm{};                     ///< of the slope in plan
  bool outwards{true};                   ///< from the wall, else into it
  std::function<double(double)> height;  ///< of the slope over its end, mm, at a distance from the wall
};

/// Adds (or removes) the body between the slope and the level `at_mm` from which its heights are measured: upwards, or
/// downwards when `up` is false.
void appendSlope(const Slope& slope, field::Prism::Act act, double at_mm, bool up, std::vector<field::Change>& changes);

/// A hollow quarter circle tangent to wall and floor: the foot of an island (`outwards`) or the floor of a recess.
void appendFillet(const Region& wall, double radius_mm, bool outwards, double floor_mm, bool up,
                  std::vector<field::Change>& changes);

}  // namespace chipledger::detail
