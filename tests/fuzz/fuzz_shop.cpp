// Any text as a shop file: read or refused with a sentence, and what is read can be shown.
#include <chipledger/report/terminal.hpp>
#include <chipledger/shop/load.hpp>

#include <cstdint>
#include <cstdlib>

using namespace chipledger;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto shop = shop::loadShopText(std::string(reinterpret_cast<const char*>(data), size), "shop.toml");
  if (!shop) {
    if (shop.error().what.empty() || shop.error().next.empty()) std::abort();
    return 0;
  }
  if (report::renderShop(shop->name, shop::describe(*shop), {}).empty()) std::abort();
  return 0;
}
