#pragma once
// Spot, drill with pecks, ream, countersink, tap or thread-mill (path/thread.hpp).
#include <chipledger/field/removal.hpp>
#include <chipledger/geometry/curve.hpp>
#include <chipledger/path/work.hpp>

#include <optional>
#include <string>
#include <vector>

namespace chipledger::path {

/// One hole as the drill sees it; setup frame, mm.
struct HoleSpot {
  int detail{-1};
  Vec2 centre;
  double top_mm{}, bottom_mm{};  ///< opening of the hole; end of its full diameter
  double diameter_mm{};
  bool through{}, tight{};
  std::string thread;
  double seat_mm{}, seatTop_mm{};  ///< counterbore: diameter, and height of its opening; floor at top_mm
  double mouth_mm{}, mouthTop_mm{}, mouthAngle{};  ///< countersink: diameter and height of its mouth, full angle, rad
};

/// The cutters that make a hole; null where not needed.
struct HolePlan {
  HoleSpot spot;
  double nominal_mm{};  ///< of its thread; 0: plain
  const cutting::Cutter* spotDrill{};
  const cutting::Cutter* drill{};
  const cutting::Cutter* reamer{};
  const cutting::Cutter* tap{};          ///< of a thread: this
  const cutting::Cutter* threadMill{};   ///< or this
  const cutting::Cutter* counterbore{};  ///< a flat mill (path/counterbore.hpp)
  const cutting::Cutter* sink{};         ///< countersinks: a chamfer cutter or spot drill of that angle
};

/// A drill makes a hole when its diameter is within this much below the drawn one. Common practice, no source.
inline constexpr double kDrillFit_mm = 0.06;
/// And by no more than this above it: wider would be a gouge all round (0.02 mm on the radius).
inline constexpr double kDrillOver_mm = 2.0 * field::kGougeTolerance_mm;
/// Reaming takes this much off the diameter (job 2.7: 0.10 to 0.20, published 0.1 to 0.3).
inline constexpr double kReamLeast_mm = 0.08, kReamMost_mm = 0.32;

/// Holes of this setup that are drilled; the others are left to the mill.
std::vector<HolePlan> planHoles(const Work& work);

/// Depths of the pecks from the top: rising to `depth`, the last one exact.
std::vector<double> peckDepths(double depth_mm, double peck_mm);
/// How far the tip of a cone goes below the mouth it cuts: (mouth / 2) / tan(half the angle).
double sinkDepth(double mouth_mm, double angle_rad);
/// Height of a drill's point: R / tan(half the point angle).
double pointHeight(const cutting::Cutter& drill);

}  // namespace chipledger::path
