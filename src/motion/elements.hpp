#pragma once
// One move turned into what the planner needs, and the speed limit of the corner between two of them. mm, s.
#include <chipledger/motion/machine.hpp>
#include <chipledger/path/move.hpp>

namespace chipledger::motion {

/// The machine's limits as divisors, so that the limit along a direction is one division.
struct AxisTable {
  Vec3 perTop, perRapid, perAcceleration, perJerk;
  double planeAcceleration{}, planeJerk{};  ///< of the weaker of x and y: arcs turn through all directions of the plane
  double planeTop{};
  double tolerance{}, cornerFactor{}, blockTime{}, inPosition{};
};
AxisTable axisTable(const Machine& machine);

/// Limit along unit direction d of a table of reciprocals.
inline double along(Vec3 d, Vec3 reciprocal) {
  return 1.0 / std::max({std::abs(d.x) * reciprocal.x, std::abs(d.y) * reciprocal.y, std::abs(d.z) * reciprocal.z});
}

/// One move, or several that are pieces of one straight line or arc.
struct Element {
  std::size_t first{}, last{}, count{1};
  Vec3 startDirection, endDirection;  ///< unit tangents
  double length{}, feed{}, top{};     ///< feed: commanded, or the rapid along it; top: with axis and arc limits
  double acceleration{}, jerk{};
  double lower{};  ///< length over feed
  bool rapid{}, arc{};
};

/// Needs a length > 0 and, unless rapid, a feed > 0.
Element element(const path::Move& move, std::size_t index, double length, const AxisTable& table);

/// True when b goes on along the line or arc of a so straight that the joint is only an artefact of splitting.
bool continues(const path::Move& a, const Element& ea, const path::Move& b, const Element& eb);

/// Joint between two elements.
struct Joint {
  enum class Kind {
    Stop,  ///< gap, rapid, dwell, end
    Corner,
    Curve,  ///< one of many small turns of a sampled curve
  };
  Kind kind{Kind::Stop};
  Vec3 change;           ///< out - in; its length is 2 sin(half the turn)
  int band{};            ///< of the curvature, a factor of four each; the flattest ones are one
  double turn{}, run{};  ///< radians, and mean length of the sides

  /// The chord between the two joints belongs to the curve of `this`: the sharper one owns it.
  bool ownsChordWith(const Joint& other) const;
};
Joint joint(const Element& a, const Element& b);

struct Corner {
  double speed{};
  bool byCurvature{};  ///< the circle through the sides governs, not the tolerance
};
/// `change`: as in Joint. `shorter`: length of the shorter side.
Corner corner(Vec3 change, double shorter, const AxisTable& table);

}  // namespace chipledger::motion
