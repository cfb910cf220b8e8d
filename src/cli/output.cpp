#include "output.hpp"

#include "limits.hpp"

#include <fmt/format.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>

namespace chipledger::cli {

namespace {
constexpr int kUsualWidth = 100, kNarrowest = 40, kWidest = 200;
constexpr double kBytesPerMb = 1024.0 * 1024.0;
double outputLimit_mb = 500.0;

Fault cannotWrite(const std::string& path, int error) {
  return {FaultCode::BadFile, path, fmt::format("The file cannot be written: {}.", std::strerror(error)),
          error == ENOSPC ? "Make room on the disk and run again."
                          : "Choose a folder that exists and that you may write to."};
}
Result<int> writeAside(const std::string& aside, const std::string& path, const std::string& text) {
  std::FILE* file = std::fopen(aside.c_str(), "wb");
  if (file == nullptr) return tl::make_unexpected(cannotWrite(path, errno));
  const bool written = std::fwrite(text.data(), 1, text.size(), file) == text.size();
  int error = written ? 0 : errno;
  if (std::fclose(file) != 0 && error == 0) error = errno;
  if (error == 0 && std::rename(aside.c_str(), path.c_str()) != 0) error = errno;
  if (error != 0) {
    std::remove(aside.c_str());
    return tl::make_unexpected(cannotWrite(path, error));
  }
  return 0;
}
}  // namespace

void limitOutput(double megabytes) { outputLimit_mb = megabytes; }

void print(const std::string& text) { std::fwrite(text.data(), 1, text.size(), stdout); }

void complain(const std::string& text) { std::fprintf(stderr, "chipledger: %s\n", text.c_str()); }
void complain(const Fault& fault) { complain(sentence(fault)); }

int failed(const Fault& fault) {
  complain(fault);
  return exitCode(fault.code);
}

Result<int> writeFile(const std::string& path, const std::string& text) {
  const double size_mb = static_cast<double>(text.size()) / kBytesPerMb;
  if (size_mb > outputLimit_mb)
    return fault(FaultCode::Limit, path,
                 fmt::format("This output has {:.1f} MB; the limit is {:.1f} MB.", size_mb, outputLimit_mb),
                 "Use larger cells (--cell 0.1) or raise --output-limit.");
  if (path == "-") {
    print(text);
    return 0;
  }
  const std::string aside = path + ".part-" + std::to_string(::getpid());
  nowWriting(aside.c_str());
  const Result<int> done = writeAside(aside, path, text);
  nowWriting("");
  return done;
}

report::TerminalOptions terminal() {
  report::TerminalOptions options;
  const bool live = ::isatty(STDOUT_FILENO) == 1;
  options.width = kUsualWidth;
  if (const char* columns = std::getenv("COLUMNS")) {
    const int width = std::atoi(columns);
    if (width > 0) options.width = width;
  } else if (live) {
    winsize size{};
    if (::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0) options.width = size.ws_col;
  }
  options.width = std::min(std::max(options.width, kNarrowest), kWidest);
  const char* plain = std::getenv("NO_COLOR");
  options.colour = live && (plain == nullptr || *plain == '\0');
  return options;
}

Progress::Progress(bool quiet) : on_(!quiet && ::isatty(STDERR_FILENO) == 1) {}
Progress::~Progress() { clear(); }
void Progress::clear() {
  if (shown_) std::fprintf(stderr, "\r\033[K");
  shown_ = false;
}
void Progress::show(const std::string& step, int done, int of) {
  if (!on_) return;
  shown_ = true;
  if (of > 0) {
    std::fprintf(stderr, "\r\033[K%s %d of %d", step.c_str(), done, of);
  } else {
    std::fprintf(stderr, "\r\033[K%s ...", step.c_str());
  }
  std::fflush(stderr);
}

}  // namespace chipledger::cli
