#pragma once
// Threads: tapped, or milled along a helix, whichever costs less.
//
//   helix of the tip's axis   offset  e = (d - D) / 2         d nominal diameter, D diameter of the thread mill
//                             length  T sqrt((2 pi e)^2 + P^2)   T whole turns, P pitch, rising P in each
//   in and out                half circles through the hole's axis that touch the helix; seen from the axis each is a
//                             quarter turn, so it rises P / 4:  sqrt((pi e / 2)^2 + (P / 4)^2)
// Upwards and counter-clockwise: a right-hand thread in climb. The feed of the axis is the feed at the thread's
// diameter times 2 e / d. What the drawing shows is the bore; the metal of the thread itself is not in it, so neither
// tap nor thread mill books any.
// A tap's chamfer cuts no full thread: a blind hole must be deeper than kTapLead + kLeastThread pitches to be tapped.
#include <chipledger/path/holes.hpp>

#include <vector>

namespace chipledger::path {

struct ThreadHelix {
  Vec2 centre;
  double offset_mm{}, pitch_mm{};
  double from_mm{}, to_mm{};  ///< height of the tip where the turns begin; least height where they end
};
/// From the axis of the hole, up, and back to the axis.
std::vector<Segment> threadPath(const ThreadHelix& helix);
double threadTurns(const ThreadHelix& helix);
double threadLength(const ThreadHelix& helix);

/// The helix of a hole with its thread mill; `through_mm`: how far below the underside.
ThreadHelix helixOf(const HolePlan& hole, double through_mm);
/// Of the axis, at this feed of the edge.
Speed axisFeed(const ThreadHelix& helix, const cutting::Cutter& mill, Speed edge);

/// Of holes that carry both a tap and a thread mill, keeps one of them: that which costs less over all holes of that
/// thread, change of cutter included; the tap where they cost the same.
void chooseThreading(const Work& work, std::vector<HolePlan>& holes);

inline constexpr double kTapLead = 2.5;      ///< pitches. Common practice, no source (chamfer form C: 2 to 3)
inline constexpr double kLeastThread = 3.0;  ///< pitches of full thread. Common practice, no source
/// A thread mill must be this much smaller than the bore it goes down. Common practice, no source.
inline constexpr double kThreadMillFree_mm = 0.05;

}  // namespace chipledger::path
