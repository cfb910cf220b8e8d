#pragma once
// From the end of one pass to the start of the next: stay down where nothing is in the way, else up, across, down.
#include <chipledger/geometry/curve.hpp>
#include <chipledger/units/quantity.hpp>

namespace chipledger::path {

enum class LinkWay {
  Step,      ///< a step to the neighbouring ring at cutting feed
  Straight,  ///< straight through cleared room, down at depth
  Back,      ///< back along the pass just cut
  Over,      ///< up, rapid, down
};

/// Travel speed in cleared room at depth. Common practice, no source.
inline constexpr Speed kLinkFeed = mmPerMin(3000);
/// What a jump over the metal costs beside the way across, to weigh it: two short strokes in z at limited jerk (0.15 s
/// each, closed form for 5 mm in time-estimation 6.1) and the last half millimetre at entry feed.
inline constexpr double kHopSeconds = 0.6;
/// Rapid in plan, only for weighing. Common practice, no source.
inline constexpr Speed kRapidGuess = mmPerMin(20000);

struct LinkQuestion {
  double gap_mm{};       ///< straight distance from end to start
  double step_mm{};      ///< radial step
  bool straightFree{};   ///< nothing in the way, cutter and all
  bool straightLegal{};  ///< the tip centre stays out of the keep-out region
  double back_mm{-1};    ///< length of the way back along the last pass and on to the start; < 0: not free
};
LinkWay chooseLink(const LinkQuestion& question);

}  // namespace chipledger::path
