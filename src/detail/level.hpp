#pragma once
// Levels: floors that lie at one height and touch. They decide what a detail is, by what their borders lead to.
#include "detail/view_graph.hpp"

namespace chipledger::detail {

enum class Leads { Up, Down };

struct LevelBorder {
  int edge{-1};
  int inside{-1}, outside{-1};  ///< face of the level, face beyond
  Leads leads{Leads::Down};
  double length{};
  Vec2 from, to;  ///< ends, walked with the level to the left
  Vec2 startDirection, endDirection;
  double turned{};  ///< rad, to the left, along the border itself
};

struct LevelLoop {
  bool outer{};
  double area{};  ///< signed
  Ring ring;
  std::vector<LevelBorder> borders;
  double up() const;  ///< length that leads up
  double length() const;
  /// Runs of borders that lead one way, along the closed loop; `turned` to the left, corners within the run included.
  struct Run {
    double length{}, turned{};
  };
  std::vector<Run> runs(Leads way) const;
  /// Walls below it go farther round than walls above it: a promontory or the lower of two joined masses, not a bay.
  bool standsOut() const;
};

struct Level {
  double z{};
  std::vector<int> faces;
  std::vector<LevelLoop> loops;  ///< outer first
  bool served{};                 ///< most of its area is machined from this direction
  double area{};
};

struct Levels {
  std::vector<Level> list;
  std::vector<int> ofFace;  ///< level of each face or -1
};

Levels findLevels(const part::Body& body, const ViewGraph& view);

}  // namespace chipledger::detail
