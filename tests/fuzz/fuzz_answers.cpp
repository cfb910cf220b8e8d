// Any text as an answers file.
#include <chipledger/detail/answers.hpp>

#include <cstdint>
#include <cstdlib>

using namespace chipledger;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto answers =
      detail::readAnswersText(std::string_view(reinterpret_cast<const char*>(data), size), "answers.toml");
  if (!answers && (answers.error().what.empty() || answers.error().next.empty())) std::abort();
  if (answers) detail::withAnswers(detail::Details{}, *answers);
  return 0;
}
