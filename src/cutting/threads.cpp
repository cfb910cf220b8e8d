#include <chipledger/cutting/thread_table.hpp>

#include <algorithm>
#include <cctype>
#include <cmath>

namespace chipledger::cutting {

double threadDepthShare(const ThreadRow& thread, double bore_mm) {
  return (thread.nominal_mm - bore_mm) / (thread.nominal_mm - thread.minor_mm);
}

std::vector<const ThreadRow*> threadsForBore(const ThreadTable& threads, double bore_mm, double tolerance_mm) {
  std::vector<const ThreadRow*> found;
  for (const auto& thread : threads) {
    const double widest = std::max({thread.minorMax_mm, thread.looseDrill_mm, thread.tapDrill_mm});
    const bool asBore = bore_mm >= thread.minor_mm - tolerance_mm && bore_mm <= widest + tolerance_mm;
    const bool asNominal = std::abs(bore_mm - thread.nominal_mm) <= tolerance_mm;
    if (asBore || asNominal) found.push_back(&thread);
  }
  return found;
}

std::optional<ThreadRow> findThread(const ThreadTable& threads, const std::string& name) {
  std::string plain;
  for (const char c : name) {
    const char low = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    if (low == 'x') break;  // the pitch of a coarse thread follows from its size
    if (low != ' ') plain += low;
  }
  for (const auto& thread : threads) {
    std::string own = thread.name;
    std::transform(own.begin(), own.end(), own.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    if (own == plain) return thread;
  }
  return std::nullopt;
}

}  // namespace chipledger::cutting
