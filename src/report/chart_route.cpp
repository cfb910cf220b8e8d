#include "report/chart_route.hpp"

#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>

#include "report/anchors.hpp"
#include "report/chart_parts.hpp"

#include <algorithm>
#include <cmath>

namespace chipledger::report {

namespace {

constexpr std::size_t kLongestName = 30;

}  // namespace

std::string crossingChart(const route::VariantResult& variant, std::size_t index, const std::string& currency) {
  constexpr double kHeight = 300, kLeft = 64, kRight = 24, kTop = 26, kBottom = 40;
  if (variant.shopBuilt >= variant.routes.size()) return "";
  const route::RouteResult& built = variant.routes[variant.shopBuilt];
  // Up to the largest batch asked for; a loss deeper than the custom bench earns says nothing more and is cut off.
  const double yardstick = variant.customPerHour;
  double lowest = -std::max(1.0, yardstick), highest = std::max(1.0, 1.2 * yardstick), fewest = INFINITY, most = 0;
  for (const route::BatchResult& b : built.batches) most = std::max(most, static_cast<double>(b.sets));
  for (const std::optional<int>& sets : {built.crossing.cash, built.crossing.perHour})
    if (sets) most = std::max(most, static_cast<double>(*sets));
  for (const route::CurvePoint& p : built.curve) {
    const auto hour = route::perOwnerHour(p.left, p.ownerHours);
    if (!hour || p.sets < 1 || p.sets > most) continue;
    if (*hour >= lowest) fewest = std::min(fewest, static_cast<double>(p.sets));
    highest = std::max(highest, *hour);
  }
  if (!(most > fewest)) return "";
  const auto x = [&](double n) {
    return kLeft + (kChartWidth - kLeft - kRight) * std::log(n / fewest) / std::log(most / fewest);
  };
  const auto y = [&](double v) {
    return kHeight - kBottom -
           (kHeight - kTop - kBottom) * (std::clamp(v, lowest, highest) - lowest) / (highest - lowest);
  };
  const auto figure = [&](double v) {
    return chartText(kLeft - 6, y(v) + 4, trimmed(v, 0), " class=\"scale\" text-anchor=\"end\" font-size=\"11\"");
  };
  const auto level = [&](double v, const std::string& words, const char* dash, const char* opens) {
    return "<path stroke=\"#444\"" + std::string(dash) +
           attribute("d", "M" + coordinate(kLeft) + " " + coordinate(y(v)) + "H" + coordinate(kChartWidth - kRight)) +
           "/>" + (*opens == '\0' ? figure(v) : chartLink(toolAnchor(index, opens), figure(v))) +
           chartText(kLeft + 6, y(v) - 5, words, " font-size=\"11\" fill=\"#444\"");
  };
  std::string d, marks;
  bool pen = false;
  for (const route::CurvePoint& p : built.curve) {
    const auto hour = route::perOwnerHour(p.left, p.ownerHours);
    if (!hour || p.sets < 1 || p.sets > most || *hour < lowest) {
      pen = false;
      continue;
    }
    d += (pen ? "L" : "M") + coordinate(x(p.sets)) + " " + coordinate(y(*hour));
    pen = true;
  }
  for (std::size_t i = 0; i < built.batches.size(); ++i) {
    const route::BatchResult& b = built.batches[i];
    if (b.sets < fewest || b.sets > most) continue;
    marks +=
        chartText(x(b.sets), kHeight - kBottom + 16, std::to_string(b.sets), " class=\"scale\" text-anchor=\"middle\"");
    if (!b.perOwnerHour || *b.perOwnerHour < lowest) continue;
    marks += chartLink(toolAnchor(index, "hour", i),
                       chartPoint(x(b.sets), y(*b.perOwnerHour), 3.5,
                                  std::to_string(b.sets) + " sets: " + trimmed(*b.perOwnerHour, 1) + " " + currency +
                                      " per owner hour") +
                           chartText(x(b.sets) - 6, y(*b.perOwnerHour) - 7, trimmed(*b.perOwnerHour, 0),
                                     " text-anchor=\"end\" font-weight=\"bold\""));
  }
  const auto crossed = [&](const std::optional<int>& sets, double v, double up, const std::string& words,
                           const char* opens) {
    if (!sets || *sets < fewest || *sets > most) return std::string{};
    constexpr double kRoomForWords = 170;
    const bool atRight = x(*sets) > kChartWidth - kRoomForWords;
    return "<path stroke=\"#a85a12\" stroke-width=\"1.4\" stroke-dasharray=\"4 3\"" +
           attribute("d", "M" + coordinate(x(*sets)) + " " + coordinate(y(v)) + "V" + coordinate(kHeight - kBottom)) +
           "/>" +
           chartLink(toolAnchor(index, opens),
                     chartText(x(*sets) + (atRight ? -4 : 4), kHeight - kBottom - 6 - up,
                               words + " from " + std::to_string(*sets),
                               std::string(" font-size=\"12\" fill=\"#7a3f08\" font-weight=\"bold\"") +
                                   (atRight ? " text-anchor=\"end\"" : "")));
  };
  return chartHead(kHeight, "Money per owner hour by batch") + level(0, "nothing left", "", "") +
         level(yardstick, "the custom bench", " stroke-dasharray=\"8 3\"", "custom") +
         chartStroke(d, "stroke-width=\"2\"") + crossed(built.crossing.cash, 0, 0, "pays", "cash") +
         crossed(built.crossing.perHour, yardstick, 15, "beats the bench", "beats") + marks +
         chartText(2, 13, currency + " per hour of the owner", " font-size=\"11\" fill=\"#444\"") +
         chartText(kChartWidth - kRight, kHeight - 6, "sets in the batch",
                   " text-anchor=\"end\" font-size=\"11\" fill=\"#444\"") +
         "</svg>\n";
}

std::string capacityChart(const route::Capacity& capacity, std::size_t index) {
  std::size_t longest = 0;
  double most = 0;
  for (const route::Load& load : capacity.loads) {
    longest = std::max(longest, shortened(load.name, kLongestName).size());
    most = std::max({most, load.need_h, load.have_h * capacity.usualWeeks});
  }
  if (capacity.loads.empty() || most <= 0) return "";
  const double left = nameRoom(longest), perHour = (kChartWidth - left - 190) / most;
  std::string out;
  double y = 22;
  for (std::size_t i = 0; i < capacity.loads.size(); ++i) {
    const route::Load& load = capacity.loads[i];
    const bool neck = static_cast<int>(i) == capacity.bottleneck;
    const double have = load.have_h * capacity.usualWeeks;
    out += chartText(left - 8, y + 17, shortened(load.name, kLongestName),
                     std::string(" text-anchor=\"end\"") + (neck ? " font-weight=\"bold\"" : "")) +
           "<rect fill=\"none\" stroke=\"#111\"" + attribute("x", left) + attribute("y", y) +
           attribute("width", std::max(0.0, have * perHour)) + " height=\"24\"><title>" +
           escaped(load.name + ": has " + trimmed(have, 1) + " h in these weeks") + "</title></rect>\n" +
           chartBar(left, y + 5, load.need_h * perHour, 14, neck ? "#a85a12" : "#b9ae98",
                    load.name + ": needs " + trimmed(load.need_h, 1) + " h") +
           chartLink(toolAnchor(index, "need", i),
                     chartText(left + std::max(have, load.need_h) * perHour + 6, y + 17,
                               trimmed(load.need_h, 0) + " of " + trimmed(have, 0) + " h" + (neck ? ", the neck" : ""),
                               neck ? " font-weight=\"bold\"" : ""));
    y += 32;
  }
  return chartHead(y + 4, "Hours needed and hours to have") +
         chartText(2, 13, "bar: hours needed; box: hours to have in " + trimmed(capacity.usualWeeks, 1) + " weeks",
                   " font-size=\"11\" fill=\"#444\"") +
         out + "</svg>\n";
}

std::string tornadoChart(const route::VariantResult& variant, std::size_t index, Money left,
                         const std::string& currency) {
  std::size_t longest = 0;
  double lowest = toUnits(left), highest = lowest;
  const std::size_t count = std::min(kTornadoRows, variant.tornado.size());
  for (std::size_t i = 0; i < count; ++i) {
    const route::TornadoBar& bar = variant.tornado[i];
    longest = std::max(longest, bar.name.size());
    lowest = std::min({lowest, toUnits(bar.low), toUnits(bar.high)});
    highest = std::max({highest, toUnits(bar.low), toUnits(bar.high)});
  }
  if (count == 0 || highest <= lowest) return "";
  const double from = nameRoom(longest) + 60, perUnit = (kChartWidth - from - 70) / (highest - lowest);
  const auto x = [&](double v) { return from + (v - lowest) * perUnit; };
  std::string out;
  double y = 22;
  for (std::size_t i = 0; i < count; ++i) {
    const route::TornadoBar& bar = variant.tornado[i];
    const double a = std::min(toUnits(bar.low), toUnits(bar.high)), b = std::max(toUnits(bar.low), toUnits(bar.high));
    out += chartText(from - 66, y + 14, bar.name, " text-anchor=\"end\"") +
           chartBar(x(a), y, (b - a) * perUnit, kChartRow - 8, "#b9ae98", bar.name + ", " + bar.range) +
           chartLink(toolAnchor(index, bar.low <= bar.high ? "low" : "high", i),
                     chartText(x(a) - 5, y + 14, fixed(a, 0), " text-anchor=\"end\" font-size=\"12\"")) +
           chartLink(toolAnchor(index, bar.low <= bar.high ? "high" : "low", i),
                     chartText(x(b) + 5, y + 14, fixed(b, 0), " font-size=\"12\""));
    y += kChartRow;
  }
  return chartHead(y + 2, "How far what is left moves with each value") + out +
         chartStroke("M" + shortest(x(toUnits(left))) + " 16V" + shortest(y - 4), "stroke-width=\"1.6\"") +
         chartLink(toolAnchor(index, "left"),
                   chartText(x(toUnits(left)), 12, moneyRounded(left) + " " + currency + " left of the batch",
                             " text-anchor=\"middle\" font-weight=\"bold\"")) +
         "</svg>\n";
}

}  // namespace chipledger::report
