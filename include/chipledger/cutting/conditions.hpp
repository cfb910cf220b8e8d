#pragma once
// Speed, feed and steps for one cutter in one material, and which limit held them back.
#include <chipledger/cutting/cutter.hpp>
#include <chipledger/cutting/material.hpp>
#include <chipledger/result/result.hpp>

namespace chipledger::cutting {

enum class CutKind { Rough, Slot, Wall, Floor, Chamfer, Carve, Spot, Drill, Ream, Tap, ThreadMill, Saw };
const char* word(CutKind kind);

/// What the spindle can do; part of the machine description.
struct SpindleLimits {
  SpindleSpeed lowest{200}, highest{12000};
  Power power{kilowatts(5)};
  Torque torque{newtonMetres(20)};
};

/// What the work asks for.
struct CutRequest {
  CutKind kind{CutKind::Rough};
  Length depth{};          ///< axial depth still to cut at this place; hole depth for holes
  Length widthLimit{};     ///< widest radial step that makes sense here; 0: free
  Length reach{};          ///< tip to the top of the wall beside it: the bending length must be at least this
  Length cusp{mm(0.005)};  ///< carved faces: cusp height
  Length floorLeft{};      ///< thickness of the floor below the cut; 0: solid
  Length wallLeft{};       ///< thickness of the wall beside the cut; 0: solid
  Length wallHigh{};       ///< height of that wall; 0: as high as depth and reach say
  /// What a minute at this machine costs in currency units: the rate of the machine and of the share of a person who
  /// stands by; 0 or less counts as 1. Only its ratio to the price of a cutter moves the choice of speed.
  double moneyPerMinute{1.0};
};

/// Which limit held the cut back.
enum class Held {
  Table,       ///< engagement or chip load of the table row
  Depth,       ///< the work is no deeper or wider here
  Wear,        ///< a faster cut would cost more in cutters than it saves in minutes
  SpeedRange,  ///< fastest or slowest published surface speed
  Spindle,     ///< spindle speed
  Power,
  Torque,
  Bending,  ///< deflection at the tip
  Stress,   ///< bending stress in the cutter
  Reach,    ///< long reach lowers the chip load
  Rubbing,  ///< the chip is as thin as it may get
  ThinFloor,
  ThinWall,  ///< the part itself gives way
};
const char* word(Held held);

struct Conditions {
  CutRequest request;  ///< what they were chosen for
  Speed surface{};
  SpindleSpeed spindle{};
  Length chipLoad{};       ///< programmed feed per tooth (thinned-chip correction included); per revolution for holes
  Length chipThickness{};  ///< largest uncut chip thickness
  Length axialStep{};
  Length radialStep{};
  Speed feed{};       ///< in the full steady cut
  Speed slotFeed{};   ///< at full width
  Speed curveFeed{};  ///< finishing: most on curves; else as feed
  Speed enterFeed{};  ///< on ramps and helices
  Angle rampAngle{};
  Length peck{};  ///< drills: depth per peck; 0: none
  Force force{};  ///< peak at the tip
  Length deflection{};
  Power power{};  ///< at the cutting edge
  RemovalRate removalRate{};
  Duration life{};       ///< of one cutter under these conditions
  Duration slotLife{};   ///< of one cutter at full width
  double lifeHoles{};    ///< holes per cutter; 0 for mills
  double moneyPerCm3{};  ///< minutes and wear for one cm3, currency units; 0 for holes
  Held held{Held::Table};
  std::string heldBackBy;   ///< "bending 0.02 mm", "spindle 12,000 rpm", "table step"
  Assumptions assumptions;  ///< the table values that were used, with their sources
  Notes notes;              ///< doubts: reach beyond the stick-out, floors too thin to cut unbacked ...
};

/// Fails: Usage (no table row for this material and operation: says which rows there are).
Result<Conditions> chooseConditions(const Material& material, const Cutter& cutter, const CutRequest& request,
                                    const SpindleLimits& spindle, const CuttingTables& tables);

}  // namespace chipledger::cutting
