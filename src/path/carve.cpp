#include <chipledger/parallel/parallel.hpp>
#include <chipledger/path/carve.hpp>
#include <chipledger/path/chart.hpp>
#include <chipledger/path/row_of_region.hpp>
#include <chipledger/path/wall.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::path {
namespace {

constexpr std::int32_t kLevel_um = 4;  // heights this near to a level face are that face
constexpr double kSteepest = 3.7;      // rise over run, 75 degrees: beyond it is a wall
constexpr double kSeam_mm = 0.06;      // narrower strips are seams between faces
constexpr double kLeastGround_mm2 = 0.3;
constexpr double kGrain_mm = 1e-5;     // of regions
constexpr double kMostClimb_mm = 1.0;  // a link that climbs more goes over the top instead

// Details whose faces another stage cuts although they are seen from above.
bool cutElsewhere(detail::DetailKind kind) {
  using K = detail::DetailKind;
  return kind == K::Chamfer || kind == K::Lettering || kind == K::Undercut;
}

struct Stretch {
  double a{}, b{};
  bool used{};
};

// A pass without the places where it would climb or drop along a wall: there it is taken up and set down anew.
std::vector<Pass> betweenCliffs(const Pass& pass) {
  std::vector<Pass> out(1, pass);
  out.back().points.clear();
  for (const Vec3& p : pass.points) {
    if (!out.back().points.empty() && std::abs(p.z - out.back().points.back().z) > kMostClimb_mm) {
      out.push_back(pass);
      out.back().points.clear();
    }
    out.back().points.push_back(p);
  }
  std::erase_if(out, [](const Pass& piece) { return piece.points.size() < 2; });
  return out;
}

}  // namespace

double cuspStep(double radius_mm, double cusp_mm) {
  return 2.0 * std::sqrt(std::max(0.0, 2.0 * radius_mm * cusp_mm - cusp_mm * cusp_mm));
}

Ground groundOf(const Work& work, const field::HeightField& target, const field::Grid<std::int32_t>& detail,
                const std::vector<int>& apart) {
  Ground ground;
  if (work.details == nullptr) return ground;
  const std::vector<detail::Detail>& list = work.details->list;
  // Per detail: the band of heights in which its cells count.
  struct Band {
    bool in{};
    std::int32_t low{field::kNoMetal}, high{-field::kNoMetal};
  };
  std::vector<Band> bands(list.size());
  bool any = false;
  for (int index : work.served) {
    const detail::Detail& d = list[static_cast<std::size_t>(index)];
    const bool plate = work.setup == nullptr || work.setup->plateSide;
    if ((cutElsewhere(d.kind) && (plate || d.kind != detail::DetailKind::Chamfer)) ||
        std::find(apart.begin(), apart.end(), index) != apart.end())
      continue;
    Band& band = bands[static_cast<std::size_t>(index)];
    band.in = true;
    any = true;
    if (!plate || !d.dimensions.rootRadius || d.kind == detail::DetailKind::CarvedFace) continue;
    // The fillet at a foot is cut along the wall, not across.
    const auto [low, high] = heightsInSetup(work, d);
    const double root = toMm(*d.dimensions.rootRadius);
    band.low =
        static_cast<std::int32_t>(std::lround(1000.0 * std::min(low + 1.2 * root + 0.3, 0.5 * (low + root + high))));
  }
  if (!any) return ground;
  std::vector<std::int32_t> levels;
  for (double z : work.view->levels()) levels.push_back(static_cast<std::int32_t>(std::lround(z * 1000.0)));
  const field::GridSpec& g = target.spec;
  std::vector<std::uint8_t> mask(g.count(), 0);
  const auto rise = static_cast<std::int32_t>(2.0 * kSteepest * g.cell_um);
  std::size_t count = 0;
  for (int j = 1; j + 1 < g.ny; ++j) {
    for (int i = 1; i + 1 < g.nx; ++i) {
      const std::size_t c = g.at(i, j);
      const std::int32_t h = target.cells[c], owner = detail.cells[c];
      if (h == field::kNoMetal || owner < 0 || !bands[static_cast<std::size_t>(owner)].in) continue;
      if (h < bands[static_cast<std::size_t>(owner)].low) continue;
      const auto near = std::lower_bound(levels.begin(), levels.end(), h - kLevel_um);
      if (near != levels.end() && *near <= h + kLevel_um) continue;
      const std::int32_t e = target(i + 1, j), w = target(i - 1, j), n = target(i, j + 1), s = target(i, j - 1);
      const auto steep = [&](std::int32_t p, std::int32_t q) {
        return p != field::kNoMetal && q != field::kNoMetal && std::abs(p - q) > rise && std::abs(p - h) > rise / 3 &&
               std::abs(q - h) > rise / 3;
      };
      if (steep(e, w) || steep(n, s)) continue;
      mask[c] = 1;
      ++count;
    }
  }
  if (static_cast<double>(count) * g.cell() * g.cell() < kLeastGround_mm2) return ground;
  Region region = offset(offset(regionOfCells(g, mask), -kSeam_mm), kSeam_mm);
  std::vector<Region> kept;
  for (Region& piece : pieces(region))
    if (area(piece) >= kLeastGround_mm2) kept.push_back(std::move(piece));
  if (kept.empty()) return ground;
  ground.region = unite(kept);
  std::int32_t low = -field::kNoMetal, high = field::kNoMetal;
  for (std::size_t c = 0; c < mask.size(); ++c) {
    if (mask[c] == 0) continue;
    low = std::min(low, target.cells[c]);
    high = std::max(high, target.cells[c]);
  }
  ground.low_mm = low / 1000.0;
  ground.high_mm = high / 1000.0;
  ground.cells = std::move(mask);
  return ground;
}

