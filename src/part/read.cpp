#include <chipledger/part/read.hpp>

#include "answer.hpp"
#include "reader_process.hpp"

#include <fmt/format.h>
#include <chipledger/result/nearest.hpp>

#include <algorithm>
#include <chrono>
#include <filesystem>

namespace chipledger::part {
namespace {

constexpr double kLeastSecondTry_s = 1.0;
constexpr double kBytesPerMb = 1024.0 * 1024.0;

/// What to do about a name that is not there: another STEP file of the folder only when it is truly near.
std::string otherName(const std::string& path) {
  namespace fs = std::filesystem;
  constexpr std::size_t kMostLookedAt = 2000;
  std::error_code error;
  std::vector<std::string> there;
  const fs::path folder = fs::path(path).parent_path();
  for (fs::directory_iterator it(folder.empty() ? fs::path(".") : folder, error), end;
       !error && it != end && there.size() < kMostLookedAt; it.increment(error)) {
    const std::string ending = it->path().extension().string();
    if (ending == ".step" || ending == ".stp" || ending == ".STEP" || ending == ".STP")
      there.push_back(it->path().filename().string());
  }
  std::sort(there.begin(), there.end());
  const std::string near = nearTo(fs::path(path).filename().string(), there);
  return near.empty() ? "Check the name and the folder."
                      : fmt::format("Did you mean \"{}\"?", (folder / near).string());
}

Result<void> checkPath(const std::string& path, const ReadLimits& limits) {
  namespace fs = std::filesystem;
  std::error_code error;
  const fs::file_status status = fs::status(path, error);
  if (!fs::exists(status)) return fault(FaultCode::BadFile, path, "There is no such file.", otherName(path));
  if (fs::is_directory(status))
    return fault(FaultCode::BadFile, path, "This is a folder, not a file.", "Give the STEP file inside it.");
  if (!fs::is_regular_file(status))
    return fault(FaultCode::BadFile, path, "This is not an ordinary file.", "Save the STEP as a file first.");
  const double size_mb = static_cast<double>(fs::file_size(path, error)) / kBytesPerMb;
  if (size_mb > limits.file_mb)
    return fault(FaultCode::Limit, path,
                 fmt::format("The file has {:.0f} MB; the limit is {:.0f} MB.", size_mb, limits.file_mb),
                 "Export the chassis alone, without screws and scales, or raise the limit.");
  return {};
}

Result<Part> explain(const JobEnd& end, const std::string& path, const ReadLimits& limits) {
  switch (end.how) {
    case JobEnd::How::Answered:
      return decode(end.answer);
    case JobEnd::How::TimeOut:
      return fault(
          FaultCode::Limit, path,
          fmt::format("Reading it took more than {:.0f} s and was stopped.", toSeconds(limits.time)),
          "Export it again in a simpler form (no cosmetic threads, no text as splines), or raise the time limit.");
    case JobEnd::How::OutOfMemory:
      return fault(FaultCode::Limit, path,
                   fmt::format("Reading it needs more than {:.0f} MB of memory.", limits.memory_mb),
                   "Export the chassis alone, or raise the memory limit.");
    case JobEnd::How::Crashed:
      return fault(FaultCode::BadFile, path, "Its geometry is damaged so badly that the reader broke down on it.",
                   "Export the part again as STEP AP214 or AP242, with the drawing program's check for errors on.");
    case JobEnd::How::Refused:
      return fault(FaultCode::Limit, path, "The system allows no further process to read the file.",
                   "Close other programs and try again.");
  }
  return fault(FaultCode::Internal, path, "The reader ended in an unknown way.", "Try again.");
}

}  // namespace

Result<Part> readPart(const std::string& path, const ReadLimits& limits) {
  if (auto good = checkPath(path, limits); !good) return tl::make_unexpected(good.error());
  const auto begin = std::chrono::steady_clock::now();
  ReadJob job{path, limits, ReaderKind::WithNames};
  JobEnd end = runJob(job);
  // A second try, without names, in what is left of the time.
  const double left =
      toSeconds(limits.time) - std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
  const bool again = end.how == JobEnd::How::Crashed && left > kLeastSecondTry_s;
  if (again) {
    job.kind = ReaderKind::Plain;
    job.limits.time = seconds(left);
    end = runJob(job);
  }
  Result<Part> part = explain(end, path, limits);
  if (!part) return part;
  if (again)
    part->notes.push_back({NoteSeverity::Doubt, "names-lost",
                           "Names and colours in the file could not be read without breaking the reader; the shape was "
                           "read without them.",
                           ""});
  part->readSeconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
  return part;
}

}  // namespace chipledger::part
