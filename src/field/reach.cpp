#include <chipledger/field/reach.hpp>
#include <chipledger/parallel/parallel.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

#include "field/disc_rows.hpp"

namespace chipledger::field {

namespace {
constexpr std::size_t kBandRows = 32;
// Shank and holder are followed down to tips this far below the lowest metal: cutting through goes a few mm deeper.
constexpr std::int32_t kBelowMetal_um = 5000;
constexpr std::int32_t kNothing = kNoMetal / 2;  // anything below is "no metal" plus or minus a cutter's height

/// A cell centre on the very rim of a disc is outside it; the axis is always inside.
bool inside(double distance, double radius) { return distance <= radius - kTouch_mm || distance == 0.0; }

double undersideOver(const Profile& p, double distance, bool body) {
  double z = inside(distance, p.radius_mm) ? p.heightAt(distance) : std::numeric_limits<double>::infinity();
  if (body)
    for (const Profile::Collar& c : p.collars)
      if (inside(distance, c.radius_mm)) z = std::min(z, c.height_mm);
  return z;
}

/// The underside over whole-cell offsets, one quadrant, um; rows of |dy|, each up to its last column.
struct Stamp {
  int radius{};           ///< rows, and columns of the middle row
  std::vector<int> last;  ///< last |dx| of row |dy|
  std::vector<std::vector<std::int32_t>> height;
  int cutting{};  ///< the part of `radius` that the flutes cover

  Stamp(const Profile& p, double cell, bool body) {
    const double rim = (body ? p.widest() : p.radius_mm) - kTouch_mm;
    radius = std::max(0, static_cast<int>(std::floor(rim / cell)));
    for (int dy = 0; dy <= radius; ++dy) {
      std::vector<std::int32_t> row;
      for (int dx = 0; dx <= radius; ++dx) {
        const double z = undersideOver(p, cell * std::hypot(dx, dy), body);
        if (!std::isfinite(z)) break;
        row.push_back(static_cast<std::int32_t>(std::llround(z * 1000.0)));
      }
      if (row.empty()) break;
      last.push_back(static_cast<int>(row.size()) - 1);
      height.push_back(std::move(row));
    }
    radius = static_cast<int>(last.size()) - 1;
    cutting = std::min(radius, std::max(0, static_cast<int>(std::floor((p.radius_mm - kTouch_mm) / cell))));
  }
  /// Rows (and columns) worth visiting from a cell that stands `over` um above the lowest answer that matters: shank
  /// and holder are wide, but they matter only over high metal.
  int useful(std::int32_t over) const {
    // Heights never fall outwards, so the middle row tells.
    const std::vector<std::int32_t>& middle = height.front();
    const auto end = std::upper_bound(middle.begin(), middle.end(), over);
    return std::max(cutting, static_cast<int>(end - middle.begin()) - 1);
  }
};

struct Source {
  int i{}, j{};
  bool west{}, east{}, south{}, north{};  ///< lower on that side
};

void raise(std::int32_t* out, const std::int32_t* drop, int count, std::int32_t z) {
  for (int k = 0; k < count; ++k) out[k] = std::max(out[k], z - drop[k]);
}
void raiseBack(std::int32_t* out, const std::int32_t* drop, int count, std::int32_t z) {  // out[0], out[-1] ...
  for (int k = 0; k < count; ++k) out[-k] = std::max(out[-k], z - drop[k]);
}

HeightField dilate(const HeightField& field, const Stamp& stamp) {
  const GridSpec& g = field.spec;
  HeightField out = field;
  std::int32_t lowest = INT32_MAX;
  for (std::int32_t z : field.cells)
    if (z > kNothing) lowest = std::min(lowest, z);

  const auto ny = static_cast<std::size_t>(g.ny);
  std::vector<std::vector<Source>> sources(ny);
  forEachRange(ny, kBandRows, [&](std::size_t begin, std::size_t end) {
    for (std::size_t row = begin; row < end; ++row) {
      const int j = static_cast<int>(row);
      const std::int32_t* here = field.cells.data() + g.at(0, j);
      const std::int32_t* below = j > 0 ? here - g.nx : here;
      const std::int32_t* above = j + 1 < g.ny ? here + g.nx : here;
      for (int i = 0; i < g.nx; ++i) {
        const std::int32_t z = here[i];
        if (z <= kNothing) continue;
        const bool west = i > 0 && here[i - 1] < z, east = i + 1 < g.nx && here[i + 1] < z;
        const bool south = below[i] < z, north = above[i] < z;
        if (west || east || south || north) sources[row].push_back({i, j, west, east, south, north});
      }
    }
  });

  forEachRange(ny, kBandRows, [&](std::size_t begin, std::size_t end) {
    const int rowBegin = static_cast<int>(begin), rowEnd = static_cast<int>(end);
    const int from = std::max(0, rowBegin - stamp.radius), to = std::min(g.ny - 1, rowEnd - 1 + stamp.radius);
    for (int sj = from; sj <= to; ++sj) {
      for (const Source& s : sources[static_cast<std::size_t>(sj)]) {
        const std::int32_t z = field(s.i, s.j);
        const int useful = stamp.useful(z - lowest + kBelowMetal_um);
        const int low = std::max(rowBegin, s.south ? s.j - useful : s.j);
        const int high = std::min(rowEnd - 1, s.north ? s.j + useful : s.j);
        for (int j = low; j <= high; ++j) {
          const auto dy = static_cast<std::size_t>(std::abs(j - s.j));
          const int wide = std::min(stamp.last[dy], useful);
          const std::int32_t* drop = stamp.height[dy].data();
          std::int32_t* at = out.cells.data() + g.at(s.i, j);
          const int eastward = s.east ? std::min(wide, g.nx - 1 - s.i) : 0;
          raise(at, drop, eastward + 1, z);
          if (s.west) raiseBack(at, drop, std::min(wide, s.i) + 1, z);
        }
      }
    }
  });
  return out;
}
}  // namespace

HeightField tipHeights(const HeightField& surface, const Profile& profile) {
  HeightField tips = dilate(surface, Stamp(profile, surface.spec.cell(), true));
  for (std::int32_t& z : tips.cells)
    if (z <= kNothing) z = kNoMetal;
  return tips;
}

HeightField surfaceLeft(const HeightField& tips, const Profile& profile) {
  HeightField turned = tips;
  for (std::int32_t& z : turned.cells) z = -z;
  HeightField left = dilate(turned, Stamp(profile, tips.spec.cell(), false));
  for (std::int32_t& z : left.cells) z = -z <= kNothing ? kNoMetal : -z;
  return left;
}

VolumeCount reachableVolume(const HeightField& stock, const HeightField& underside, const HeightField& left) {
  std::int64_t sum = 0;
  for (std::size_t k = 0; k < stock.cells.size(); ++k) {
    const std::int64_t floor = std::max(left.cells[k], underside.cells[k]);
    if (stock.cells[k] > floor) sum += stock.cells[k] - floor;
  }
  const std::int64_t cell = stock.spec.cell_um;
  return {sum * cell * cell};
}

}  // namespace chipledger::field
