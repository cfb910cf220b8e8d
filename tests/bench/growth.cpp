// How the work grows: faces, cells, details, threads. Prints each point as it is measured and, with a file name, draws
// them as SVG. A line ends with its first point beyond a minute. One run is one machine on one day: the slopes carry
// over, the seconds do not. Not a test and not a guard.
#include <chipledger/draw/drawn.hpp>
#include <chipledger/draw/read_chassis.hpp>
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/parallel/parallel.hpp>
#include <chipledger/part/read.hpp>
#include <chipledger/shop/load.hpp>

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <functional>
#include <stdexcept>
#include <string>
#include <vector>

#include "part/drawn.hpp"

namespace {
using namespace chipledger;

struct Point {
  double size, seconds;
};
constexpr double kEndOfLine_s = 60;

struct Growth {
  std::string name, unit;
  std::vector<Point> points;

  /// Measures the next point and tells it; nothing once a point took too long.
  void add(double size, const std::function<double()>& seconds) {
    if (!points.empty() && points.back().seconds > kEndOfLine_s) return;
    points.push_back({size, seconds()});
    fmt::print("{}\t{}\t{:.0f}\t{:.3f}\t{:.2f}\n", name, unit, size, points.back().seconds,
               points.back().seconds / points.front().seconds);
    std::fflush(stdout);
  }

  /// Slope of the last step in the double logarithm: 1 is in proportion.
  double slope() const {
    if (points.size() < 2) return 0;
    const Point &a = points[points.size() - 2], &b = points.back();
    return std::log(b.seconds / a.seconds) / std::log(b.size / a.size);
  }
};

double timed(const std::function<void()>& work) {
  const auto start = std::chrono::steady_clock::now();
  work();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

template <class T>
T need(Result<T> result) {
  if (!result) throw std::runtime_error(sentence(result.error()));
  return std::move(*result);
}

/// A plate with rows of bores: `count` of them, each a detail and two faces.
std::string pierced(int count) {
  const int across = std::max(1, static_cast<int>(std::lround(std::sqrt(count / 2.0))));
  const double length = 4.0 * ((count - 1) / across + 2), width = 4.0 * (across + 1);
  std::string bores;
  for (int k = 0; k < count; ++k)
    bores += fmt::format("{}[{:.3f}, {:.3f}]", k ? ", " : "", 4.0 * (k / across + 1) - length / 2,
                         4.0 * (k % across + 1) - width / 2);
  return fmt::format(
      "name = \"plate\"\nunit = \"mm\"\n[body]\nthickness_mm = 2\n[outline]\nfamily = \"rectangle\"\nlength_mm = {}\n"
      "width_mm = {}\n[[bore]]\nname = \"bore\"\ncentres_mm = [{}]\ndiameter_mm = 2\n",
      length, width, bores);
}

std::string drawnChassis(const std::string& chassis) {
  const auto path = (std::filesystem::temp_directory_path() / fmt::format("growth-{}.step", ::getpid())).string();
  const auto written = draw::writeStep(need(draw::drawChassis(need(draw::readChassisText(chassis, "growth")))), path);
  if (!written) throw std::runtime_error(sentence(written.error()));
  return path;
}

double estimateSeconds(const part::Part& part, const shop::Shop& shop, int cell_um, bool details) {
  estimate::Options options;
  options.cell_um = cell_um;
  options.mostCells = 40'000'000;  // cells of 12 um on the chassis are 18 million
  options.priceDetails = details;
  return timed([&] { need(estimate::estimateBody(part, part.bodies.front(), shop, options)); });
}

constexpr double kWidth = 760, kHeight = 420, kLeft = 60, kTop = 20, kRight = 180, kBottom = 40;

/// Every line starts at 1 by 1: size and seconds are quotients to its first point.
std::string svg(const std::vector<Growth>& lines) {
  double most = 1, longest = 1;
  for (const Growth& line : lines)
    for (const Point& p : line.points) {
      most = std::max(most, p.size / line.points.front().size);
      longest = std::max(longest, p.seconds / line.points.front().seconds);
    }
  const double decades = std::ceil(std::log10(std::max(most, longest)));
  const auto x = [&](double v) { return kLeft + (kWidth - kLeft - kRight) * std::log10(v) / decades; };
  const auto y = [&](double v) { return kHeight - kBottom - (kHeight - kTop - kBottom) * std::log10(v) / decades; };
  std::string out = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {} {}\" font-family=\"sans-serif\" font-size=\"12\">\n"
      "<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n",
      kWidth, kHeight);
  for (int d = 0; d <= static_cast<int>(decades); ++d) {
    const double v = std::pow(10, d);
    out += fmt::format(
        "<path d=\"M{0:.1f} {1:.1f}H{2:.1f}M{3:.1f} {4:.1f}V{5:.1f}\" stroke=\"#ccc\"/>\n"
        "<text x=\"{6:.1f}\" y=\"{7:.1f}\" text-anchor=\"end\">{8:g}</text>\n"
        "<text x=\"{3:.1f}\" y=\"{9:.1f}\" text-anchor=\"middle\">{8:g}</text>\n",
        kLeft, y(v), kWidth - kRight, x(v), kTop, kHeight - kBottom, kLeft - 6, y(v) + 4, v, kHeight - kBottom + 16);
  }
  out += fmt::format(
      "<path d=\"M{:.1f} {:.1f}L{:.1f} {:.1f}\" stroke=\"#999\" stroke-dasharray=\"4 4\"/>\n"
      "<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"middle\">times the size</text>\n",
      x(1), y(1), x(std::pow(10, decades)), y(std::pow(10, decades)), (kLeft + kWidth - kRight) / 2, kHeight - 6);
  constexpr const char* kDash[] = {"", "8 3", "2 3", "8 3 2 3", "1 2"};
  for (std::size_t k = 0; k < lines.size(); ++k) {
    const Growth& line = lines[k];
    std::string way;
    for (const Point& p : line.points)
      way += fmt::format("{}{:.1f} {:.1f}", way.empty() ? "M" : "L", x(p.size / line.points.front().size),
                         y(p.seconds / line.points.front().seconds));
    const Point& last = line.points.back();
    out += fmt::format(
        "<path d=\"{}\" fill=\"none\" stroke=\"#222\" stroke-width=\"1.6\" stroke-dasharray=\"{}\"/>\n"
        "<text x=\"{:.1f}\" y=\"{:.1f}\">{}, slope {:.1f}</text>\n",
        way, kDash[k % std::size(kDash)], x(last.size / line.points.front().size) + 6,
        y(last.seconds / line.points.front().seconds) + 4, line.name, line.slope());
  }
  return out + fmt::format("<text x=\"{}\" y=\"{}\">times the time (dashes: in proportion)</text>\n</svg>\n", kLeft + 6,
                           kTop + 10);
}

/// Plates with side x side holes in one face.
Growth looks(const std::vector<int>& sides) {
  Growth line{"read, faces", "faces", {}};
  for (const int side : sides)
    line.add(side * side + 6, [&] {
      const std::string path = drawn::write(drawn::pierced(side), "growth");
      const double seconds = timed([&] { need(part::readPart(path, {chipledger::seconds(900), 8000, 400})); });
      std::filesystem::remove(path);
      return seconds;
    });
  return line;
}

}  // namespace

