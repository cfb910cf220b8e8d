#pragma once
// Pieces of the plan view. Paper, mm, y down.
#include <chipledger/estimate/estimate.hpp>

#include <functional>
#include <string>
#include <vector>

namespace chipledger::report {

// Paper, mm.
inline constexpr double kLongestDrawing = 150;  // fits an upright A4 page with its margins
inline constexpr double kFont = 2.3;
inline constexpr double kLine = 2.8;            // text lines
inline constexpr double kGlyph = 0.56 * kFont;  // mean width of a sans glyph, measured on names like "lock-cut-1"
inline constexpr double kMargin = 4;
inline constexpr double kLeaderRoom = 6;
inline constexpr double kLabelLines = 3;
inline constexpr double kDimensionRoom = 6;
inline constexpr double kSideRoom = 10;
inline constexpr double kBodyRoom = 6;  // at the left, for the thickness of the body
inline constexpr std::size_t kLongestName = 16;  // a longer one is cut; the whole stands in the tables
inline constexpr double kScales[] = {10, 5, 2, 1, 0.5, 0.2, 0.1, 0.05};

struct PlanSheet {
  const estimate::Estimate& e;
  const part::Body& body;
  std::size_t batch;
  double scale;
  Box2 plate;  ///< plan of the part, plate frame
  Money dearest;
  double labelWidth{};
  bool prices{true};  ///< false: for readers who see no money
  bool labels{true};
  std::function<std::string(std::size_t)> opens{};
};

std::string planText(double x, double y, const std::string& words, const std::string& more = "");
std::string planLine(double x0, double y0, double x1, double y1);
/// The dimension one asks for first; the tallest, sharpest and thinnest of the part are named so.
std::string keyDimension(const PlanSheet& sheet, std::size_t detail);
/// Length of the part and the scale bar.
std::string lengthAndScale(const PlanSheet& sheet, double left, double y);
std::string tintKey(const PlanSheet& sheet, double left, double y);
/// Heights, smallest radius, thinnest floor: what the price turns on.
std::string dimensionsThatMatter(const PlanSheet& sheet);
/// Lines no longer than `width`.
std::vector<std::string> brokenAt(const std::string& words, double width);

}  // namespace chipledger::report
