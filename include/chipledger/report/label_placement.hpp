#pragma once
// Labels in a row above and a row below a drawing, tied to their places by straight leaders that do not cross.
// Paper coordinates: mm, x to the right, y down.
#include <chipledger/geometry/vec.hpp>

#include <cstddef>
#include <vector>

namespace chipledger::report {

struct LabelRows {
  double left{}, right{};           ///< labels stay between these
  double aboveEdge{}, belowEdge{};  ///< where leaders meet the labels of the row above and of the row below
  double labelWidth{};              ///< every label takes this much, gap included
};

struct PlacedLabel {
  std::size_t index{};  ///< of the anchor
  Vec2 end;             ///< middle of the label's edge: the leader's end
  bool above{};
};

/// Labels for as many anchors as the two rows hold, the first ones first (so sort the anchors by importance).
/// Laws, tested on random anchors: no two labels overlap; no two leaders cross. The second holds because a crossing
/// pair is mended by swapping its two labels, which shortens the sum of the leaders, so mending ends. O(n^2) per pass;
/// n is a few dozen.
std::vector<PlacedLabel> placeLabels(const std::vector<Vec2>& anchors, const LabelRows& rows);

/// True when the open segments a-b and c-d have a point in common that is inside both.
bool crossing(Vec2 a, Vec2 b, Vec2 c, Vec2 d);

}  // namespace chipledger::report
