#include <chipledger/field/distance.hpp>
#include <chipledger/parallel/parallel.hpp>

#include <cmath>

#include "field/envelope.hpp"
#include "field/region_rows.hpp"

namespace chipledger::field {

namespace {
constexpr float kFar = 1e17F;             // squared cells; its square root is above any grid
constexpr std::size_t kRowGrain = 16;     // rows of one task
constexpr double kCornerCells = 2.0;      // a crossing this near a corner of the border knows of it
constexpr double kSharpTurn = 0.35;       // rad, 20 degrees: a corner that may stand out between two crossings
constexpr std::size_t kColumnGrain = 16;  // columns of one task: a cache line of floats

Region swapped(Region region) {
  for (Ring& ring : region.rings)
    for (Vec2& p : ring) std::swap(p.x, p.y);
  return region;
}
GridSpec swapped(const GridSpec& s) { return {s.ny, s.nx, s.y0_mm, s.x0_mm, s.cell_um}; }

/// Where a line of cell centres crosses the border, and the corner of the border close by, if any.
struct Crossing {
  double at{};
  std::int32_t corner{-1};
};

/// Along a ring: from each corner the nearest sharp one at or before it (step -1) or at or after it (step +1).
struct Sharp {
  std::size_t corner{};
  double off_mm{1e300};
};
std::vector<Sharp> sharpAlong(const Ring& ring, int step) {
  const std::size_t n = ring.size();
  std::vector<Sharp> out(n);
  Sharp last;
  // Twice round, so that the first corners know of the last ones.
  for (std::size_t round = 0; round < 2 * n; ++round) {
    const std::size_t i = step > 0 ? n - 1 - round % n : round % n;
    const std::size_t before = step > 0 ? (i + 1) % n : (i + n - 1) % n;
    last.off_mm += norm(ring[i] - ring[before]);
    const Vec2 in = ring[i] - ring[(i + n - 1) % n], on = ring[(i + 1) % n] - ring[i];
    if (std::abs(std::atan2(cross(in, on), dot(in, on))) > kSharpTurn) last = {i, 0.0};
    out[i] = last;
  }
  return out;
}

/// Corners of all rings, and for every row its crossings, sorted.
struct Border {
  std::vector<Vec2> corners;
  std::vector<std::int32_t> sharp;  ///< for each corner, the sharp one close by along its ring; -1: none
  std::vector<std::vector<Crossing>> rows;

