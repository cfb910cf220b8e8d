#include <chipledger/detail/detail.hpp>

namespace chipledger::detail {

const char* word(DetailKind kind) {
  switch (kind) {
    case DetailKind::Outline:
      return "outline";
    case DetailKind::Body:
      return "body";
    case DetailKind::Island:
      return "island";
    case DetailKind::Pocket:
      return "pocket";
    case DetailKind::OpenPocket:
      return "open pocket";
    case DetailKind::Window:
      return "window";
    case DetailKind::Slot:
      return "slot";
    case DetailKind::LockCut:
      return "lock cut";
    case DetailKind::Thinning:
      return "thinning";
    case DetailKind::Bore:
      return "bore";
    case DetailKind::Thread:
      return "thread";
    case DetailKind::Seat:
      return "seat";
    case DetailKind::Step:
      return "step";
    case DetailKind::Chamfer:
      return "chamfer";
    case DetailKind::Round:
      return "round";
    case DetailKind::Lettering:
      return "lettering";
    case DetailKind::CarvedFace:
      return "carved face";
    case DetailKind::SideFace:
      return "side face";
    case DetailKind::Undercut:
      return "undercut";
  }
  return "detail";
}

const char* word(Side side) {
  switch (side) {
    case Side::Outer:
      return "outer";
    case Side::Back:
      return "back";
    case Side::Both:
      return "both";
    case Side::Other:
      return "other";
  }
  return "other";
}

}  // namespace chipledger::detail
