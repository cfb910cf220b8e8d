#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/wording.hpp>

#include "report/plan_parts.hpp"
#include "report/plan_tint.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace chipledger::report {

std::string planText(double x, double y, const std::string& words, const std::string& more) {
  return "<text" + attribute("x", x) + attribute("y", y) + more + ">" + escaped(words) + "</text>";
}

std::string planLine(double x0, double y0, double x1, double y1) {
  return fmt::format("M{} {}L{} {}", coordinate(x0), coordinate(y0), coordinate(x1), coordinate(y1));
}

namespace {

// What the price turns on: indices into the details, -1 where the part has no such thing.
struct Extremes {
  int tallest{-1}, sharpest{-1}, thinnest{-1}, tightest{-1};
};

Extremes extremesOf(const detail::Details& details) {
  Extremes x;
  const auto take = [&](int& best, std::size_t i, std::optional<Length> detail::Dimensions::*member, bool larger) {
    const std::optional<Length>& value = details.list[i].dimensions.*member;
    if (!value) return;
    if (best < 0 || (larger ? *value > *(details.list[static_cast<std::size_t>(best)].dimensions.*member)
                            : *value < *(details.list[static_cast<std::size_t>(best)].dimensions.*member)))
      best = static_cast<int>(i);
  };
  for (std::size_t i = 0; i < details.list.size(); ++i) {
    const detail::DetailKind kind = details.list[i].kind;
    if (kind == detail::DetailKind::Island) take(x.tallest, i, &detail::Dimensions::height, true);
    if (kind != detail::DetailKind::Outline) take(x.sharpest, i, &detail::Dimensions::cornerRadius, false);
    take(x.thinnest, i, &detail::Dimensions::thickness, false);
    take(x.tightest, i, &detail::Dimensions::gap, false);
  }
  return x;
}

}  // namespace

std::string keyDimension(const PlanSheet& s, std::size_t index) {
  const detail::Detail& d = s.e.details.list[index];
  const detail::Dimensions& m = d.dimensions;
  const Extremes x = extremesOf(s.e.details);
  if (static_cast<int>(index) == x.sharpest) return fmt::format("R{}, smallest", dimensionText(*m.cornerRadius));
  if (static_cast<int>(index) == x.thinnest && d.kind != detail::DetailKind::Body)
    return dimensionText(*m.thickness) + " floor";
  if (m.height) return dimensionText(*m.height) + " high";
  if (m.diameter) return fmt::format("\u00d8{}", dimensionText(*m.diameter));
  if (m.depth && !d.through) return dimensionText(*m.depth) + " deep";
  if (m.width) return dimensionText(*m.width) + " wide";
  if (m.cornerRadius) return fmt::format("R{}", dimensionText(*m.cornerRadius));
  return "";
}

// Length under the last view, with the scale bar.
std::string lengthAndScale(const PlanSheet& s, double left, double y) {
  const double length = s.plate.size().x * s.scale;
  constexpr double kBarAim_mm = 25;
  double bar = 1;
  for (const double step : {1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0})
    if (step * s.scale <= kBarAim_mm) bar = step;
  const double y2 = y + 7;
  std::string out =
      "<path fill=\"none\" stroke=\"#111\" stroke-width=\"0.12\"" +
      attribute("d", planLine(left, y - 1, left, y + 1) + planLine(left + length, y - 1, left + length, y + 1) +
                         planLine(left, y, left + length, y)) +
      "/>" + "<rect fill=\"#fff\"" + attribute("x", left + length / 2 - 5) + attribute("y", y - 1.4) +
      " width=\"10\" height=\"2.8\"/>" +
      planText(left + length / 2, y + 0.8, trimmed(s.plate.size().x, 2), " text-anchor=\"middle\"");
  for (int i = 0; i < 2; ++i) {
    out += std::string("<rect stroke=\"#111\" stroke-width=\"0.12\" fill=\"") + (i == 0 ? "#111" : "#fff") + "\"" +
           attribute("x", left + i * bar * s.scale / 2) + attribute("y", y2 - 1.2) +
           attribute("width", bar * s.scale / 2) + " height=\"1.2\"/>";
  }
  const std::string ratio =
      s.scale >= 1 ? trimmed(s.scale, 2) + " : 1" : fmt::format("1 : {}", trimmed(1 / s.scale, 2));
  out += planText(left + bar * s.scale + 1.5, y2, trimmed(bar, 0) + " mm, " + ratio + " when printed full size");
  return out + "\n";
}

std::string tintKey(const PlanSheet& s, double left, double y) {
  constexpr double kStepWidth = 18;
  std::string out = planText(
      left, y,
      "With minus without, " + s.e.currency + " a piece" +
          (s.batch < s.e.batches.size() ? fmt::format(", batch of {}", s.e.batches[s.batch].size) : std::string{}));
  for (int step = 0; step < kTintSteps; ++step) {
    const double x = left + step * kStepWidth;
    const std::string box = attribute("x", x) + attribute("y", y + 1.2) + " width=\"4\" height=\"2.4\"";
    out += "<rect stroke=\"#111\" stroke-width=\"0.1\"" + attribute("fill", tintColour(step)) + box + "/>";
    if (step > 0) out += "<rect" + attribute("fill", hatchFill(step)) + box + "/>";
    const double from = tintFrom(step) * toUnits(s.dearest);
    out += planText(x + 4.8, y + 3.2, step == 0 ? "below" : fmt::format("from {}", moneyRounded(money(from))));
  }
  return out + "\n";
}

std::string dimensionsThatMatter(const PlanSheet& s) {
  const Extremes x = extremesOf(s.e.details);
  std::string out = fmt::format("Finished height {}", trimmed(s.e.size_mm.z, 2));
  const auto add = [&](const char* what, int index, std::optional<Length> detail::Dimensions::*member) {
    if (index < 0) return;
    const detail::Detail& d = s.e.details.list[static_cast<std::size_t>(index)];
    out += fmt::format(", {}{} ({})", what, dimensionText(*(d.dimensions.*member)), shortened(d.name, kLongestName));
  };
  const double floor = s.e.details.bodyHigh_mm - s.e.details.bodyLow_mm;
  if (floor > 0) out += fmt::format(", body {}", trimmed(floor, 2));
  add("tallest island ", x.tallest, &detail::Dimensions::height);
  add("smallest inside radius R", x.sharpest, &detail::Dimensions::cornerRadius);
  add("thinnest floor ", x.thinnest, &detail::Dimensions::thickness);
  add("tightest gap ", x.tightest, &detail::Dimensions::gap);
  return out + ". All in mm.";
}

std::vector<std::string> brokenAt(const std::string& words, double width) {
  const auto most = static_cast<std::size_t>(std::max(10.0, width / kGlyph));
  std::vector<std::string> lines;
  std::string line;
  for (std::size_t at = 0; at < words.size();) {
    const std::size_t end = std::min(words.find(' ', at), words.size());
    if (!line.empty() && line.size() + 1 + (end - at) > most) {
      lines.push_back(line);
      line.clear();
    }
    line += (line.empty() ? "" : " ") + words.substr(at, end - at);
    at = end + 1;
  }
  if (!line.empty()) lines.push_back(line);
  return lines;
}

}  // namespace chipledger::report
