// The solid seen from above and below: highest and lowest metal per cell.
#include <chipledger/field/solid.hpp>
#include <chipledger/parallel/parallel.hpp>

#include <cmath>
#include <memory>

#include "field/region_rows.hpp"
#include "field/section_cache.hpp"
#include "field/triangle_rows.hpp"

namespace chipledger::field {

namespace {
constexpr std::size_t kBandRows = 24;  // rows of one task

std::int32_t um(double mm) { return static_cast<std::int32_t>(std::llround(mm * 1000.0)); }

/// A run of metal in one column, um, with the faces that end it.
struct Metal {
  std::int32_t low{}, high{}, faceLow{-1}, faceHigh{-1};
};

void apply(const Prism& prism, std::vector<Metal>& column, std::vector<Metal>& spare) {
  const std::int32_t low = um(prism.low_mm), high = um(prism.high_mm);
  spare.clear();
  if (prism.act == Prism::Act::Remove) {
    for (const Metal& m : column) {
      if (m.low < low) spare.push_back({m.low, std::min(m.high, low), m.faceLow, m.high <= low ? m.faceHigh : -1});
      if (m.high > high) spare.push_back({std::max(m.low, high), m.high, m.low >= high ? m.faceLow : -1, m.faceHigh});
    }
  } else {
    Metal grown{low, high, -1, -1};
    bool placed = false;
    for (const Metal& m : column) {
      if (m.high < grown.low) {
        spare.push_back(m);
      } else if (m.low > grown.high) {
        if (!placed) spare.push_back(grown);
        placed = true;
        spare.push_back(m);
      } else {
        if (m.low <= grown.low) grown.faceLow = m.faceLow;
        if (m.high >= grown.high) grown.faceHigh = m.faceHigh;
        grown.low = std::min(grown.low, m.low);
        grown.high = std::max(grown.high, m.high);
      }
    }
    if (!placed) spare.push_back(grown);
  }
  column.swap(spare);
}

void apply(const Lift& lift, std::vector<Metal>& column, std::vector<Metal>& spare) {
  const std::int32_t above = um(lift.above_mm), by = um(lift.by_mm);
  const auto moved = [&](std::int32_t z) {
    if (by >= 0) return z >= above ? z + by : z;
    if (z >= above) return z + by;
    return std::min(z, above + by);
  };
  spare.clear();
  for (Metal m : column) {
    m.low = moved(m.low);
    m.high = moved(m.high);
    if (m.high <= m.low) continue;
    if (!spare.empty() && spare.back().high >= m.low) {
      spare.back().high = m.high;
      spare.back().faceHigh = m.faceHigh;
    } else {
      spare.push_back(m);
    }
  }
  column.swap(spare);
}

/// Highest (or lowest) metal by the triangles alone.
template <bool kAbove>
void takeTriangles(const std::vector<SlicedTriangle>& triangles, int rowBegin, int rowEnd, Solid::View& view) {
  const GridSpec& spec = view.height.spec;
  const double h = spec.cell();
  for (const SlicedTriangle& t : triangles) {
    if (t.up != kAbove || t.lastRow < rowBegin || t.firstRow >= rowEnd) continue;
    const bool level = t.zHigh - t.zLow < 1e-9;
    const std::int32_t same = heightUm(t, t.x, t.y);
    for (int j = std::max(t.firstRow, rowBegin); j <= std::min(t.lastRow, rowEnd - 1); ++j) {
      const double y = spec.y0_mm + (j + 0.5) * h;
      int first = 0, end = 0;
      if (!runOf(t, spec, y, first, end)) continue;
      std::int32_t* height = view.height.cells.data() + spec.at(0, j);
      std::int32_t* face = view.face.cells.data() + spec.at(0, j);
      for (int i = first; i < end; ++i) {
        const std::int32_t z = level ? same : heightUm(t, spec.x0_mm + (i + 0.5) * h, y);
        if (kAbove ? z > height[i] : z < height[i]) {
          height[i] = z;
          face[i] = t.face;
        }
      }
    }
  }
}

struct Crossing {
  std::int32_t column{}, z{}, face{};
  bool up{};
};

/// The runs of metal of every column of one row that a change covers, changed in order.
class ColumnWork {
public:
  ColumnWork(const std::vector<Change>& changes, const std::vector<RegionRows>& regions, const GridSpec& spec)
      : changes_(changes), regions_(regions), spec_(spec), first_(static_cast<std::size_t>(spec.nx) + 1) {}

