#include <chipledger/path/move.hpp>

namespace chipledger::path {

const char* word(MoveKind kind) {
  switch (kind) {
    case MoveKind::Rapid:
      return "rapid";
    case MoveKind::Cut:
      return "cut";
    case MoveKind::Enter:
      return "enter";
    case MoveKind::Link:
      return "link";
  }
  return "cut";
}

const char* word(OperationKind kind) {
  switch (kind) {
    case OperationKind::Skim:
      return "skim";
    case OperationKind::Rough:
      return "rough";
    case OperationKind::RestRough:
      return "rest-rough";
    case OperationKind::Slot:
      return "slot";
    case OperationKind::Floor:
      return "floor";
    case OperationKind::Wall:
      return "wall";
    case OperationKind::Outline:
      return "outline";
    case OperationKind::IslandTop:
      return "island-top";
    case OperationKind::RootRadius:
      return "root-radius";
    case OperationKind::Spot:
      return "spot";
    case OperationKind::Drill:
      return "drill";
    case OperationKind::Ream:
      return "ream";
    case OperationKind::Counterbore:
      return "counterbore";
    case OperationKind::Countersink:
      return "countersink";
    case OperationKind::Tap:
      return "tap";
    case OperationKind::ThreadMill:
      return "thread-mill";
    case OperationKind::Chamfer:
      return "chamfer";
    case OperationKind::Carve:
      return "carve";
    case OperationKind::Saw:
      return "saw";
  }
  return "rough";
}

}  // namespace chipledger::path
