#include <chipledger/report/label_placement.hpp>

#include <algorithm>
#include <numeric>
#include <utility>

namespace chipledger::report {

namespace {

// Middles along a row, as near to `wanted` (rising) as labels kept apart by `width` allow: with i widths taken off the
// i-th, the nearest rising sequence, whose falling stretches are pooled to their mean.
std::vector<double> spread(const std::vector<double>& wanted, double left, double right, double width) {
  struct Pool {
    double sum{};
    std::size_t count{};
    double mean() const { return sum / static_cast<double>(count); }
  };
  std::vector<Pool> pools;
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    pools.push_back({wanted[i] - static_cast<double>(i) * width, 1});
    while (pools.size() > 1 && pools[pools.size() - 2].mean() > pools.back().mean()) {
      pools[pools.size() - 2].sum += pools.back().sum;
      pools[pools.size() - 2].count += pools.back().count;
      pools.pop_back();
    }
  }
  const double lowest = left + width / 2, highest = right - width / 2 - static_cast<double>(wanted.size() - 1) * width;
  std::vector<double> middles;
  for (const Pool& pool : pools) {
    for (std::size_t k = 0; k < pool.count; ++k) {
      middles.push_back(std::max(lowest, std::min(pool.mean(), highest)) + static_cast<double>(middles.size()) * width);
    }
  }
  return middles;
}

void placeRow(const std::vector<Vec2>& anchors, std::vector<std::size_t> row, const LabelRows& rows, bool above,
              std::vector<PlacedLabel>& out) {
  std::stable_sort(row.begin(), row.end(), [&](std::size_t a, std::size_t b) { return anchors[a].x < anchors[b].x; });
  std::vector<double> wanted;
  for (const std::size_t i : row) wanted.push_back(anchors[i].x);
  const std::vector<double> middles = spread(wanted, rows.left, rows.right, rows.labelWidth);
  for (std::size_t i = 0; i < row.size(); ++i) {
    out.push_back({row[i], {middles[i], above ? rows.aboveEdge : rows.belowEdge}, above});
  }
}

double awayFrom(Vec2 p, Vec2 a, Vec2 b) {
  const Vec2 along = b - a;
  const double length2 = dot(along, along);
  const double t = length2 > 0 ? std::clamp(dot(p - a, along) / length2, 0.0, 1.0) : 0.0;
  return norm(p - (a + along * t));
}

bool anyCrossing(const std::vector<Vec2>& anchors, const std::vector<PlacedLabel>& out) {
  for (std::size_t i = 0; i < out.size(); ++i)
    for (std::size_t j = i + 1; j < out.size(); ++j)
      if (crossing(anchors[out[i].index], out[i].end, anchors[out[j].index], out[j].end)) return true;
  return false;
}

// Nearest that the leaders of i and j come to any other foot.
double clearance(const std::vector<Vec2>& anchors, const std::vector<PlacedLabel>& out, std::size_t i, std::size_t j) {
  double nearest = 1e9;
  for (const std::size_t k : {i, j})
    for (const PlacedLabel& other : out)
      if (other.index != out[k].index)
        nearest = std::min(nearest, awayFrom(anchors[other.index], anchors[out[k].index], out[k].end));
  return nearest;
}

// A leader that all but touches another's foot reads as that one's: the two labels are swapped where this clears both
// and nothing comes to cross. Each swap raises the clearance of its pair; rounds are bounded all the same.
void clearFeet(const std::vector<Vec2>& anchors, std::vector<PlacedLabel>& out) {
  constexpr double kClear = 1.5;  // three times the dot at a foot, and some
  constexpr int kRounds = 4;
  for (int round = 0; round < kRounds; ++round) {
    bool swapped = false;
    for (std::size_t i = 0; i < out.size(); ++i)
      for (std::size_t j = i + 1; j < out.size(); ++j) {
        if (awayFrom(anchors[out[j].index], anchors[out[i].index], out[i].end) >= kClear &&
            awayFrom(anchors[out[i].index], anchors[out[j].index], out[j].end) >= kClear)
          continue;
        const double before = clearance(anchors, out, i, j);
        std::swap(out[i].index, out[j].index);
        if (clearance(anchors, out, i, j) > before && !anyCrossing(anchors, out)) {
          swapped = true;
        } else {
          std::swap(out[i].index, out[j].index);
        }
      }
    if (!swapped) return;
  }
}

}  // namespace

bool crossing(Vec2 a, Vec2 b, Vec2 c, Vec2 d) {
  const double side1 = cross(b - a, c - a), side2 = cross(b - a, d - a);
  const double side3 = cross(d - c, a - c), side4 = cross(d - c, b - c);
  return ((side1 > 0) != (side2 > 0)) && ((side3 > 0) != (side4 > 0)) && side1 != 0 && side2 != 0 && side3 != 0 &&
         side4 != 0;
}

std::vector<PlacedLabel> placeLabels(const std::vector<Vec2>& anchors, const LabelRows& rows) {
  std::vector<PlacedLabel> out;
  if (rows.labelWidth <= 0 || rows.right - rows.left < rows.labelWidth) return out;
  // A hair of rounding must not cost a place.
  const auto perRow = static_cast<std::size_t>((rows.right - rows.left) / rows.labelWidth * (1 + 1e-12));
  std::vector<std::size_t> order(std::min(anchors.size(), 2 * perRow));
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return anchors[a].y < anchors[b].y; });
  const std::size_t upper = (order.size() + 1) / 2;
  placeRow(anchors, {order.begin(), order.begin() + static_cast<std::ptrdiff_t>(upper)}, rows, true, out);
  placeRow(anchors, {order.begin() + static_cast<std::ptrdiff_t>(upper), order.end()}, rows, false, out);

  bool mended = true;
  while (mended) {
    mended = false;
    for (std::size_t i = 0; i < out.size(); ++i) {
      for (std::size_t j = i + 1; j < out.size(); ++j) {
        if (crossing(anchors[out[i].index], out[i].end, anchors[out[j].index], out[j].end)) {
          std::swap(out[i].index, out[j].index);
          mended = true;
        }
      }
    }
  }
  clearFeet(anchors, out);
  std::sort(out.begin(), out.end(), [](const PlacedLabel& a, const PlacedLabel& b) { return a.index < b.index; });
  return out;
}

}  // namespace chipledger::report