  template <bool kAbove>
  void row(int j, const std::vector<const SlicedTriangle*>& triangles, Solid::View& view) {
    covered_.assign(static_cast<std::size_t>(spec_.nx), 0);
    bool any = false;
    for (const RegionRows& region : regions_)
      forEachRun(region, spec_, j, [&](int a, int b) {
        any = true;
        std::fill(covered_.begin() + a, covered_.begin() + b + 1, char{1});
      });
    if (!any) return;
    collect(j, triangles);
    reach_.assign(changes_.size(), {});
    for (std::size_t k = 0; k < changes_.size(); ++k)
      forEachRun(regions_[k], spec_, j, [&](int a, int b) { reach_[k].push_back({a, b}); });
    at_.assign(changes_.size(), 0);
    for (int i = 0; i < spec_.nx; ++i) {
      if (covered_[static_cast<std::size_t>(i)] == 0) continue;
      readColumn(i);
      for (std::size_t k = 0; k < changes_.size(); ++k) {
        std::size_t& at = at_[k];
        while (at < reach_[k].size() && reach_[k][at].last < i) ++at;
        if (at >= reach_[k].size() || reach_[k][at].first > i) continue;
        if (changes_[k].kind == Change::Kind::Prism)
          apply(changes_[k].prism, column_, spare_);
        else
          apply(changes_[k].lift, column_, spare_);
      }
      const std::size_t cell = spec_.at(i, j);
      view.height.cells[cell] =
          column_.empty() ? (kAbove ? kNoMetal : -kNoMetal) : (kAbove ? column_.back().high : column_.front().low);
      view.face.cells[cell] = column_.empty() ? -1 : (kAbove ? column_.back().faceHigh : column_.front().faceLow);
    }
  }

private:
  // Crossings of the covered columns, grouped by column (counting sort), each group rising.
  void collect(int j, const std::vector<const SlicedTriangle*>& triangles) {
    const double h = spec_.cell(), y = spec_.y0_mm + (j + 0.5) * h;
    found_.clear();
    std::fill(first_.begin(), first_.end(), 0);
    for (const SlicedTriangle* t : triangles) {
      int begin = 0, end = 0;
      if (j < t->firstRow || j > t->lastRow || !runOf(*t, spec_, y, begin, end)) continue;
      for (int i = begin; i < end; ++i) {
        if (covered_[static_cast<std::size_t>(i)] == 0) continue;
        found_.push_back({i, heightUm(*t, spec_.x0_mm + (i + 0.5) * h, y), t->face, t->up});
        ++first_[static_cast<std::size_t>(i) + 1];
      }
    }
    for (std::size_t i = 1; i < first_.size(); ++i) first_[i] += first_[i - 1];
    sorted_.resize(found_.size());
    fill_ = first_;
    for (const Crossing& c : found_) sorted_[fill_[static_cast<std::size_t>(c.column)]++] = c;
  }
  void readColumn(int i) {
    const auto begin = sorted_.begin() + static_cast<std::ptrdiff_t>(first_[static_cast<std::size_t>(i)]);
    const auto end = sorted_.begin() + static_cast<std::ptrdiff_t>(first_[static_cast<std::size_t>(i) + 1]);
    // Metal that ends and metal that begins at one height meet there: the end comes first.
    std::stable_sort(begin, end,
                     [](const Crossing& a, const Crossing& b) { return a.z != b.z ? a.z < b.z : a.up > b.up; });
    column_.clear();
    int depth = 0;
    Metal open;
    for (auto c = begin; c != end; ++c) {
      if (!c->up) {
        if (depth++ == 0) {
          open.low = c->z;
          open.faceLow = c->face;
        }
      } else if (depth > 0 && --depth == 0) {
        open.high = c->z;
        open.faceHigh = c->face;
        if (open.high > open.low) column_.push_back(open);
      }
    }
  }

