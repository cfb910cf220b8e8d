#include "memory_peak.hpp"

#include <fcntl.h>
#include <sys/resource.h>
#include <unistd.h>

#include <array>
#include <cstddef>
#include <string_view>

namespace chipledger::part {

bool reachedMemoryLimit() {
  rlimit limit{};
  if (::getrlimit(RLIMIT_AS, &limit) != 0 || limit.rlim_cur == RLIM_INFINITY) return false;
  const int file = ::open("/proc/self/status", O_RDONLY);
  if (file < 0) return false;
  std::array<char, 4096> text{};
  const ssize_t got = ::read(file, text.data(), text.size());
  ::close(file);
  constexpr std::string_view kPeak = "VmPeak:";
  const std::string_view status(text.data(), got > 0 ? static_cast<std::size_t>(got) : 0);
  const std::size_t at = status.find(kPeak);
  if (at == std::string_view::npos) return false;
  rlim_t peak_kb = 0;
  for (const char c : status.substr(at + kPeak.size())) {
    if (c >= '0' && c <= '9') peak_kb = 10 * peak_kb + static_cast<rlim_t>(c - '0');
    if (c == '\n') break;
  }
  // The request that failed would have gone beyond the limit, so the peak is a little, or a large block, below it.
  constexpr rlim_t kShare = 10, kOf = 12, kBytesPerKb = 1024;
  return peak_kb > limit.rlim_cur / kBytesPerKb / kOf * kShare;
}

}  // namespace chipledger::part
