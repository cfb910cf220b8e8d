// Engine of the fields: each kernel beside its plain twin, on a chassis-like plate. Answers are compared before timing.
// Read ratios, not times: bench_field --benchmark_filter=... ; the counters say cells or path per second.
#include <benchmark/benchmark.h>
#include <chipledger/field/distance.hpp>
#include <chipledger/field/reach.hpp>
#include <chipledger/field/removal.hpp>
#include <chipledger/field/solid.hpp>
#include <chipledger/parallel/parallel.hpp>

#include <stdexcept>

#if defined(CHIPLEDGER_WITH_OPENCV)
#include <opencv2/imgproc.hpp>
#endif

#include "support/mesh_shapes.hpp"
#include "support/reference/slow_fields.hpp"
#include "support/reference/slow_removal.hpp"

namespace {
using namespace chipledger;
using namespace chipledger::field;

// 110 x 28 plate, five islands on it, four pockets, three windows, five holes; round corners of many points.
struct Chassis {
  Region outline = offset(rectangle({2, 2}, {108, 26}), 2, 0.0005);
  Region islands, pockets, windows;
  part::Body body;
  Chassis() {
    for (int k = 0; k < 5; ++k) islands = unite(islands, shapes::round({12.0 + 20 * k, 20}, 3, 240));
    for (int k = 0; k < 4; ++k)
      pockets = unite(pockets, offset(rectangle({16.0 + 22 * k, 7}, {26.0 + 22 * k, 12}), 1.5, 0.0005));
    for (int k = 0; k < 3; ++k)
      windows = unite(windows, offset(rectangle({31.0 + 22 * k, 6}, {33.0 + 22 * k, 13}), 1.0, 0.0005));
    for (int k = 0; k < 5; ++k) windows = unite(windows, shapes::round({6.0 + 24 * k, 5}, 1.5, 160));
    const Region plate = subtract(outline, windows);
    body = shapes::body({{0, 1, plate}, {1, 2, subtract(plate, pockets)}, {2, 5, subtract(islands, windows)}});
  }
};
const Chassis& chassis() {
  static const Chassis made;
  return made;
}
GridSpec gridOf(int cell_um) {
  GridSpec g;
  g.cell_um = cell_um;
  g.x0_mm = -6.013;
  g.y0_mm = -6.007;
  g.nx = static_cast<int>(122 / g.cell());
  g.ny = static_cast<int>(40 / g.cell());
  return g;
}
const Solid& solid() {
  static const Solid made(chassis().body, Frame{});
  return made;
}
HeightField surface(int cell_um) {
  HeightField f = solid().fromAbove(gridOf(cell_um)).height;
  for (std::int32_t& z : f.cells) z = std::max(z, 0);
  return f;
}
double megaCells(const GridSpec& g) { return static_cast<double>(g.count()) / 1e6; }

void raster(benchmark::State& state) {
  setThreads(static_cast<int>(state.range(1)));
  const GridSpec g = gridOf(static_cast<int>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(solid().fromAbove(g));
  state.counters["triangles"] = static_cast<double>(chassis().body.mesh.triangles.size());
  state.counters["Mcells"] = megaCells(g);
  setThreads(0);
}
BENCHMARK(raster)
    ->ArgNames({"cell_um", "threads"})
    ->Args({100, 1})
    ->Args({50, 1})
    ->Args({50, 2})
    ->Unit(benchmark::kMillisecond)
    ->UseRealTime();

void section(benchmark::State& state) {
  double z = 0.1;
  for (auto _ : state) {
    benchmark::DoNotOptimize(solid().section(z));
    z += 1e-5;  // never the same height twice: no cache
  }
}
BENCHMARK(section)->Unit(benchmark::kMicrosecond);

void sectionAgain(benchmark::State& state) {
  for (auto _ : state) benchmark::DoNotOptimize(solid().section(1.5));
}
BENCHMARK(sectionAgain)->Unit(benchmark::kMicrosecond);

void wallDistance(benchmark::State& state) {
  setThreads(static_cast<int>(state.range(1)));
  const GridSpec g = gridOf(static_cast<int>(state.range(0)));
  const Region shadow = solid().shadowFromAbove(1);
  for (auto _ : state) benchmark::DoNotOptimize(wallDistances(shadow, g));
  state.counters["Mcells"] = megaCells(g);
  setThreads(0);
}
BENCHMARK(wallDistance)
    ->ArgNames({"cell_um", "threads"})
    ->Args({50, 1})
    ->Args({50, 2})
    ->Unit(benchmark::kMillisecond)
    ->UseRealTime();

void wallDistanceByEdges(benchmark::State& state) {  // the plain twin, a coarse grid
  const GridSpec g = gridOf(200);
  const Region shadow = solid().shadowFromAbove(1);
  const Grid<float> fast = wallDistances(shadow, g);
  for (int j = 0; j < g.ny; ++j)
    for (int i = 0; i < g.nx; ++i)
      if (std::abs(fast(i, j) - chipledger::wallDistance(shadow, g.centre(i, j))) > 0.08 * g.cell())
        throw std::runtime_error("distances differ");
  for (auto _ : state) {
    double sum = 0;
    for (int j = 0; j < g.ny; ++j)
      for (int i = 0; i < g.nx; ++i) sum += chipledger::wallDistance(shadow, g.centre(i, j));
    benchmark::DoNotOptimize(sum);
  }
  state.counters["Mcells"] = megaCells(g);
}
BENCHMARK(wallDistanceByEdges)->Unit(benchmark::kMillisecond);

void squared(benchmark::State& state) {
  setThreads(static_cast<int>(state.range(0)));
  const GridSpec g = gridOf(50);
  const Grid<std::uint8_t> mask = cellsInside(solid().section(1.5), g);
  for (auto _ : state) benchmark::DoNotOptimize(squaredDistances(mask));
  state.counters["Mcells"] = megaCells(g);
  setThreads(0);
}
BENCHMARK(squared)->ArgName("threads")->Arg(1)->Arg(2)->Unit(benchmark::kMillisecond)->UseRealTime();

#if defined(CHIPLEDGER_WITH_OPENCV)
// A general image library's exact distance transform of the same mask, on one thread.
void squaredByLibrary(benchmark::State& state) {
  const GridSpec g = gridOf(50);
  const Grid<std::uint8_t> mask = cellsInside(solid().section(1.5), g);
  const Grid<std::int32_t> ours = squaredDistances(mask);
  cv::setNumThreads(1);
  cv::Mat image(g.ny, g.nx, CV_8U), far;
  for (int j = 0; j < g.ny; ++j)
    for (int i = 0; i < g.nx; ++i) image.at<std::uint8_t>(j, i) = mask(i, j) ? 0 : 255;
  cv::distanceTransform(image, far, cv::DIST_L2, cv::DIST_MASK_PRECISE, CV_32F);
  for (int j = 0; j < g.ny; ++j)
    for (int i = 0; i < g.nx; ++i)
      if (std::abs(std::sqrt(ours(i, j)) - far.at<float>(j, i)) > 1e-3) throw std::runtime_error("distances differ");
  for (auto _ : state) cv::distanceTransform(image, far, cv::DIST_L2, cv::DIST_MASK_PRECISE, CV_32F);
  state.counters["Mcells"] = megaCells(g);
}
BENCHMARK(squaredByLibrary)->Unit(benchmark::kMillisecond)->UseRealTime();
#endif

Profile cutter(int kind) {
  switch (kind) {
    case 0:
      return flatProfile(6);
    case 1:
      return flatProfile(1.5);
    case 2:
      return ballProfile(6);
    default:
      return withBody(flatProfile(3), {6, 2.8, 12, 6, 25, 32});
  }
}
void reach(benchmark::State& state) {
  setThreads(static_cast<int>(state.range(2)));
  const HeightField f = surface(static_cast<int>(state.range(1)));
  const Profile p = cutter(static_cast<int>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(tipHeights(f, p));
  setThreads(0);
}
BENCHMARK(reach)
    ->ArgNames({"cutter", "cell_um", "threads"})
    ->ArgsProduct({{0, 1, 2, 3}, {50}, {1, 2}})
    ->Unit(benchmark::kMillisecond)
    ->UseRealTime();

void reachPlain(benchmark::State& state) {  // 0.1 mm only: the plain twin is slow
  const HeightField f = surface(100);
  const Profile p = cutter(1);
  if (reference::slowTips(f, p).cells != tipHeights(f, p).cells) throw std::runtime_error("reach differs");
  for (auto _ : state) benchmark::DoNotOptimize(reference::slowTips(f, p));
}
BENCHMARK(reachPlain)->Unit(benchmark::kMillisecond)->Iterations(1);

void closing(benchmark::State& state) {
  const HeightField f = surface(50);
  const Profile p = cutter(static_cast<int>(state.range(0)));
  const HeightField tips = tipHeights(f, p);
  for (auto _ : state) benchmark::DoNotOptimize(surfaceLeft(tips, p));
}
BENCHMARK(closing)->ArgName("cutter")->Arg(0)->Arg(2)->Unit(benchmark::kMillisecond)->UseRealTime();

// Rows at a step of 1.2 over a 116 x 30 blank: 25 lines of 120 mm.
double rows(Removal& walk, const Profile& p, double z, double step) {
  double length = 0;
  for (double y = -1; y < 29; y += step) {
    length += walk.cut(line({-4, y, z}, {116, y, z}), p).length_mm;
    walk.lift();
  }
  return length;
}
void removal(benchmark::State& state) {
  const GridSpec g = gridOf(static_cast<int>(state.range(1)));
  const Profile p = state.range(0) == 0 ? flatProfile(6) : state.range(0) == 1 ? bullProfile(6, 0.5) : ballProfile(3);
  const StockBlock full = fullBlank(g, {{0, 0, 0}, {110, 28, 6}});
  double length = 0, seconds = 0;
  for (auto _ : state) {
    state.PauseTiming();
    StockBlock stock = full;
    Removal walk(stock, Frame{}, {});
    state.ResumeTiming();
    const double done = rows(walk, p, 4, state.range(0) == 2 ? 0.4 : 1.2);
    length += done;
    seconds += 1;
  }
  state.counters["m_per_s"] = benchmark::Counter(length / 1000, benchmark::Counter::kIsRate);
}
BENCHMARK(removal)->ArgNames({"shape", "cell_um"})->ArgsProduct({{0, 1, 2}, {100, 50}})->Unit(benchmark::kMillisecond);

void removalPlain(benchmark::State& state) {  // every cell against every place of the cutter, one short line
  const GridSpec g{120, 120, 0, 0, 100};
  const Profile p = flatProfile(6);
  const Segment s = line({2, 6, 1}, {10, 6, 1});
  const auto places = reference::placesAlong(s, 0.01);
  for (auto _ : state) {
    double sum = 0;
    for (int j = 0; j < g.ny; ++j)
      for (int i = 0; i < g.nx; ++i) sum += reference::lowestOver(g.centre(i, j), places, p) < 6 ? 1 : 0;
    benchmark::DoNotOptimize(sum);
  }
  state.counters["m_per_s"] =
      benchmark::Counter(0.008 * static_cast<double>(state.iterations()), benchmark::Counter::kIsRate);
}
BENCHMARK(removalPlain)->Unit(benchmark::kMillisecond);

}  // namespace

BENCHMARK_MAIN();
