#include "options.hpp"

#include <charconv>
#include <cmath>

namespace chipledger::cli {

namespace {
constexpr int kLargestBatch = 1000000;
constexpr double kFinestCell_mm = 0.01, kCoarsestCell_mm = 1.0;
}  // namespace

Result<std::vector<int>> parseBatches(const std::string& text) {
  const auto bad = [&](const std::string& piece, const std::string& why) {
    return fault(FaultCode::Usage, "--batch " + text, "\"" + piece + "\" " + why,
                 "Give whole numbers from 1, with commas: --batch 10,25,50,100.");
  };
  std::vector<int> sizes;
  std::size_t at = 0;
  while (at <= text.size()) {
    const std::size_t comma = std::min(text.find(',', at), text.size());
    std::string piece = text.substr(at, comma - at);
    while (!piece.empty() && piece.front() == ' ') piece.erase(piece.begin());
    while (!piece.empty() && piece.back() == ' ') piece.pop_back();
    int value = 0;
    const auto [end, error] = std::from_chars(piece.data(), piece.data() + piece.size(), value);
    if (error == std::errc::result_out_of_range || value > kLargestBatch) return bad(piece, "is too large a batch.");
    if (error != std::errc{} || end != piece.data() + piece.size()) return bad(piece, "is not a batch size.");
    if (value < 1) return bad(piece, "is no batch: nothing would be made.");
    sizes.push_back(value);
    at = comma + 1;
  }
  return sizes;
}

Result<int> parseCell(const std::string& text) {
  if (text.empty()) return 0;
  double value = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size() || !(value >= kFinestCell_mm) ||
      !(value <= kCoarsestCell_mm))
    return fault(FaultCode::Usage, "--cell " + text, "The cell size is not a number from 0.01 to 1 (mm).",
                 "0.05 is usual, 0.1 is quick.");
  return static_cast<int>(std::lround(value * 1000.0));
}

std::size_t mostCells(const Options& options) {
  constexpr double kMillion = 1e6;
  return static_cast<std::size_t>(options.cellLimit_m * kMillion);
}

part::ReadLimits readLimits(const Options& options) {
  part::ReadLimits limits;
  limits.time = seconds(options.timeLimit_s);
  limits.memory_mb = options.memoryLimit_mb;
  limits.file_mb = options.fileLimit_mb;
  return limits;
}

}  // namespace chipledger::cli
