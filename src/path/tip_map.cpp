#include <chipledger/field/reach.hpp>
#include <chipledger/path/tip_map.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::path {

field::HeightField cropped(const field::HeightField& field, const Box2& over) {
  const field::GridSpec& g = field.spec;
  const int i0 = std::clamp(g.column(over.min.x), 0, g.nx - 1), i1 = std::clamp(g.column(over.max.x), 0, g.nx - 1);
  const int j0 = std::clamp(g.row(over.min.y), 0, g.ny - 1), j1 = std::clamp(g.row(over.max.y), 0, g.ny - 1);
  field::GridSpec part = g;
  part.nx = i1 - i0 + 1;
  part.ny = j1 - j0 + 1;
  part.x0_mm += i0 * g.cell();
  part.y0_mm += j0 * g.cell();
  field::HeightField out(part, field::kNoMetal);
  for (int j = 0; j < part.ny; ++j)
    std::copy_n(field.cells.begin() + static_cast<std::ptrdiff_t>(g.at(i0, j0 + j)), part.nx,
                out.cells.begin() + static_cast<std::ptrdiff_t>(part.at(0, j)));
  return out;
}

TipMap::TipMap(const field::HeightField& target, const field::Profile& profile, const Box2& over) {
  const double around = profile.widest() + 2.0 * target.spec.cell();
  const field::HeightField part = cropped(target, {over.min - Vec2{around, around}, over.max + Vec2{around, around}});
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

double TipMap::at(Vec2 p) const {
  const field::GridSpec& g = tips_.spec;
  const double x = (p.x - g.x0_mm) / g.cell() - 0.5, y = (p.y - g.y0_mm) / g.cell() - 0.5;
  const int i = static_cast<int>(std::floor(x)), j = static_cast<int>(std::floor(y));
  std::int32_t top = field::kNoMetal;
  for (int b = j; b <= j + 1; ++b)
    for (int a = i; a <= i + 1; ++a)
      if (a >= 0 && b >= 0 && a < g.nx && b < g.ny) top = std::max(top, tips_(a, b));
  return top == field::kNoMetal ? -std::numeric_limits<double>::infinity() : top / 1000.0;
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
