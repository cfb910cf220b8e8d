// Any text as a chassis file: read, and drawn when it can be.
#include <chipledger/draw/drawn.hpp>
#include <chipledger/draw/read_chassis.hpp>

#include <cstdint>
#include <cstdlib>

using namespace chipledger;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto chassis = draw::readChassisText({reinterpret_cast<const char*>(data), size}, "chassis.toml");
  if (!chassis) {
    if (chassis.error().what.empty() || chassis.error().next.empty()) std::abort();
    return 0;
  }
  const auto drawn = draw::drawChassis(*chassis);
  if (!drawn && (drawn.error().what.empty() || drawn.error().next.empty())) std::abort();
  return 0;
}
