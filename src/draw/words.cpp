#include <chipledger/draw/drawn.hpp>

namespace chipledger::draw {

const char* word(DrawnKind kind) {
  switch (kind) {
    case DrawnKind::Island:
      return "island";
    case DrawnKind::Pocket:
      return "pocket";
    case DrawnKind::OpenPocket:
      return "open pocket";
    case DrawnKind::Window:
      return "window";
    case DrawnKind::Slot:
      return "slot";
    case DrawnKind::LockCut:
      return "lock cut";
    case DrawnKind::Thinning:
      return "thinning";
    case DrawnKind::Bore:
      return "bore";
    case DrawnKind::Thread:
      return "thread";
    case DrawnKind::Seat:
      return "seat";
    case DrawnKind::Undercut:
      return "undercut";
  }
  return "detail";
}

}  // namespace chipledger::draw
