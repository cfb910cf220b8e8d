#include "reader_process.hpp"

#include "answer.hpp"
#include "memory_peak.hpp"

#include <fcntl.h>
#include <poll.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <sys/time.h>
#include <sys/wait.h>
#include <unistd.h>
#ifdef __linux__
#include <sys/prctl.h>
#endif

#include <algorithm>
#include <array>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <cstring>
#include <mutex>
#include <new>

#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
#define CHIPLEDGER_ADDRESS_SHADOW 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer)
#define CHIPLEDGER_ADDRESS_SHADOW 1
#endif
#endif

namespace chipledger::part {
namespace {

/// The kernel's reader recurses over what the file nests; the default of 8 MB is too little for large assemblies.
constexpr rlim_t kStackBytes = 64U << 20U;
/// Time beyond the limit for the answer to travel and the guardian to report.
constexpr double kGraceSeconds = 5.0;
/// Exit code of a job that ran out of memory in a way it could still see.
constexpr int kExitNoMemory = 77;

/// What the guardian adds after the job's own bytes.
struct EndRecord {
  std::int32_t signal{}, exitCode{};
};

bool sendAll(int to, const void* data, std::size_t size) {
  const char* from = static_cast<const char*>(data);
  while (size > 0) {
    const ssize_t sent = ::send(to, from, size, MSG_NOSIGNAL);
    if (sent < 0 && errno == EINTR) continue;
    if (sent <= 0) return false;
    from += sent;
    size -= static_cast<std::size_t>(sent);
  }
  return true;
}

bool receiveAll(int from, void* data, std::size_t size) {
  char* to = static_cast<char*>(data);
  while (size > 0) {
    const ssize_t got = ::recv(from, to, size, 0);
    if (got < 0 && errno == EINTR) continue;
    if (got <= 0) return false;
    to += got;
    size -= static_cast<std::size_t>(got);
  }
  return true;
}

void limit(int what, rlim_t value) {
  rlimit now{};
  if (::getrlimit(what, &now) != 0) return;
  now.rlim_cur = now.rlim_max == RLIM_INFINITY ? value : std::min(value, now.rlim_max);
  ::setrlimit(what, &now);
}

void dieWithParent() {
#ifdef __linux__
  ::prctl(PR_SET_PDEATHSIG, SIGKILL);
#endif
}

/// Limits of the job's process: the wall clock by timer, the rest by the system.
void takeLimits(const ReadLimits& limits) {
  limit(RLIMIT_CORE, 0);
  limit(RLIMIT_STACK, kStackBytes);
  const double seconds = std::max(0.001, toSeconds(limits.time));
  limit(RLIMIT_CPU, static_cast<rlim_t>(seconds) + 1);
#ifndef CHIPLEDGER_ADDRESS_SHADOW  // the sanitizer's shadow alone is larger than any sensible limit
  limit(RLIMIT_AS, static_cast<rlim_t>(std::max(64.0, limits.memory_mb) * 1024.0 * 1024.0));
#endif
  itimerval timer{};
  timer.it_value.tv_sec = static_cast<time_t>(seconds);
  timer.it_value.tv_usec = static_cast<suseconds_t>((seconds - static_cast<double>(timer.it_value.tv_sec)) * 1e6);
  std::signal(SIGALRM, SIG_DFL);
  ::setitimer(ITIMER_REAL, &timer, nullptr);
}

/// The kernel and its libraries print; nothing of that may reach our standard output. And whoever reads our output
/// through a pipe must not have to wait for the reader's processes to let go of it.
void silence() {
  const int nowhere = ::open("/dev/null", O_RDWR);
  if (nowhere < 0) return;
  for (const int stream : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO}) ::dup2(nowhere, stream);
}

/// A breakdown for want of memory is told apart from a breakdown on bad geometry; then the signal does what it always
/// does.
extern "C" void onBreakdown(int signal) {
  if (reachedMemoryLimit()) ::_exit(kExitNoMemory);
  std::signal(signal, SIG_DFL);
  ::raise(signal);
}

void watchForBreakdown() {
  static std::array<char, 1U << 16U> ownStack;  // the ordinary one may be what ran out
  stack_t stack{};
  stack.ss_sp = ownStack.data();
  stack.ss_size = ownStack.size();
  ::sigaltstack(&stack, nullptr);
  struct sigaction action {};
  action.sa_handler = onBreakdown;
  action.sa_flags = SA_ONSTACK | SA_NODEFER;
  for (const int signal : {SIGSEGV, SIGABRT, SIGBUS}) ::sigaction(signal, &action, nullptr);
}

[[noreturn]] void work(const ReadJob& job, int answerTo) {
  dieWithParent();
  for (const int signal : {SIGFPE, SIGILL, SIGXCPU, SIGTERM}) std::signal(signal, SIG_DFL);
  watchForBreakdown();
  takeLimits(job.limits);
  try {
    const std::string bytes = encode(readInThisProcess(job));
    const std::uint64_t size = bytes.size();
    if (sendAll(answerTo, &size, sizeof size)) sendAll(answerTo, bytes.data(), bytes.size());
    ::_exit(0);
  } catch (const std::bad_alloc&) {
    ::_exit(kExitNoMemory);
  } catch (...) {
    ::_exit(1);
  }
}

/// Forks the job's process, waits for its end and reports it.
[[noreturn]] void guard(const ReadJob& job, int answerSocket) {
  const int answerTo = ::fcntl(answerSocket, F_DUPFD, STDERR_FILENO + 1);  // out of the way of the next line
  ::close(answerSocket);
  silence();
  std::signal(SIGCHLD, SIG_DFL);
  EndRecord end{0, 1};
  const pid_t child = ::fork();
  if (child == 0) work(job, answerTo);
  if (child > 0) {
    int status = 0;
    while (::waitpid(child, &status, 0) < 0 && errno == EINTR) {
    }
    end = {WIFSIGNALED(status) ? WTERMSIG(status) : 0, WIFEXITED(status) ? WEXITSTATUS(status) : 0};
  }
  sendAll(answerTo, &end, sizeof end);
  ::_exit(0);
}

// --- the server ----------------------------------------------------------------------------------------------------

struct Request {
  std::uint32_t pathSize{};
  ReadLimits limits;
  ReaderKind kind{};
};

int serverSocket = -1;  ///< our end; -1: no server
std::mutex serverLock;

bool sendRequest(int to, const ReadJob& job, int answerSocket) {
  Request request{static_cast<std::uint32_t>(job.path.size()), job.limits, job.kind};
  iovec part{&request, sizeof request};
  alignas(cmsghdr) std::array<char, CMSG_SPACE(sizeof(int))> control{};
  msghdr message{};
  message.msg_iov = &part;
  message.msg_iovlen = 1;
  message.msg_control = control.data();
  message.msg_controllen = control.size();
  cmsghdr* header = CMSG_FIRSTHDR(&message);
  header->cmsg_level = SOL_SOCKET;
  header->cmsg_type = SCM_RIGHTS;
  header->cmsg_len = CMSG_LEN(sizeof(int));
  std::memcpy(CMSG_DATA(header), &answerSocket, sizeof(int));
  return ::sendmsg(to, &message, MSG_NOSIGNAL) == static_cast<ssize_t>(sizeof request) &&
         sendAll(to, job.path.data(), job.path.size());
}

[[noreturn]] void serve(int socket) {
  dieWithParent();
  const int from = ::fcntl(socket, F_DUPFD, STDERR_FILENO + 1);
  ::close(socket);
  silence();
  std::signal(SIGCHLD, SIG_IGN);  // guardians need no burial
  std::signal(SIGINT, SIG_IGN);   // the asking side decides
  while (true) {
    Request request;
    iovec part{&request, sizeof request};
    alignas(cmsghdr) std::array<char, CMSG_SPACE(sizeof(int))> control{};
    msghdr message{};
    message.msg_iov = &part;
    message.msg_iovlen = 1;
    message.msg_control = control.data();
    message.msg_controllen = control.size();
    const ssize_t got = ::recvmsg(from, &message, MSG_WAITALL);
    if (got < 0 && errno == EINTR) continue;
    if (got != static_cast<ssize_t>(sizeof request)) ::_exit(0);
    const cmsghdr* header = CMSG_FIRSTHDR(&message);
    if (header == nullptr || header->cmsg_type != SCM_RIGHTS) ::_exit(1);
    int answerTo = -1;
    std::memcpy(&answerTo, CMSG_DATA(header), sizeof(int));
    ReadJob job{std::string(request.pathSize, '\0'), request.limits, request.kind};
    if (!receiveAll(from, job.path.data(), job.path.size())) ::_exit(1);
    if (::fork() == 0) {
      ::close(from);
      dieWithParent();
      guard(job, answerTo);
    }
    ::close(answerTo);
  }
}

/// Starts the job and returns the socket its answer will come from; -1: no process could be started.
int startJob(const ReadJob& job) {
  std::array<int, 2> ends{};
  if (::socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, ends.data()) != 0) return -1;
  {
    const std::lock_guard lock(serverLock);
    if (serverSocket >= 0) {
      if (sendRequest(serverSocket, job, ends[1])) {
        ::close(ends[1]);
        return ends[0];
      }
      ::close(serverSocket);  // the server is gone: carry on without it
      serverSocket = -1;
    }
  }
  // Two forks, so that the guardian is nobody's child of ours and need not be waited for.
  const pid_t child = ::fork();
  if (child == 0) {
    ::close(ends[0]);
    const pid_t guardian = ::fork();
    if (guardian == 0) {
      std::signal(SIGCHLD, SIG_DFL);
      guard(job, ends[1]);
    }
    ::_exit(guardian > 0 ? 0 : 1);
  }
  ::close(ends[1]);
  int status = 0;
  if (child > 0 && ::waitpid(child, &status, 0) < 0)
    status = 0;  // someone who ignores SIGCHLD has no children to wait for
  if (child < 0 || status != 0) {
    ::close(ends[0]);
    return -1;
  }
  return ends[0];
}