Pass laidBeside(const Pass& plan, const StandsOver& over, const field::Profile& profile, double raise_mm) {
  Pass out = plan;
  out.points.clear();
  out.closed = false;
  out.keepStart = true;
  const double step = over.cell();
  const std::size_t n = plan.points.size();
  for (std::size_t i = 0; i + (plan.closed ? 0 : 1) < n; ++i) {
    const Vec2 a = plan.points[i].xy(), b = plan.points[(i + 1) % n].xy();
    const int parts = std::max(1, static_cast<int>(std::ceil(norm(b - a) / step)));
    for (int k = out.points.empty() ? 0 : 1; k <= parts; ++k) {
      const Vec2 p = a + (b - a) * (static_cast<double>(k) / parts);
      out.points.push_back({p.x, p.y, 0.0});
    }
  }
  constexpr std::size_t kPlacesPerTask = 64;
  forEachRange(out.points.size(), kPlacesPerTask, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) out.points[i].z = over.tip(profile, out.points[i].xy()) + raise_mm;
  });
  // Up a wall before it is met, not into it.
  const std::vector<Vec3> bare = out.points;
  for (std::size_t i = 0; i + 1 < bare.size(); ++i) {
    if (std::abs(bare[i + 1].z - bare[i].z) <= kGentle_rise * step) continue;
    out.points[i].z = std::max(out.points[i].z, bare[i + 1].z);
    out.points[i + 1].z = std::max(out.points[i + 1].z, bare[i].z);
  }
  return out;
}

Pass laidOn(const Pass& plan, const TipMap& tips, double raise_mm) {
  Pass out = plan;
  out.points.clear();
  out.closed = false;
  out.keepStart = true;
  const std::size_t n = plan.points.size();
  for (std::size_t i = 0; i + (plan.closed ? 0 : 1) < n; ++i) {
    const std::vector<Vec3> way = tips.along(plan.points[i].xy(), plan.points[(i + 1) % n].xy());
    // Where two ways meet the higher of their ends counts.
    if (!out.points.empty()) out.points.back().z = std::max(out.points.back().z, way.front().z);
    out.points.insert(out.points.end(), way.begin() + (out.points.empty() ? 0 : 1), way.end());
  }
  // Where nothing limits the tip it stays at the height it came with.
  const auto limited = [](const Vec3& p) { return std::isfinite(p.z); };
  const auto first = std::find_if(out.points.begin(), out.points.end(), limited);
  double last = first == out.points.end() ? (n > 0 ? plan.points.front().z : 0.0) : first->z;
  for (Vec3& p : out.points) {
    if (limited(p)) last = p.z;
    p.z = last + raise_mm;
  }
  return out;
}

