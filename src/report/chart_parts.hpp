#pragma once
// Pieces that the charts share. User unit: about a CSS pixel.
#include <string>

namespace chipledger::report {

inline constexpr double kChartWidth = 640;
inline constexpr double kChartFont = 13;
inline constexpr double kChartGlyph = 7.2;  ///< mean width at kChartFont
inline constexpr double kChartRow = 26;
inline constexpr double kNoThickness = 0.0005;  ///< mm; less is a rounding of whole micrometres

/// Opens an SVG; `label` is what is read out in its place.
std::string chartHead(double height, const std::string& label, double width = kChartWidth);
/// A mark of an axis has the class "scale"; every other figure is a link.
std::string chartText(double x, double y, const std::string& words, const std::string& more = "");
std::string chartBar(double x, double y, double width, double height, const std::string& fill,
                     const std::string& title);
std::string chartStroke(const std::string& d, const std::string& more);
/// A figure that opens a number of a table: `marks` as a link to the number's name (anchors.hpp), reached by Tab.
std::string chartLink(const std::string& anchor, const std::string& marks);
/// A point of a curve, with room round it that can be hit.
std::string chartPoint(double x, double y, double radius, const std::string& title);
/// Names at the left of a bar chart, as wide as the longest.
double nameRoom(std::size_t longest);

}  // namespace chipledger::report
