#include <chipledger/field/side_stock.hpp>
#include <chipledger/parallel/parallel.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::field {
namespace {

constexpr int kHalvings = 6;  // a cell of 50 um to better than 1 um

Frame inverseOf(const Frame& f) {
  Frame turned{{f.x.x, f.y.x, f.z.x}, {f.x.y, f.y.y, f.z.y}, {f.x.z, f.y.z, f.z.z}, {}};
  turned.shift = -turned.turn(f.shift);
  return turned;
}

/// A ray along the spindle, followed in the plate's frame and in that of every earlier setup.
class Ray {
public:
  Ray(const StockBlock& stock, const std::vector<SideCut>& cuts, const Frame& toPlate) : stock_(stock) {
    const Vec3 up = toPlate.turn({0, 0, 1});
    plate_.up = up;
    for (const SideCut& cut : cuts) cuts_.push_back({{{}, cut.plateToSetup.turn(up)}, &cut});
  }
  /// Through a place of the setup's plane, given in the plate frame at z = 0.
  void through(Vec3 foot) {
    plate_.foot = foot;
    for (Cut& c : cuts_) c.line.foot = c.cut->plateToSetup.apply(foot);
  }
  bool metalAt(double z) const {
    const Vec3 p = plate_.at(z);
    const GridSpec& g = stock_.top.spec;
    const int i = g.column(p.x), j = g.row(p.y);
    if (i < 0 || j < 0 || i >= g.nx || j >= g.ny) return false;
    const double h = p.z * 1000.0;
    if (h >= stock_.top(i, j) || h <= stock_.bottom(i, j)) return false;
    for (const Cut& c : cuts_) {
      const Vec3 q = c.line.at(z);
      const GridSpec& s = c.cut->heights.spec;
      const int a = s.column(q.x), b = s.row(q.y);
      if (a < 0 || b < 0 || a >= s.nx || b >= s.ny) continue;
      const std::int32_t top = c.cut->heights(a, b);
      if (top == kNoMetal || q.z * 1000.0 >= top) return false;
    }
    return true;
  }

private:
  struct Line {
    Vec3 foot, up;
    Vec3 at(double z) const { return foot + up * z; }
  };
  struct Cut {
    Line line;
    const SideCut* cut{};
  };
  const StockBlock& stock_;
  Line plate_;
  std::vector<Cut> cuts_;
};

}  // namespace

StockBlock withoutFrame(const StockBlock& stock, const HeightField& partFromAbove) {
  StockBlock out = stock;
  const GridSpec& g = stock.top.spec;
  const auto part = [&](int i, int j) {
    return i >= 0 && j >= 0 && i < g.nx && j < g.ny && partFromAbove(i, j) != kNoMetal;
  };
  for (int j = 0; j < g.ny; ++j) {
    for (int i = 0; i < g.nx; ++i) {
      if (part(i, j) || part(i - 1, j) || part(i + 1, j) || part(i, j - 1) || part(i, j + 1)) continue;
      out.top(i, j) = kNoMetal;
      out.bottom(i, j) = kNoBottom;
    }
  }
  return out;
}

StockBlock seenFrom(const StockBlock& stock, const std::vector<SideCut>& cuts, const Frame& plateToSetup,
                    const GridSpec& spec, double low_mm, double high_mm) {
  StockBlock seen{HeightField(spec, kNoMetal), HeightField(spec, kNoBottom), {}};
  const Frame toPlate = inverseOf(plateToSetup);
  const double step = stock.top.spec.cell();
  const int count = std::max(1, static_cast<int>(std::ceil((high_mm - low_mm) / step)));
  std::vector<std::vector<Gap>> gaps(static_cast<std::size_t>(spec.ny));
  forEachTask(static_cast<std::size_t>(spec.ny), [&](std::size_t row) {
    const int j = static_cast<int>(row);
    Ray ray(stock, cuts, toPlate);
    for (int i = 0; i < spec.nx; ++i) {
      const Vec2 c = spec.centre(i, j);
      ray.through(toPlate.apply({c.x, c.y, 0.0}));
      const auto at = [&](double z) { return ray.metalAt(z); };
      const std::size_t cell = spec.at(i, j);
      bool inside = false;
      std::int32_t end = kNoMetal;  // of the metal last left
      double last = high_mm + 0.5 * step;
      for (int k = 0; k <= count; ++k) {
        const double z = k == count ? low_mm - 0.5 * step : high_mm - (k + 0.5) * step;
        if (at(z) != inside) {
          double a = last, b = z;
          for (int h = 0; h < kHalvings; ++h) {
            const double mid = 0.5 * (a + b);
            (at(mid) == inside ? a : b) = mid;
          }
          const auto border = static_cast<std::int32_t>(std::lround(500.0 * (a + b)));
          if (!inside) {
            if (seen.top.cells[cell] == kNoMetal)
              seen.top.cells[cell] = border;
            else if (end > border)
              gaps[row].push_back({cell, end, border});
          } else {
            end = border;
            seen.bottom.cells[cell] = border;
          }
          inside = !inside;
        }
        last = z;
      }
    }
  });
  for (const std::vector<Gap>& row : gaps) seen.gaps.insert(seen.gaps.end(), row.begin(), row.end());
  return seen;
}

}  // namespace chipledger::field
