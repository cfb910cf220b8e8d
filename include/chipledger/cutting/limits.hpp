#pragma once
// Single figures that hold for every cut: how far a cutter may bend, how thin a chip may get, how steep a ramp may be.
#include <chipledger/cutting/origin.hpp>

#include <array>
#include <cstddef>

namespace chipledger::cutting {

enum class LimitName {
  BendRough,       ///< mm at the tip while roughing
  BendSlot,        ///< mm, full width
  BendWall,        ///< mm, wall finishing
  BendFloor,       ///< mm, floor finishing
  BendCarve,       ///< mm, carved faces
  CarbideModulus,  ///< GPa
  SteelModulus,    ///< GPa, high-speed and cobalt steel cutters
  BendingStress,   ///< MPa in a carbide cutter
  CoreShare,       ///< equivalent diameter of the fluted part / D
  HelixAngle,      ///< deg
  RadialForce,     ///< radial / tangential force
  EdgeRadius,      ///< mm, of a sharp carbide edge
  RubbingShare,    ///< least chip thickness / edge radius
  ThinningMost,    ///< largest factor by which thin chips raise the feed
  LeastRadial,     ///< least radial step / D
  SpindleEfficiency,
  RampAngle,      ///< deg, straight ramps
  EntryFeed,      ///< feed on ramps and helices / feed in the full cut
  CurveFeed,      ///< mm/min: finishing feed on curves
  PeckFree,       ///< hole depth / D that needs no peck
  CutterChange,   ///< min to change and measure a worn cutter
  BreakageSmall,  ///< share of cutters below 2 mm lost to breakage
  BreakageLarge,  ///< share of cutters from 2 mm up lost to breakage
  SparesLeast,    ///< cutters bought above the count worn out
  kCount
};
inline constexpr std::size_t kLimitCount = static_cast<std::size_t>(LimitName::kCount);

/// Fixed facts about a limit: its key in the data files, unit and the range outside which a value is a slip.
struct LimitSpec {
  const char* key;
  const char* unit;
  double least, most;
  const char* meaning;
};
const LimitSpec& spec(LimitName name);

struct LimitRow {
  double value{};
  Origin origin;
};

struct Limits {
  std::array<LimitRow, kLimitCount> rows;
  double operator[](LimitName name) const { return rows[static_cast<std::size_t>(name)].value; }
  const LimitRow& row(LimitName name) const { return rows[static_cast<std::size_t>(name)]; }
};

}  // namespace chipledger::cutting
