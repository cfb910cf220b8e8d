#include "limits.hpp"

#include "output.hpp"

#include <fmt/format.h>
#include <sys/resource.h>
#include <sys/time.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <csignal>
#include <cstring>

#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
#define CHIPLEDGER_SHADOW_MEMORY 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer)
#define CHIPLEDGER_SHADOW_MEMORY 1
#endif
#endif

namespace chipledger::cli {
namespace {

constexpr std::size_t kLongestPath = 4096;
constexpr int kLimitExit = 5;

std::array<char, kLongestPath> writing{};
std::array<char, 256> outOfTime{};

void removeUnfinished() {
  if (writing[0] != '\0') ::unlink(writing.data());
}

extern "C" void onInterrupt(int signal) {
  removeUnfinished();
  std::signal(signal, SIG_DFL);
  ::raise(signal);
}

extern "C" void onTimeUp(int) {
  removeUnfinished();
  [[maybe_unused]] const ssize_t said = ::write(STDERR_FILENO, outOfTime.data(), std::strlen(outOfTime.data()));
  ::_exit(kLimitExit);
}

}  // namespace

void nowWriting(const char* path) {
  writing[0] = '\0';
  const std::size_t length = std::strlen(path);
  if (length + 1 >= kLongestPath) return;
  if (length > 0) std::memcpy(writing.data() + 1, path + 1, length);  // the first letter last: it says "there is one"
  writing[0] = path[0];
}

void tidyUpWhenInterrupted() {
  for (const int signal : {SIGINT, SIGTERM, SIGHUP}) std::signal(signal, onInterrupt);
}

void takeLimits(const Options& options) {
  limitOutput(options.outputLimit_mb);
  const std::string sentence = fmt::format(
      "chipledger: The run took more than {:.0f} s and was stopped. Use larger cells (--cell 0.1), leave out the "
      "prices of details (--no-detail-prices), or raise --run-limit.\n",
      options.runLimit_s);
  sentence.copy(outOfTime.data(), outOfTime.size() - 1);
  std::signal(SIGALRM, onTimeUp);
  itimerval timer{};
  timer.it_value.tv_sec = static_cast<time_t>(options.runLimit_s);
  timer.it_value.tv_usec = static_cast<suseconds_t>(1);
  ::setitimer(ITIMER_REAL, &timer, nullptr);
#ifndef CHIPLEDGER_SHADOW_MEMORY  // the sanitizer's shadow alone is larger than any sensible limit
  constexpr double kBytesPerMb = 1024.0 * 1024.0;
  rlimit memory{};
  if (::getrlimit(RLIMIT_AS, &memory) != 0) return;
  const auto asked = static_cast<rlim_t>(options.memoryLimit_mb * kBytesPerMb);
  memory.rlim_cur = memory.rlim_max == RLIM_INFINITY ? asked : std::min(asked, memory.rlim_max);
  ::setrlimit(RLIMIT_AS, &memory);
#endif
}

}  // namespace chipledger::cli
