// Any text as a product file: read or refused with a sentence; what is read and needs no milled part is reckoned by
// every route and shown. Reading of STEP files is the matter of another target: here every one is refused.
#include <chipledger/report/route.hpp>
#include <chipledger/route/load.hpp>
#include <chipledger/route/price_product.hpp>
#include <chipledger/shop/load.hpp>

#include <unistd.h>

#include <cstdint>
#include <cstdlib>
#include <fstream>

using namespace chipledger;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace {

void mustSpeak(const Fault& fault) {
  if (fault.what.empty() || fault.next.empty()) std::abort();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const std::string path = "/tmp/chipledger-fuzz-" + std::to_string(::getpid()) + ".toml";
  static const shop::Shop shop = shop::builtInShop();
  std::ofstream(path, std::ios::binary).write(reinterpret_cast<const char*>(data), static_cast<std::streamsize>(size));
  const auto file = route::loadProduct(path);
  ::unlink(path.c_str());
  if (!file) {
    mustSpeak(file.error());
    return 0;
  }
  route::RouteOptions options;
  options.read = [](const std::string& step) -> Result<part::Part> {
    return fault(FaultCode::BadFile, step, "It is not read here.", "Leave milled parts out.");
  };
  const auto result = route::priceProduct(file->product, file->routes, shop, options);
  if (!result) {
    mustSpeak(result.error());
    return 0;
  }
  if (report::renderRoute(*result, {}).empty()) std::abort();
  return 0;
}
