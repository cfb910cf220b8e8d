#pragma once
// One setup planned: operations in order, their moves, the metal they remove.
#include <chipledger/path/work.hpp>

namespace chipledger::path {

/// A slot sawn with the part on edge: an operation of a further setup.
struct SawCut {
  Frame toSaw;          ///< from the frame of the setup that planned it to that of the saw's own
  Operation operation;  ///< moves in the saw's frame: the middle of the disc's lower side; setup and id not set
};

struct SetupPlan {
  std::vector<Operation> operations;
  VolumeCount removed;                   ///< sum over operations
  VolumeCount gouged;                    ///< metal cut below the target by more than 0.02 mm
  std::vector<std::string> cuttersUsed;  ///< ids, in order of first use
  std::vector<SawCut> sawCuts;           ///< booked to them, not to `removed`
  double top_mm{};                       ///< of the metal afterwards, setup frame
  Notes notes;  ///< corners nobody reaches (radius, cutter that would be needed), narrow slots ...
};

/// Plans and walks every operation over `stock` (changed in place: what is cut is gone for the next setup).
/// Deterministic for any number of threads.
Result<SetupPlan> planSetup(const Work& work, field::StockBlock& stock);

}  // namespace chipledger::path
