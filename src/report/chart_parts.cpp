#include "report/chart_parts.hpp"

#include <chipledger/report/markup.hpp>

#include <algorithm>

namespace chipledger::report {

std::string chartHead(double height, const std::string& label, double width) {
  return "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"group\" class=\"chart\"" + attribute("aria-label", label) +
         attribute("viewBox", "0 0 " + coordinate(width) + " " + coordinate(height)) +
         attribute("font-size", kChartFont) + " font-family=\"sans-serif\" fill=\"#111\">\n";
}

std::string chartText(double x, double y, const std::string& words, const std::string& more) {
  return "<text" + attribute("x", x) + attribute("y", y) + more + ">" + escaped(words) + "</text>\n";
}

std::string chartBar(double x, double y, double width, double height, const std::string& fill,
                     const std::string& title) {
  return "<rect stroke=\"#fff\" stroke-width=\"0.8\"" + attribute("x", x) + attribute("y", y) +
         attribute("width", std::max(0.0, width)) + attribute("height", height) + attribute("fill", fill) + "><title>" +
         escaped(title) + "</title></rect>\n";
}

std::string chartStroke(const std::string& d, const std::string& more) {
  return "<path fill=\"none\" stroke=\"#111\"" + attribute("d", d) + " " + more + "/>\n";
}

std::string chartLink(const std::string& anchor, const std::string& marks) {
  return "<a" + attribute("href", "#" + anchor) + ">" + marks + "</a>";
}

std::string chartPoint(double x, double y, double radius, const std::string& title) {
  const std::string at = attribute("cx", x) + attribute("cy", y);
  return "<circle" + attribute("r", radius) + at + "/><circle r=\"9\" fill-opacity=\"0\"" + at + "><title>" +
         escaped(title) + "</title></circle>";
}

double nameRoom(std::size_t longest) {
  constexpr double kMost = 0.48;
  return std::min(kChartWidth * kMost, 12 + static_cast<double>(longest) * kChartGlyph);
}

}  // namespace chipledger::report