/// Has the whole answer with its end record arrived? A process forked at the wrong moment by another thread may hold
/// the other end open for longer.
bool complete(const std::string& bytes) {
  std::uint64_t size = 0;
  if (bytes.size() < sizeof size) return false;
  std::memcpy(&size, bytes.data(), sizeof size);
  return bytes.size() == sizeof size + size + sizeof(EndRecord);
}

/// Everything until the answer is complete or the other side closes; false when that takes too long.
bool receiveAnswer(int from, double seconds, std::string& bytes) {
  using Clock = std::chrono::steady_clock;
  const auto until = Clock::now() + std::chrono::duration_cast<Clock::duration>(std::chrono::duration<double>(seconds));
  std::array<char, 1U << 16U> block{};
  while (true) {
    const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(until - Clock::now()).count();
    if (left <= 0) return false;
    pollfd waiting{from, POLLIN, 0};
    const int ready = ::poll(&waiting, 1, static_cast<int>(std::min<long long>(left, 60'000)));
    if (ready < 0 && errno != EINTR) return true;
    if (ready <= 0) continue;
    const ssize_t got = ::recv(from, block.data(), block.size(), 0);
    if (got < 0 && errno == EINTR) continue;
    if (got <= 0) return true;
    bytes.append(block.data(), static_cast<std::size_t>(got));
    if (complete(bytes)) return true;
  }
}

}  // namespace

JobEnd runJob(const ReadJob& job) {
  const int from = startJob(job);
  if (from < 0) return {JobEnd::How::Refused, 0, {}};
  std::string bytes;
  const bool inTime = receiveAnswer(from, toSeconds(job.limits.time) + kGraceSeconds, bytes);
  ::close(from);
  if (!inTime) return {JobEnd::How::TimeOut, 0, {}};

  EndRecord end{SIGKILL, 0};
  if (bytes.size() >= sizeof end) {
    std::memcpy(&end, bytes.data() + bytes.size() - sizeof end, sizeof end);
    bytes.resize(bytes.size() - sizeof end);
  }
  if (end.signal == SIGALRM || end.signal == SIGXCPU) return {JobEnd::How::TimeOut, end.signal, {}};
  if (end.exitCode == kExitNoMemory || end.signal == SIGKILL) return {JobEnd::How::OutOfMemory, end.signal, {}};
  std::uint64_t size = 0;
  if (end.signal == 0 && end.exitCode == 0 && bytes.size() >= sizeof size) {
    std::memcpy(&size, bytes.data(), sizeof size);
    if (bytes.size() == sizeof size + size) return {JobEnd::How::Answered, 0, bytes.substr(sizeof size)};
  }
  return {JobEnd::How::Crashed, end.signal, {}};
}

void startReaderProcess() {
  const std::lock_guard lock(serverLock);
  if (serverSocket >= 0) return;
  std::array<int, 2> ends{};
  if (::socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, ends.data()) != 0) return;
  const pid_t child = ::fork();
  if (child == 0) {
    ::close(ends[0]);
    serve(ends[1]);
  }
  ::close(ends[1]);
  if (child > 0) {
    serverSocket = ends[0];
  } else {
    ::close(ends[0]);
  }
}

}  // namespace chipledger::part
