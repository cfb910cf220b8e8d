#pragma once
// Straight slots too narrow for any end mill, cut with a slitting saw: a disc of radius R in the plane of the slot. The
// part stands on edge for it, in a setup of its own whose spindle looks along the normal of the slot.
//
//   overhead  the disc goes down through the plate at one end and runs along to the other; lowest point `over` below
//   the
//             underside. Half the chord at height h over its lowest point is c(h) = sqrt(R^2 - (R - h)^2): its axis
//             runs from c(over) behind the one end to c(over) before the other (the middle, where the slot is shorter),
//             and it reaches c(depth + over) - c(over) beyond both, which must be free. Feed: depth + over down, slot
//             length - 2 c(over) along. The flange must pass over the part.
//   edge-on   from an open end, the axis in the middle of the plate's height: at most R - flange deep; the closed end
//             is round by R - sqrt(R^2 - (depth / 2)^2) in its height. Feed: the slot's length.
// Own derivation; the disc takes the full depth in one go (common practice, no source).
// What a disc takes of the plate is booked as a pass of its own thickness along the middle of the slot.
#include <chipledger/cutting/cutter.hpp>
#include <chipledger/geometry/polygon.hpp>
#include <chipledger/geometry/vec.hpp>

#include <optional>
#include <string>
#include <vector>

namespace chipledger::path {

/// A region that is a straight strip; mm.
struct Strip {
  Vec2 from, to;  ///< the middle of its ends
  double width_mm{}, length_mm{};
};
/// Empty when the region is not one: shorter than twice its width, or less than nine tenths of its rectangle.
std::optional<Strip> straightStrip(const Region& region);

struct SawTask {
  Strip slot;
  double low_mm{}, top_mm{};  ///< of the slot; setup frame
  double highest_mm{};        ///< of the part
  double over_mm{};           ///< how far the disc may pass the bottom
  Region stays;               ///< plan of what must stay
};

/// How one saw cuts one slot.
struct SawWay {
  Vec2 from, to;           ///< the pass along the slot, in plan, that stands for the disc
  std::vector<Vec3> axis;  ///< of the disc's middle, at feed, from where it first touches; setup frame
  bool up{};               ///< leaves upwards; else the way it came
};
/// Empty when this saw cannot: too thick or too thin by more than kSawSlack, ends not free, flange in the way.
std::optional<SawWay> sawWay(const SawTask& task, const cutting::Cutter& saw);
/// Why no saw of the crib cuts this slot: a sentence; empty when one does.
std::string whyNoSaw(const SawTask& task, const std::vector<cutting::Cutter>& crib);
/// Half the chord of a disc at a height over its lowest point.
double halfChord(double radius_mm, double height_mm);

/// A saw may be thinner than the slot by this much: what it leaves is within the width's usual tolerance. Common
/// practice, no source.
inline constexpr double kSawSlack_mm = 0.05;
inline constexpr double kFlangeFree_mm = 0.5;     ///< between flange and part. Common practice, no source
inline constexpr double kRoundEnd_mm = 0.05;      ///< most that a closed end may be round in its height
inline constexpr double kLeastSawSlot_mm2 = 0.1;  ///< smaller strips are slivers beside walls, no slots

}  // namespace chipledger::path
