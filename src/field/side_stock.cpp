#include <chipledger/field/side_stock.hpp>
#include <chipledger/parallel/parallel.hpp>

#include <algorithm>
#include <cmath>

#include "field/block_bounds.hpp"

namespace chipledger::field {
namespace {

constexpr int kHalvings = 6;  // a cell of 50 um to better than 1 um

Frame inverseOf(const Frame& f) {
  Frame turned{{f.x.x, f.y.x, f.z.x}, {f.x.y, f.y.y, f.z.y}, {f.x.z, f.y.z, f.z.z}, {}};
  turned.shift = -turned.turn(f.shift);
  return turned;
}

/// In blocks that suit rays of a direction.
BlockBounds boundsAlong(const HeightField& field, Vec3 up) {
  constexpr double kAlong = 1e-9;  // of a row or column: less than a cell off over any part
  using Shape = BlockBounds::Shape;
  if (std::abs(up.z) < kAlong && std::abs(up.y) < kAlong) return {field, Shape::RowPiece};
  if (std::abs(up.z) < kAlong && std::abs(up.x) < kAlong) return {field, Shape::ColumnPiece};
  return {field, Shape::Square};
}

/// The fields a ray passes, and what tells of many cells at once.
struct Seen {
  const StockBlock& stock;
  const std::vector<SideCut>& cuts;
  BlockBounds top, bottom;
  std::vector<BlockBounds> cutBounds;

