#include <chipledger/setup/setup.hpp>

namespace chipledger::setup {

const char* word(Holding holding) {
  switch (holding) {
    case Holding::Vise:
      return "vise";
    case Holding::FixturePlate:
      return "fixture plate";
    case Holding::Nest:
      return "nest";
    case Holding::Vacuum:
      return "vacuum";
  }
  return "vise";
}

}  // namespace chipledger::setup
