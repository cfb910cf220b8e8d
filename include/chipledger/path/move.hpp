#pragma once
// What the cutter does: moves of the tip centre in the setup frame, grouped into operations.
#include <chipledger/cutting/conditions.hpp>
#include <chipledger/geometry/curve.hpp>
#include <chipledger/result/result.hpp>
#include <chipledger/units/counts.hpp>

#include <string>
#include <vector>

namespace chipledger::path {

enum class MoveKind { Rapid, Cut, Enter, Link };
const char* word(MoveKind kind);

struct Move {
  MoveKind kind{MoveKind::Cut};
  Segment segment;   ///< mm, tip centre
  Speed feed{};      ///< 0 for rapids
  Length width{};    ///< measured radial engagement of a cut; 0: air
  Duration dwell{};  ///< standing still at the end
};

enum class OperationKind {
  Skim,
  Rough,
  RestRough,
  Slot,  ///< full width in slot steps
  Floor,
  Wall,
  Outline,
  IslandTop,
  RootRadius,
  Spot,
  Drill,
  Ream,
  Counterbore,
  Countersink,
  Tap,
  ThreadMill,
  Chamfer,
  Carve,
  Saw
};
const char* word(OperationKind kind);

/// Removed metal booked to one detail within one operation.
struct Share {
  int detail{-1};  ///< index into the detail list; -1: shared
  VolumeCount removed;
  double path_mm{};  ///< cutting path over this detail's cells
};

struct Operation {
  std::string id;  ///< "outer-03-rough"
  int setup{};     ///< index into the setup list
  OperationKind kind{OperationKind::Rough};
  std::string cutter;  ///< id in the crib
  cutting::Conditions conditions;
  std::vector<Move> moves;
  std::vector<Share> shares;
  VolumeCount removed;
  Length air{};       ///< cutting moves that met no metal
  Length slotting{};  ///< full-width cutting
  double holes{};     ///< drilled, reamed, tapped
  std::string why;    ///< why this cutter
};

}  // namespace chipledger::path