  Seen(const StockBlock& block, const std::vector<SideCut>& earlier, Vec3 up)
      : stock(block), cuts(earlier), top(boundsAlong(block.top, up)), bottom(boundsAlong(block.bottom, up)) {
    for (const SideCut& cut : cuts) cutBounds.push_back(boundsAlong(cut.heights, cut.plateToSetup.turn(up)));
  }
};

/// Between two places of a line: its cells and heights. Rounded products and sums rise with what they are made of, so
/// every place in between lies within, to the last bit.
struct Run {
  BlockBounds::Cells cells;
  double low_um{}, high_um{};
  Run(const GridSpec& g, Vec3 p, Vec3 q)
      : cells{g.column(std::min(p.x, q.x)), g.column(std::max(p.x, q.x)), g.row(std::min(p.y, q.y)),
              g.row(std::max(p.y, q.y))},
        low_um(std::min(p.z, q.z) * 1000.0),
        high_um(std::max(p.z, q.z) * 1000.0) {}
  bool outside(const GridSpec& g) const { return cells.i1 < 0 || cells.j1 < 0 || cells.i0 >= g.nx || cells.j0 >= g.ny; }
  bool inside(const GridSpec& g) const { return cells.i0 >= 0 && cells.j0 >= 0 && cells.i1 < g.nx && cells.j1 < g.ny; }
  BlockBounds::Cells within(const GridSpec& g) const {
    return {std::max(0, cells.i0), std::min(g.nx - 1, cells.i1), std::max(0, cells.j0), std::min(g.ny - 1, cells.j1)};
  }
};

/// A ray along the spindle, followed in the plate's frame and in that of every earlier setup.
class Ray {
public:
  Ray(const Seen& seen, const Frame& toPlate) : seen_(seen), stock_(seen.stock) {
    const Vec3 up = toPlate.turn({0, 0, 1});
    plate_.up = up;
    for (const SideCut& cut : seen.cuts) cuts_.push_back({{{}, cut.plateToSetup.turn(up)}, &cut});
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
  /// metalAt is `metal` at every place from one height to the other: a bound, "no" may mean that only a closer look
  /// tells.
  bool surelyAll(bool metal, double from, double to) const {
    return metal ? surelyMetal(from, to) : surelyVoid(from, to);
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
  bool surelyMetal(double from, double to) const {
    const GridSpec& g = stock_.top.spec;
    const Run run(g, plate_.at(from), plate_.at(to));
    if (!run.inside(g) || run.high_um >= seen_.top.over(run.cells).low ||
        run.low_um <= seen_.bottom.over(run.cells).high)
      return false;
    for (std::size_t k = 0; k < cuts_.size(); ++k) {
      const GridSpec& s = cuts_[k].cut->heights.spec;
      const Run there(s, cuts_[k].line.at(from), cuts_[k].line.at(to));
      if (!there.outside(s) && there.high_um >= seen_.cutBounds[k].over(there.within(s)).low) return false;
    }
    return true;
  }
  bool surelyVoid(double from, double to) const {
    const GridSpec& g = stock_.top.spec;
    const Run run(g, plate_.at(from), plate_.at(to));
    if (run.outside(g)) return true;
    const BlockBounds::Cells cells = run.within(g);
    if (run.low_um >= seen_.top.over(cells).high || run.high_um <= seen_.bottom.over(cells).low) return true;
    for (std::size_t k = 0; k < cuts_.size(); ++k) {
      const GridSpec& s = cuts_[k].cut->heights.spec;
      const Run there(s, cuts_[k].line.at(from), cuts_[k].line.at(to));
      if (there.inside(s) && there.low_um >= seen_.cutBounds[k].over(there.cells).high) return true;
    }
    return false;
  }

  const Seen& seen_;
  const StockBlock& stock_;
  Line plate_;
  std::vector<Cut> cuts_;
};

/// Heights at which a ray is looked at, from above.
struct Looks {
  double low_mm{}, high_mm{}, step_mm{};
  int count{};
  double z(int k) const {
    return k == count ? low_mm - 0.5 * step_mm : k < 0 ? high_mm + 0.5 * step_mm : high_mm - (k + 0.5) * step_mm;
  }
};

/// The first look at or after `k` that finds the other of metal and void; count + 1 where none does. Stretches that are
/// surely alike are passed over: up to `guess` if that holds, else longer and longer ones as long as it does.
int firstOther(const Ray& ray, const Looks& looks, int k, bool metal, int guess) {
  constexpr int kFew = 2;
  int length = std::max(kFew, std::min(guess, looks.count + 1) - k);
  bool guessed = true;
  while (k <= looks.count) {
    const int last = std::min(looks.count, k + length - 1);
    if (length > kFew) {
      if (ray.surelyAll(metal, looks.z(k), looks.z(last))) {
        k = last + 1;
        length = guessed ? kFew : 2 * length;
      } else {
        length = guessed ? std::max(kFew, length / 4) : length / 2;
      }
      guessed = false;
      continue;
    }
    for (; k <= last; ++k)
      if (ray.metalAt(looks.z(k)) != metal) return k;
    length *= 2;
    guessed = false;
  }
  return looks.count + 1;
}

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
  Looks looks{low_mm, high_mm, stock.top.spec.cell(), 0};
  looks.count = std::max(1, static_cast<int>(std::ceil((high_mm - low_mm) / looks.step_mm)));
  const Seen fields(stock, cuts, toPlate.turn({0, 0, 1}));
  std::vector<std::vector<Gap>> gaps(static_cast<std::size_t>(spec.ny));
  forEachTask(static_cast<std::size_t>(spec.ny), [&](std::size_t row) {
    const int j = static_cast<int>(row);
    Ray ray(fields, toPlate);
    std::vector<int> borders, beside;  // of this ray and of the one before it: mostly the same
    for (int i = 0; i < spec.nx; ++i) {
      const Vec2 c = spec.centre(i, j);
      ray.through(toPlate.apply({c.x, c.y, 0.0}));
      const std::size_t cell = spec.at(i, j);
      bool inside = false;
      std::int32_t end = kNoMetal;  // of the metal last left
      borders.swap(beside);
      borders.clear();
      const auto next = [&](int from) {
        const std::size_t n = borders.size();
        return firstOther(ray, looks, from, inside, n < beside.size() ? beside[n] : looks.count + 1);
      };
      for (int k = next(0); k <= looks.count; k = next(k + 1)) {
        borders.push_back(k);
        double a = looks.z(k - 1), b = looks.z(k);
        for (int h = 0; h < kHalvings; ++h) {
          const double mid = 0.5 * (a + b);
          (ray.metalAt(mid) == inside ? a : b) = mid;
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
    }
  });
  for (const std::vector<Gap>& row : gaps) seen.gaps.insert(seen.gaps.end(), row.begin(), row.end());
  return seen;
}

}  // namespace chipledger::field
