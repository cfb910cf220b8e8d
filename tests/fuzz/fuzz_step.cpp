// The whole of `look` on a damaged STEP text: read in the child process, directions, details, questions, JSON.
#include "fuzz/step_mutation.hpp"

#include <chipledger/detail/answers.hpp>
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/part/read.hpp>
#include <chipledger/report/json.hpp>
#include <chipledger/setup/setup.hpp>
#include <chipledger/shop/load.hpp>

#include <unistd.h>

#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <fstream>

using namespace chipledger;

extern "C" std::size_t LLVMFuzzerMutate(std::uint8_t* data, std::size_t size, std::size_t most) __attribute__((weak));
extern "C" std::size_t LLVMFuzzerCustomMutator(std::uint8_t* data, std::size_t size, std::size_t most, unsigned seed);
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

extern "C" std::size_t LLVMFuzzerCustomMutator(std::uint8_t* data, std::size_t size, std::size_t most, unsigned seed) {
  constexpr unsigned kBytesInstead = 16;  // one change in so many is of bytes
  if (seed % kBytesInstead == 0) return LLVMFuzzerMutate(data, size, most);
  const std::string step(reinterpret_cast<const char*>(data), size);
  const std::string hurt =
      fuzz::damaged(step, static_cast<fuzz::Damage>(seed % static_cast<unsigned>(fuzz::Damage::Count)), seed);
  if (hurt.size() > most) return size;
  hurt.copy(reinterpret_cast<char*>(data), hurt.size());
  return hurt.size();
}

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const std::string path = "/tmp/chipledger-fuzz-" + std::to_string(::getpid()) + ".step";
  static const shop::Shop shop = shop::builtInShop();
  std::ofstream(path, std::ios::binary).write(reinterpret_cast<const char*>(data), static_cast<std::streamsize>(size));
  part::ReadLimits limits;
  limits.time = seconds(10);
  limits.memory_mb = 1500;
  const auto part = part::readPart(path, limits);
  ::unlink(path.c_str());
  if (!part) {
    if (part.error().what.empty() || part.error().next.empty()) std::abort();  // a fault without a sentence
    return 0;
  }
  for (const part::Body& body : part->bodies) {
    if (!std::isfinite(toMm3(body.volume)) || !(toMm3(body.volume) > 0.0)) std::abort();
    const auto plan = setup::planSetups(body);
    if (!plan) continue;
    const auto details = estimate::lookDetails(body, *plan, shop, "");
    if (!details) continue;
    if (report::lookJson(*part, body, *plan, *details).empty()) std::abort();
    if (!detail::readAnswersText(detail::answersTemplate(*details), "answers.toml")) std::abort();
  }
  return 0;
}
