#pragma once
// What the planner of one setup works from. Pass makers (roughing, walls, floors, holes, chamfers, carved faces ...)
// are free functions `std::vector<Operation> make...(const Work&, ...)`, one file each; plan.hpp calls them in order.
#include <chipledger/cutting/conditions.hpp>
#include <chipledger/cutting/cutter.hpp>
#include <chipledger/detail/detail.hpp>
#include <chipledger/field/setup_view.hpp>
#include <chipledger/field/stock_block.hpp>
#include <chipledger/path/move.hpp>

#include <vector>

namespace chipledger::path {

/// How the shop works: allowances, clearances, tabs. From the tables or the shop file.
struct Practice {
  Length roughFloorAllowance{mm(0.30)};  ///< left on floors by roughing (job: floor + 0.3)
  Length roughWallAllowance{mm(0.20)};   ///< left on walls by roughing
  Length finishFloorPass{mm(0.15)};      ///< depth of one floor finishing pass
  Length finishWallPass{mm(0.12)};       ///< radial step of a wall finishing pass
  int springPasses{0};                   ///< extra wall passes without step, where the shop says so
  Length clearance{mm(1.0)};             ///< above the metal for links that stay low
  Length retract{mm(5.0)};               ///< above the blank for rapids in plan
  Length entryClearance{mm(0.5)};
  Length tabWidth{mm(3.0)}, tabHeight{mm(0.4)};
  int tabs{4};
  Length throughDepth{mm(0.5)};   ///< cutters and drills pass the underside by this much
  Length fitClearance{mm(0.02)};  ///< a cutter fits where radius >= cutter radius + this
  Length cusp{mm(0.005)};         ///< carved faces
  double threadDepthShare{0.65};
  /// Share of the blank cut away from which both sides are roughed before either is finished; 1: never.
  double roughBothShare{1.0};
};

/// A bore that is a thread, or is tight: from answers or hints.
struct HoleOrder {
  int detail{-1};
  bool tight{};        ///< ream
  std::string thread;  ///< "M2": tap or thread-mill; empty: plain
};

/// Which part of a side's work a setup does. A side that is roughed first is skimmed down to finishFloorPass over its
/// face, and comes back to be finished: job 2.4, 2.5.
enum class Stage { All, Rough, Finish };

struct Work {
  const field::SetupView* view{};  ///< finished part, setup frame
  const setup::Setup* setup{};
  int setupIndex{};
  const detail::Details* details{};
  const part::Body* body{};  ///< further directions: where the holes of a side stand
  std::vector<int> served;   ///< details machined in this setup
  std::vector<HoleOrder> holes;
  Region blank;                            ///< plan of the blank, setup frame
  double blankTop_mm{}, blankBottom_mm{};  ///< setup frame, before this setup
  bool cutOutline{};                       ///< this setup cuts the part out of the blank
  bool firstSide{};                        ///< nothing below has been cut yet
  Stage stage{Stage::All};
  const cutting::Material* material{};
  const cutting::CuttingTables* tables{};
  std::vector<cutting::Cutter> crib;
  cutting::SpindleLimits spindle;
  Practice practice;
  double moneyPerMachineMinute{};  ///< for choosing between cutters
  Duration toolChange{seconds(8)};
  double roughingShare{1.0};  ///< of the table's feed that this shop's roughing reaches, for choosing between cutters
  int cell_um{50};
};

}  // namespace chipledger::path