  const std::vector<Change>& changes_;
  const std::vector<RegionRows>& regions_;
  const GridSpec& spec_;
  std::vector<char> covered_;
  std::vector<Crossing> found_, sorted_;
  std::vector<std::size_t> first_, fill_, at_;
  std::vector<std::vector<Span>> reach_;
  std::vector<Metal> column_, spare_;
};

template <bool kAbove>
Solid::View look(const part::Mesh& mesh, const GridSpec& spec) {
  Solid::View view{HeightField(spec, kAbove ? kNoMetal : -kNoMetal), Grid<std::int32_t>(spec, -1)};
  const std::vector<SlicedTriangle> triangles = sliceTriangles(mesh, spec);
  forEachRange(static_cast<std::size_t>(spec.ny), kBandRows, [&](std::size_t begin, std::size_t end) {
    takeTriangles<kAbove>(triangles, static_cast<int>(begin), static_cast<int>(end), view);
  });
  return view;
}

/// The view of the body with the columns that changes cover looked at anew.
template <bool kAbove>
Solid::View withChanges(Solid::View view, const part::Mesh& mesh, const std::vector<Change>& changes) {
  const GridSpec& spec = view.height.spec;
  const std::vector<SlicedTriangle> triangles = sliceTriangles(mesh, spec);
  std::vector<RegionRows> regions;
  regions.reserve(changes.size());
  for (const Change& c : changes)
    regions.emplace_back(c.kind == Change::Kind::Prism ? c.prism.region : c.lift.region, spec);
  forEachRange(static_cast<std::size_t>(spec.ny), kBandRows, [&](std::size_t begin, std::size_t end) {
    const int rowBegin = static_cast<int>(begin), rowEnd = static_cast<int>(end);
    std::vector<const SlicedTriangle*> mine;
    for (const SlicedTriangle& t : triangles)
      if (t.lastRow >= rowBegin && t.firstRow < rowEnd) mine.push_back(&t);
    ColumnWork work(changes, regions, spec);
    for (int j = rowBegin; j < rowEnd; ++j) work.row<kAbove>(j, mine, view);
  });
  return view;
}
}  // namespace

Solid::View Solid::fromAbove(const GridSpec& spec) const {
  const auto body = [&] { return caches_.front()->seenFromAbove.get(spec, [&] { return look<true>(*mesh_, spec); }); };
  if (changes_.empty()) return *body();
  return *caches_.back()->seenFromAbove.get(spec, [&] { return withChanges<true>(*body(), *mesh_, changes_); });
}

Solid::View Solid::fromBelow(const GridSpec& spec) const {
  const auto body = [&] { return caches_.front()->seenFromBelow.get(spec, [&] { return look<false>(*mesh_, spec); }); };
  if (changes_.empty()) return *body();
  return *caches_.back()->seenFromBelow.get(spec, [&] { return withChanges<false>(*body(), *mesh_, changes_); });
}

VolumeCount Solid::hiddenVoids(const GridSpec& spec) const {
  const View above = look<true>(*mesh_, spec), below = look<false>(*mesh_, spec);
  std::int64_t between = 0, metal = 0;
  for (std::size_t c = 0; c < spec.count(); ++c)
    if (above.height.cells[c] != kNoMetal) between += above.height.cells[c] - below.height.cells[c];
  // Each run of metal ends at a triangle that looks up and begins at one that looks down: signed heights add up to it.
  const double h = spec.cell();
  for (const SlicedTriangle& t : sliceTriangles(*mesh_, spec)) {
    for (int j = t.firstRow; j <= t.lastRow; ++j) {
      const double y = spec.y0_mm + (j + 0.5) * h;
      int first = 0, end = 0;
      if (!runOf(t, spec, y, first, end)) continue;
      std::int64_t sum = 0;
      for (int i = first; i < end; ++i) sum += heightUm(t, spec.x0_mm + (i + 0.5) * h, y);
      metal += t.up ? sum : -sum;
    }
  }
  const std::int64_t hidden = metal > 0 ? std::max<std::int64_t>(0, between - metal) : 0;
  return {hidden * spec.cell_um * spec.cell_um};
}

}  // namespace chipledger::field