std::vector<Pass> carvePasses(const CarveTask& task) {
  std::vector<Pass> passes;
  if (task.region.empty() || task.step_mm <= 0) return passes;
  const Box2 b = box(task.region);
  const bool alongX = b.size().x >= b.size().y;
  const double across0 = alongX ? b.min.y : b.min.x, across1 = alongX ? b.max.y : b.max.x;
  const auto place = [&](double s, double t) { return alongX ? Vec2{s, t} : Vec2{t, s}; };
  // Even steps no wider than asked, half a step in from the border.
  const int count = std::max(1, static_cast<int>(std::ceil((across1 - across0) / task.step_mm - 1e-9)));
  const double step = (across1 - across0) / count;
  std::vector<std::vector<Stretch>> lines(static_cast<std::size_t>(count));
  std::vector<double> at(static_cast<std::size_t>(count));
  for (int k = 0; k < count; ++k) {
    const double t = across0 + (k + 0.5) * step;
    at[static_cast<std::size_t>(k)] = t;
    std::vector<Stretch>& line = lines[static_cast<std::size_t>(k)];
    // In whole counts of the grain, as regions are: a row along a border of cells lies on it or beside it, never within
    // the rounding of a double.
    const auto counted = [](double mm) { return static_cast<double>(std::llround(mm / kGrain_mm)) * kGrain_mm; };
    const RowOfRegion row(task.region, counted(t), alongX ? RowOfRegion::Along::X : RowOfRegion::Along::Y);
    row.forEachStretch([&](double a, double c) {
      const double first = counted(a), last = counted(c);
      if (last > first) line.push_back({first, last});
    });
  }
  const auto height = [&](Vec2 p) {
    const double z = task.tips->at(p);
    return std::isfinite(z) ? z : -1e9;
  };
  const auto climbs = [&](Vec2 p, Vec2 q) {
    const double top = std::max(height(p), height(q));
    const int n = std::max(1, static_cast<int>(std::ceil(norm(q - p) / task.sample_mm)));
    for (int i = 1; i < n; ++i)
      if (height(p + (q - p) * (static_cast<double>(i) / n)) > top + kMostClimb_mm) return true;
    return false;
  };
  const double reach = 2.0 * task.radius_mm + 4.0 * step;
  for (std::size_t k = 0; k < lines.size(); ++k) {
    for (Stretch& first : lines[k]) {
      if (first.used) continue;
      Pass plan;
      std::size_t row = k;
      Stretch* now = &first;
      bool forward = true;
      for (;;) {
        now->used = true;
        const Vec2 start = place(forward ? now->a : now->b, at[row]), end = place(forward ? now->b : now->a, at[row]);
        plan.points.push_back({start.x, start.y, 0});
        plan.points.push_back({end.x, end.y, 0});
        // On over a gap in the same line, else back along the next one.
        Stretch* next = nullptr;
        std::size_t nextRow = row;
        for (Stretch& s : lines[row]) {
          const double gap = forward ? s.a - now->b : now->a - s.b;
          if (s.used || gap < 0 || gap > reach) continue;
          if (climbs(end, place(forward ? s.a : s.b, at[row]))) continue;
          if (next == nullptr || gap < (forward ? next->a - now->b : now->a - next->b)) next = &s;
        }
        if (next == nullptr && row + 1 < lines.size()) {
          double nearest = reach;
          for (Stretch& s : lines[row + 1]) {
            const Vec2 entry = place(forward ? s.b : s.a, at[row + 1]);
            const double gap = norm(entry - end);
            const bool beside = s.b >= now->a - step && s.a <= now->b + step;
            if (s.used || !beside || gap > nearest || climbs(end, entry)) continue;
            nearest = gap;
            next = &s;
          }
          if (next != nullptr) {
            nextRow = row + 1;
            forward = !forward;
          }
        }
        if (next == nullptr) break;
        now = next;
        row = nextRow;
      }
      for (Pass& piece : betweenCliffs(laidOn(plan, *task.tips, task.raise_mm + kFinishGuard_mm)))
        passes.push_back(std::move(piece));
    }
  }
  return passes;
}

}  // namespace chipledger::path
