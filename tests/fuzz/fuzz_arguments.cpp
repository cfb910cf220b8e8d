// Any command line, over a small part: parsed and run in a scratch folder. Words are split at line ends; a slash is
// dropped, so that nothing is written elsewhere.
#include "cli/command_line.hpp"

#include <unistd.h>

#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>

using namespace chipledger;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace {

/// Enters a scratch folder with nothing in it but an empty STEP file; printing goes nowhere.
bool enterScratch() {
  const auto folder = std::filesystem::temp_directory_path() / ("chipledger-fuzz-" + std::to_string(::getpid()));
  std::filesystem::create_directories(folder);
  std::filesystem::current_path(folder);
  std::ofstream("a.step") << "ISO-10303-21;\nEND-ISO-10303-21;\n";
  std::ofstream("a.toml") << "name = \"a\"\n";
  return std::freopen("/dev/null", "w", stdout) != nullptr;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const bool ready = enterScratch();
  if (!ready) return 0;
  std::vector<std::string> words{"chipledger", ""};
  for (std::size_t i = 0; i < size; ++i) {
    const char c = static_cast<char>(data[i]);
    if (c == '\n') {
      words.emplace_back();
    } else if (c != '/' && c != '\0') {
      words.back() += c;
    }
  }
  std::vector<const char*> argv;
  for (const std::string& word : words) argv.push_back(word.c_str());
  const int code = cli::runCommandLine(static_cast<int>(argv.size()), argv.data(), nullptr);
  if (code < 0 || code > 5 || code == 1) std::abort();
  return 0;
}
