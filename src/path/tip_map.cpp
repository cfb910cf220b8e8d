#include <chipledger/field/reach.hpp>
#include <chipledger/path/tip_map.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::path {

field::HeightField over(const field::HeightField& field, const Box2& rectangle) {
  const field::GridSpec& g = field.spec;
  const int i0 = g.column(rectangle.min.x), i1 = std::max(i0, g.column(rectangle.max.x));
  const int j0 = g.row(rectangle.min.y), j1 = std::max(j0, g.row(rectangle.max.y));
  field::GridSpec part = g;
  part.nx = i1 - i0 + 1;
  part.ny = j1 - j0 + 1;
  part.x0_mm += i0 * g.cell();
  part.y0_mm += j0 * g.cell();
  field::HeightField out(part, field::kNoMetal);
  const int first = std::max(0, i0), last = std::min(g.nx - 1, i1);
  if (first > last) return out;
  for (int j = std::max(0, j0); j <= std::min(g.ny - 1, j1); ++j)
    std::copy_n(field.cells.begin() + static_cast<std::ptrdiff_t>(g.at(first, j)), last - first + 1,
                out.cells.begin() + static_cast<std::ptrdiff_t>(part.at(first - i0, j - j0)));
  return out;
}

TipMap::TipMap(const field::HeightField& target, const field::Profile& profile, const Box2& place) {
  const double around = profile.widest() + 2.0 * target.spec.cell();
  const field::HeightField part = over(target, {place.min - Vec2{around, around}, place.max + Vec2{around, around}});
  std::int32_t low = std::numeric_limits<std::int32_t>::max(), high = field::kNoMetal;
  for (std::int32_t h : part.cells) {
    if (h == field::kNoMetal) continue;
    low = std::min(low, h);
    high = std::max(high, h);
  }
  field::Profile bare = profile;
  std::erase_if(bare.collars, [&](const field::Profile::Collar& c) {
    return high == field::kNoMetal || c.height_mm * 1000.0 > high - low;
  });
  tips_ = field::tipHeights(part, bare);
}

// Among the four cell centres of which (i, j) is the lower left.
double TipMap::within(int i, int j, Vec2 p) const {
  const field::GridSpec& g = tips_.spec;
  std::int32_t top = field::kNoMetal, low = std::numeric_limits<std::int32_t>::max();
  std::int32_t corner[2][2];
  for (int b = 0; b <= 1; ++b)
    for (int a = 0; a <= 1; ++a) {
      const bool in = i + a >= 0 && j + b >= 0 && i + a < g.nx && j + b < g.ny;
      corner[b][a] = in ? tips_(i + a, j + b) : field::kNoMetal;
      top = std::max(top, corner[b][a]);
      low = std::min(low, corner[b][a]);
    }
  if (top == field::kNoMetal) return -std::numeric_limits<double>::infinity();
  if (low == field::kNoMetal || top - low > kGentle_rise * g.cell_um) return top / 1000.0;
  const double x = std::clamp((p.x - g.x0_mm) / g.cell() - 0.5 - i, 0.0, 1.0);
  const double y = std::clamp((p.y - g.y0_mm) / g.cell() - 0.5 - j, 0.0, 1.0);
  const auto between = [&](const std::int32_t* row) { return row[0] + (row[1] - row[0]) * x; };
  return (between(corner[0]) * (1.0 - y) + between(corner[1]) * y) / 1000.0;
}

double TipMap::at(Vec2 p) const {
  const field::GridSpec& g = tips_.spec;
  return within(static_cast<int>(std::floor((p.x - g.x0_mm) / g.cell() - 0.5)),
                static_cast<int>(std::floor((p.y - g.y0_mm) / g.cell() - 0.5)), p);
}

StandsOver::StandsOver(const field::HeightField& target, const Box2& place, double level_mm)
    : spec_(target.spec), level_mm_(level_mm) {
  const auto level = static_cast<std::int32_t>(std::lround(level_mm * 1000.0));
  const int i0 = std::max(0, spec_.column(place.min.x)), i1 = std::min(spec_.nx - 1, spec_.column(place.max.x));
  firstRow_ = std::max(0, spec_.row(place.min.y));
  for (int j = firstRow_; j <= std::min(spec_.ny - 1, spec_.row(place.max.y)); ++j) {
    std::vector<Cell>& row = rows_.emplace_back();
    for (int i = i0; i <= i1; ++i)
      if (target(i, j) > level) row.push_back({i, target(i, j)});
  }
}

double StandsOver::tip(const field::Profile& profile, Vec2 place) const {
  constexpr double kRim_mm = 1e-6;  // a wall that is only touched does not lift the tip
  const double reach = profile.radius_mm - kRim_mm;
  const int last = firstRow_ + static_cast<int>(rows_.size()) - 1;
  double top = level_mm_;
  for (int j = std::max(firstRow_, spec_.row(place.y - reach)); j <= std::min(last, spec_.row(place.y + reach)); ++j) {
    const double dy = spec_.centre(0, j).y - place.y, square = reach * reach - dy * dy;
    if (square < 0) continue;
    const int right = spec_.column(place.x + std::sqrt(square));
    const std::vector<Cell>& row = rows_[static_cast<std::size_t>(j - firstRow_)];
    auto cell = std::lower_bound(row.begin(), row.end(), spec_.column(place.x - std::sqrt(square)),
                                 [](const Cell& c, int column) { return c.column < column; });
    for (; cell != row.end() && cell->column <= right; ++cell) {
      if (cell->height <= top * 1000.0) continue;
      const double dx = spec_.centre(cell->column, j).x - place.x, d2 = dx * dx + dy * dy;
      if (d2 <= reach * reach) top = std::max(top, cell->height / 1000.0 - profile.heightAt(std::sqrt(d2)));
    }
  }
  return top;
}