int main(int argc, char** argv) try {
  const std::string samples = CHIPLEDGER_SOURCE_DIR "/step_samples/";
  const shop::Shop shop = need(shop::loadShop(samples + "shop-medlar.toml"));
  const part::Part chassis = need(part::readPart(samples + "medlar-islands.step"));
  fmt::print("line\tunit\tsize\tseconds\ttimes_first\n");
  Growth cells{"estimate, cells", "cells per mm2", {}};
  for (const int cell_um : {100, 50, 25, 12})
    cells.add(1e6 / (cell_um * cell_um), [&] { return estimateSeconds(chassis, shop, cell_um, false); });
  Growth details{"all prices, details", "details", {}}, one{"estimate, details", "details", {}};
  for (const int count : {5, 20, 80, 200}) {
    const std::string path = drawnChassis(pierced(count));
    const part::Part part = need(part::readPart(path));
    std::filesystem::remove(path);
    one.add(count, [&] { return estimateSeconds(part, shop, 100, false); });
    details.add(count, [&] { return estimateSeconds(part, shop, 100, true); });
  }
  Growth threads{"estimate, threads", "threads", {}};
  for (const int count : {1, 2}) {
    setThreads(count);
    threads.add(count, [&] { return estimateSeconds(chassis, shop, 25, false); });
  }
  setThreads(0);
  const std::vector<Growth> lines{cells, one, details, threads, looks({10, 32, 71, 100, 141})};
  if (argc > 1) std::ofstream(argv[1]) << svg(lines);
  return 0;
} catch (const std::exception& wrong) {
  fmt::print(stderr, "{}\n", wrong.what());
  return 1;
}