  Border(const Region& region, const GridSpec& spec) : rows(static_cast<std::size_t>(spec.ny)) {
    const double h = spec.cell(), close = kCornerCells * h;
    for (const Ring& ring : region.rings) {
      const std::size_t n = ring.size(), first = corners.size();
      corners.insert(corners.end(), ring.begin(), ring.end());
      // Curves have a corner every few hundredths: a sharp one close by is tried beside each of them.
      const std::vector<Sharp> back = sharpAlong(ring, -1), on = sharpAlong(ring, 1);
      for (std::size_t k = 0; k < n; ++k) {
        const Sharp& near = back[k].off_mm <= on[k].off_mm ? back[k] : on[k];
        sharp.push_back(near.off_mm < close ? static_cast<std::int32_t>(first + near.corner) : -1);
      }
      for (std::size_t k = 0; k < n; ++k) {
        std::size_t low = k, high = (k + 1) % n;
        if (ring[low].y == ring[high].y) continue;
        if (ring[low].y > ring[high].y) std::swap(low, high);
        const Vec2 a = ring[low], b = ring[high];
        const double lean = (b.x - a.x) / (b.y - a.y), stretch = std::sqrt(1 + lean * lean);
        for (int j = std::max(0, static_cast<int>(std::ceil((a.y - spec.y0_mm) / h - 0.5 - 1e-9))); j < spec.ny; ++j) {
          const double y = spec.y0_mm + (j + 0.5) * h;
          if (y >= b.y) break;
          if (y < a.y) continue;
          const double toLow = (y - a.y) * stretch, toHigh = (b.y - y) * stretch;
          const std::size_t nearer = toLow <= toHigh ? low : high;
          const bool tagged = std::min(toLow, toHigh) < close;
          rows[static_cast<std::size_t>(j)].push_back(
              {a.x + (y - a.y) * lean, tagged ? static_cast<std::int32_t>(first + nearer) : -1});
        }
      }
    }
    for (auto& row : rows)
      std::stable_sort(row.begin(), row.end(), [](const Crossing& a, const Crossing& b) { return a.at < b.at; });
  }
};

// Squared distance along one line to the nearest of the crossings, in cells, and the corner tagged there.
void alongLine(const std::vector<Crossing>& crossings, double origin, double cell, int n, float* out,
               std::int32_t* corner) {
  if (crossings.empty()) {
    std::fill(out, out + n, kFar);
    std::fill(corner, corner + n, -1);
    return;
  }
  std::size_t next = 0;
  for (int i = 0; i < n; ++i) {
    const double x = origin + (i + 0.5) * cell;
    while (next < crossings.size() && crossings[next].at < x) ++next;
    double gap = 1e300;
    if (next < crossings.size()) {
      gap = crossings[next].at - x;
      corner[i] = crossings[next].corner;
    }
    if (next > 0 && x - crossings[next - 1].at < gap) {
      gap = x - crossings[next - 1].at;
      corner[i] = crossings[next - 1].corner;
    }
    const double d = gap / cell;
    out[i] = static_cast<float>(d * d);
  }
}

// Exact distances to the edges in a band along the border; squares, in cells.
void band(const Region& region, const GridSpec& spec, int rowBegin, int rowEnd, Grid<float>& squares) {
  const double h = spec.cell(), width = kBandCells * h;
  for (const Ring& ring : region.rings) {
    for (std::size_t k = 0, before = ring.size() - 1; k < ring.size(); before = k++) {
      const Vec2 a = ring[before], b = ring[k];
      const SweptDisc near(a, b, width);
      const Span over = rows(spec, near.low(), near.high());
      const Vec2 d = b - a;
      const double l2 = dot(d, d), perLength2 = l2 > 0 ? 1.0 / l2 : 0.0;
      for (int j = std::max(over.first, rowBegin); j <= std::min(over.last, rowEnd - 1); ++j) {
        double left, right;
        if (!near.at(spec.y0_mm + (j + 0.5) * h, left, right)) continue;
        const Span span = columns(spec, left, right);
        float* row = squares.cells.data() + spec.at(0, j);
        for (int i = span.first; i <= span.last; ++i) {
          const Vec2 p = spec.centre(i, j) - a;
          const Vec2 gap = p - d * std::clamp(dot(p, d) * perLength2, 0.0, 1.0);
          row[i] = std::min(row[i], static_cast<float>(dot(gap, gap) / (h * h)));
        }
      }
    }
  }
}
}  // namespace

Grid<float> wallDistances(const Region& region, const GridSpec& spec) {
  Grid<float> squares(spec, kFar), other(spec, kFar);
  Grid<std::int32_t> corner(spec, -1), otherCorner(spec, -1);
  const Border byRow(region, spec);
  const Border byColumn(swapped(region), swapped(spec));
  const double h = spec.cell();
  const auto nx = static_cast<std::size_t>(spec.nx), ny = static_cast<std::size_t>(spec.ny);

  forEachRange(ny, kRowGrain, [&](std::size_t begin, std::size_t end) {
    for (std::size_t j = begin; j < end; ++j)
      alongLine(byRow.rows[j], spec.x0_mm, h, spec.nx, squares.cells.data() + j * nx, corner.cells.data() + j * nx);
  });
  // Down the columns: envelopes of the row family, and the column family itself.
  forEachRange(nx, kColumnGrain, [&](std::size_t begin, std::size_t end) {
    const std::size_t wide = end - begin;
    std::vector<float> line(wide * ny), result(wide * ny, kFar);
    std::vector<std::int32_t> tags(wide * ny), resultTags(wide * ny, -1);
    const auto gather = [&](const auto& grid, auto& to) {
      for (std::size_t j = 0; j < ny; ++j)
        for (std::size_t i = begin; i < end; ++i) to[(i - begin) * ny + j] = grid.cells[j * nx + i];
    };
    const auto scatter = [&](const auto& from, auto& grid) {
      for (std::size_t j = 0; j < ny; ++j)
        for (std::size_t i = begin; i < end; ++i) grid.cells[j * nx + i] = from[(i - begin) * ny + j];
    };
    gather(squares, line);
    gather(corner, tags);
    Envelope<float> envelope(spec.ny);
    for (std::size_t i = 0; i < wide; ++i) {
      const std::size_t base = i * ny;
      envelope.run(line.data() + base, spec.ny, kFar, [&](int q, int p, float v) {
        result[base + static_cast<std::size_t>(q)] = v;
        resultTags[base + static_cast<std::size_t>(q)] = tags[base + static_cast<std::size_t>(p)];
      });
    }
    scatter(result, squares);
    scatter(resultTags, corner);
    for (std::size_t i = 0; i < wide; ++i)
      alongLine(byColumn.rows[begin + i], spec.y0_mm, h, spec.ny, line.data() + i * ny, tags.data() + i * ny);
    scatter(line, other);
    scatter(tags, otherCorner);
  });
  forEachRange(ny, kRowGrain, [&](std::size_t begin, std::size_t end) {
    Envelope<float> envelope(spec.nx);
    for (std::size_t j = begin; j < end; ++j) {
      float* row = squares.cells.data() + j * nx;
      std::int32_t* tag = corner.cells.data() + j * nx;
      const std::int32_t* theirs = otherCorner.cells.data() + j * nx;
      envelope.run(other.cells.data() + j * nx, spec.nx, kFar, [&](int q, int p, float v) {
        if (v >= row[q]) return;
        row[q] = v;
        tag[q] = theirs[p];
      });
    }
  });
  forEachRange(ny, kRowGrain, [&](std::size_t begin, std::size_t end) {
    const double perCell2 = 1.0 / (h * h);
    for (std::size_t j = begin; j < end; ++j) {
      float* row = squares.cells.data() + j * nx;
      const std::int32_t* tag = corner.cells.data() + j * nx;
      const std::int32_t* below = j > 0 ? tag - nx : tag;
      const std::int32_t* above = j + 1 < ny ? tag + nx : tag;
      // Between two crossings a corner may stand nearer than both; midway between walls only a neighbour knows of it.
      for (std::size_t i = 0; i < nx; ++i) {
        const std::int32_t west = i > 0 ? tag[i - 1] : -1, east = i + 1 < nx ? tag[i + 1] : -1;
        const Vec2 here = spec.centre(static_cast<int>(i), static_cast<int>(j));
        const auto to = [&](std::int32_t c) {
          const Vec2 gap = here - byRow.corners[static_cast<std::size_t>(c)];
          row[i] = std::min(row[i], static_cast<float>(dot(gap, gap) * perCell2));
        };
        const auto attempt = [&](std::int32_t c) {
          to(c);
          const std::int32_t tip = byRow.sharp[static_cast<std::size_t>(c)];
          if (tip >= 0 && tip != c) to(tip);
        };
        if (tag[i] >= 0) attempt(tag[i]);
        if (west >= 0 && west != tag[i]) attempt(west);
        if (east >= 0 && east != tag[i]) attempt(east);
        if (below[i] >= 0 && below[i] != tag[i]) attempt(below[i]);
        if (above[i] >= 0 && above[i] != tag[i]) attempt(above[i]);
      }
    }
    band(region, spec, static_cast<int>(begin), static_cast<int>(end), squares);
    const float cell = static_cast<float>(h);
    for (std::size_t j = begin; j < end; ++j) {
      float* row = squares.cells.data() + j * nx;
      for (std::size_t i = 0; i < nx; ++i) row[i] = row[i] >= kFar ? -kNoWall_mm : -cell * std::sqrt(row[i]);
      const std::vector<Crossing>& x = byRow.rows[j];
      for (std::size_t k = 0; k + 1 < x.size(); k += 2) {
        const Span span = columns(spec, x[k].at, x[k + 1].at);
        for (int i = span.first; i <= span.last; ++i) row[i] = std::abs(row[i]);
      }
    }
  });
  return squares;
}

Grid<std::uint8_t> cellsInside(const Region& region, const GridSpec& spec) {
  Grid<std::uint8_t> mask(spec, 0);
  const RegionRows byRow(region, spec);
  for (int j = 0; j < spec.ny; ++j) {
    std::uint8_t* row = mask.cells.data() + spec.at(0, j);
    forEachRun(byRow, spec, j, [&](int a, int b) { std::fill(row + a, row + b + 1, std::uint8_t{1}); });
  }
  return mask;
}

Grid<std::int32_t> squaredDistances(const Grid<std::uint8_t>& mask) {
  const GridSpec& spec = mask.spec;
  const auto nx = static_cast<std::size_t>(spec.nx), ny = static_cast<std::size_t>(spec.ny);
  Grid<std::int32_t> out(spec, kFarCells2);
  constexpr std::int32_t kNone = 1 << 24;  // cells along a column: more than any grid has
  constexpr std::size_t kScanColumns = 256;
  // Distance along the column, scanned down and up over a strip of columns at once.
  forEachRange(nx, kScanColumns, [&](std::size_t begin, std::size_t end) {
    const std::size_t wide = end - begin;
    std::vector<std::int32_t> far(wide, kNone);
    for (std::size_t j = 0; j < ny; ++j) {
      const std::uint8_t* in = mask.cells.data() + j * nx + begin;
      std::int32_t* to = out.cells.data() + j * nx + begin;
      for (std::size_t i = 0; i < wide; ++i) to[i] = far[i] = in[i] != 0 ? 0 : far[i] + 1;
    }
    std::fill(far.begin(), far.end(), kNone);
    for (std::size_t j = ny; j-- > 0;) {
      std::int32_t* to = out.cells.data() + j * nx + begin;
      for (std::size_t i = 0; i < wide; ++i) {
        far[i] = std::min(far[i] + 1, to[i]);
        to[i] = far[i];
      }
    }
  });
  forEachRange(ny, kRowGrain, [&](std::size_t begin, std::size_t end) {
    Envelope<double> envelope(spec.nx);
    std::vector<double> g(nx);
    for (std::size_t j = begin; j < end; ++j) {
      std::int32_t* row = out.cells.data() + j * nx;
      for (std::size_t i = 0; i < nx; ++i) {
        g[i] = row[i] >= kNone ? 1e18 : static_cast<double>(row[i]) * static_cast<double>(row[i]);
        row[i] = kFarCells2;
      }
      envelope.run(g.data(), spec.nx, 1e18, [&](int q, int, double v) { row[q] = static_cast<std::int32_t>(v); });
    }
  });
  return out;
}

Grid<float> maskDistances(const Grid<std::uint8_t>& mask) {
  Grid<std::uint8_t> outside = mask;
  for (std::uint8_t& c : outside.cells) c = c == 0 ? 1 : 0;
  const Grid<std::int32_t> toMetal = squaredDistances(mask), toFree = squaredDistances(outside);
  Grid<float> out(mask.spec, 0.0F);
  const float cell = static_cast<float>(mask.spec.cell());
  for (std::size_t k = 0; k < out.cells.size(); ++k) {
    const bool in = mask.cells[k] != 0;
    const std::int32_t d2 = in ? toFree.cells[k] : toMetal.cells[k];
    // The wall runs half a cell before the first centre on its other side.
    const float d = d2 == kFarCells2 ? kNoWall_mm : cell * (std::sqrt(static_cast<float>(d2)) - 0.5F);
    out.cells[k] = in ? d : -d;
  }
  return out;
}

}  // namespace chipledger::field