std::vector<Vec3> TipMap::along(Vec2 from, Vec2 to) const {
  const field::GridSpec& g = tips_.spec;
  const Vec2 d = to - from;
  // Shares of the way at which a line through cell centres is crossed.
  std::vector<double> cuts{0.0, 1.0};
  const auto crossings = [&](double start, double way, double origin) {
    const double a = (start - origin) / g.cell() - 0.5, b = a + way / g.cell();
    if (std::abs(b - a) < 1e-9) return;
    for (double k = std::ceil(std::min(a, b)); k <= std::max(a, b); k += 1.0) cuts.push_back((k - a) / (b - a));
  };
  crossings(from.x, d.x, g.x0_mm);
  crossings(from.y, d.y, g.y0_mm);
  std::sort(cuts.begin(), cuts.end());
  constexpr double kSame = 1e-9;
  cuts.erase(std::unique(cuts.begin(), cuts.end(), [](double a, double b) { return b - a < kSame; }), cuts.end());
  std::vector<Vec3> out(cuts.size());
  for (std::size_t k = 0; k < cuts.size(); ++k) {
    const Vec2 p = from + d * cuts[k];
    out[k] = {p.x, p.y, -std::numeric_limits<double>::infinity()};
  }
  for (std::size_t k = 0; k + 1 < cuts.size(); ++k) {
    const Vec2 middle = from + d * (0.5 * (cuts[k] + cuts[k + 1]));
    const int i = static_cast<int>(std::floor((middle.x - g.x0_mm) / g.cell() - 0.5));
    const int j = static_cast<int>(std::floor((middle.y - g.y0_mm) / g.cell() - 0.5));
    out[k].z = std::max(out[k].z, within(i, j, out[k].xy()));
    out[k + 1].z = std::max(out[k + 1].z, within(i, j, out[k + 1].xy()));
  }
  if (cuts.size() < 2) out.front().z = at(from);
  return out;
}

Region regionOfCells(const field::GridSpec& spec, const std::vector<std::uint8_t>& mask) {
  // Borders between a cell that is in and one that is out, walked with the inside on the left. Where two cells meet at
  // a corner only, the walk turns left, so that they stay apart.
  enum Way : std::uint8_t { East = 1, North = 2, West = 4, South = 8 };
  constexpr Way kWays[]{East, North, West, South};
  constexpr int kDx[]{1, 0, -1, 0}, kDy[]{0, 1, 0, -1};
  const int nx = spec.nx, ny = spec.ny;
  const auto in = [&](int i, int j) { return i >= 0 && j >= 0 && i < nx && j < ny && mask[spec.at(i, j)] != 0; };
  const auto corner = [&](int i, int j) {
    return static_cast<std::size_t>(j) * (static_cast<std::size_t>(nx) + 1) + static_cast<std::size_t>(i);
  };
  std::vector<std::uint8_t> ways((static_cast<std::size_t>(nx) + 1) * (static_cast<std::size_t>(ny) + 1), 0);
  for (int j = 0; j < ny; ++j) {
    for (int i = 0; i < nx; ++i) {
      if (!in(i, j)) continue;
      if (!in(i, j - 1)) ways[corner(i, j)] |= East;
      if (!in(i + 1, j)) ways[corner(i + 1, j)] |= North;
      if (!in(i, j + 1)) ways[corner(i + 1, j + 1)] |= West;
      if (!in(i - 1, j)) ways[corner(i, j + 1)] |= South;
    }
  }
  const double h = spec.cell();
  std::vector<Ring> rings;
  for (int j = 0; j <= ny; ++j) {
    for (int i = 0; i <= nx; ++i) {
      while (ways[corner(i, j)] != 0) {
        Ring ring;
        int x = i, y = j, way = 0;
        while ((ways[corner(x, y)] & kWays[way]) == 0) ++way;
        for (;;) {
          ways[corner(x, y)] &= static_cast<std::uint8_t>(~kWays[way]);
          ring.push_back({spec.x0_mm + x * h, spec.y0_mm + y * h});
          x += kDx[way];
          y += kDy[way];
          const std::uint8_t open = ways[corner(x, y)];
          if (open == 0) break;  // back at the start
          for (int turn : {1, 0, 3, 2}) {
            const int next = (way + turn) % 4;
            if ((open & kWays[next]) == 0) continue;
            way = next;
            break;
          }
        }
        ring = simplify(ring, 0.75 * h);
        if (ring.size() >= 3) rings.push_back(std::move(ring));
      }
    }
  }
  return clean(rings);
}

}  // namespace chipledger::path
