// The two bars of the first screen.
#include <chipledger/report/charts.hpp>
#include <chipledger/report/number.hpp>

#include "report/anchors.hpp"
#include "report/chart_parts.hpp"

#include <algorithm>
#include <numeric>
#include <vector>

namespace chipledger::report {

namespace {

constexpr double kWide = 320;  // a narrow column, and a phone

}  // namespace

std::string costBar(const estimate::Estimate& e, std::size_t at) {
  const estimate::BatchPrice& batch = e.batches[at];
  constexpr double kBar = 20, kLine = 18;
  std::vector<std::size_t> order(batch.lines.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t i, std::size_t j) { return batch.lines[i] > batch.lines[j]; });
  order.erase(std::remove_if(order.begin(), order.end(), [&](std::size_t l) { return batch.lines[l].micros <= 0; }),
              order.end());
  double sum = 0;
  for (const std::size_t l : order) sum += toUnits(batch.lines[l]);
  if (sum <= 0) return "";
  std::string bars, words;
  double x = 0;
  const std::size_t rows = (order.size() + 1) / 2;
  for (std::size_t i = 0; i < order.size(); ++i) {
    const std::string name = ledger::word(ledger::kLines[order[i]]), money = moneyRounded(batch.lines[order[i]]);
    const double width = toUnits(batch.lines[order[i]]) / sum * kWide;
    const ledger::Line line = ledger::kLines[order[i]];
    bars += lineBar(x, 0, width, kBar, line, name + " " + money + " " + e.currency);
    x += width;
    const double left = i < rows ? 0 : kWide / 2 + 8, y = kBar + 16 + static_cast<double>(i % rows) * kLine;
    words += lineBar(left, y - 10, 11, 11, line, name) + chartText(left + 16, y, name) +
             chartLink(lineAnchor(at, order[i]),
                       chartText(left + kWide / 2 - 14, y, money, " text-anchor=\"end\" font-weight=\"bold\""));
  }
  return chartHead(kBar + 6 + static_cast<double>(rows) * kLine + 4, "What the price is made of", kWide) + bars +
         words + "</svg>\n";
}

std::string bandBar(const estimate::Estimate& e, std::size_t at) {
  const estimate::BatchPrice& batch = e.batches[at];
  const double low = toUnits(batch.low), likely = toUnits(batch.perPiece), high = toUnits(batch.high);
  if (low <= 0 || high <= low) return "";
  constexpr double kLeft = 44, kRight = 44, kMiddle = 26;
  const auto x = [&](double v) {
    return kLeft + (kWide - kLeft - kRight) * std::clamp((v - low) / (high - low), 0.0, 1.0);
  };
  const auto figure = [&](const char* which, const std::string& words) {
    return chartLink(priceAnchor(at, which), words);
  };
  return chartHead(40, "The price inside its band", kWide) +
         chartBar(kLeft, kMiddle - 6, kWide - kLeft - kRight, 12, "#d5cdb9",
                  "low " + moneyText(batch.low) + ", high " + moneyText(batch.high) + " " + e.currency) +
         chartStroke("M" + shortest(x(likely)) + " 16V38", "stroke-width=\"2.5\"") +
         figure("each", chartText(x(likely), 12, moneyRounded(batch.perPiece),
                                  " text-anchor=\"middle\" font-weight=\"bold\"")) +
         figure("low", chartText(kLeft - 6, kMiddle + 5, moneyRounded(batch.low), " text-anchor=\"end\"")) +
         figure("high", chartText(kWide - kRight + 6, kMiddle + 5, moneyRounded(batch.high))) + "</svg>\n";
}

}  // namespace chipledger::report
