// Whole estimates as ratios: against reading the STEP alone in the same run, one thread against two, all detail prices
// against one estimate; and the offsets that make the rings against the library's own offset. Results of each pair are
// compared before anything is timed. Read ratios, not times: see docs/performance.md.
#include <benchmark/benchmark.h>
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/geometry/polygon.hpp>
#include <chipledger/parallel/parallel.hpp>
#include <chipledger/part/read.hpp>
#include <chipledger/shop/load.hpp>

#include <cmath>
#include <polyclipping/clipper.hpp>
#include <stdexcept>
#include <string>

namespace {
using namespace chipledger;

const std::string kSamples = CHIPLEDGER_SOURCE_DIR "/step_samples/";

part::Part readOne(const std::string& name) {
  auto part = part::readPart(kSamples + name + ".step");
  if (!part) throw std::runtime_error(part.error().what);
  return std::move(*part);
}
const part::Part& chassis() {
  static const part::Part part = readOne("medlar-islands");
  return part;
}
const shop::Shop& theShop() {
  static const shop::Shop shop = [] {
    auto loaded = shop::loadShop(kSamples + "shop-medlar.toml");
    if (!loaded) throw std::runtime_error(loaded.error().what);
    return std::move(*loaded);
  }();
  return shop;
}
estimate::Estimate estimateOne(bool details) {
  estimate::Options options;
  options.priceDetails = details;
  auto made = estimate::estimateBody(chassis(), chassis().bodies.front(), theShop(), options);
  if (!made) throw std::runtime_error(made.error().what);
  return std::move(*made);
}

void readStep(benchmark::State& state) {
  for (auto _ : state) benchmark::DoNotOptimize(readOne("medlar-islands"));
}
BENCHMARK(readStep)->Unit(benchmark::kMillisecond)->UseRealTime();

// Shapes are remembered between estimates, so the first of a process is what counts: the memory is flushed by other
// shapes before each.
void forgetShapes() {
  for (int k = 0; k < 3000; ++k) benchmark::DoNotOptimize(offset(disc({0.001 * k, 0.0}, 20.0, 1e-5), 0.5));
}
void oneEstimate(benchmark::State& state) {
  setThreads(1);
  const Money alone = estimateOne(false).batches.front().perPiece;
  setThreads(static_cast<int>(state.range(0)));
  if (estimateOne(false).batches.front().perPiece != alone) throw std::runtime_error("prices differ by threads");
  for (auto _ : state) {
    state.PauseTiming();
    forgetShapes();
    state.ResumeTiming();
    benchmark::DoNotOptimize(estimateOne(false));
  }
  setThreads(0);
}
BENCHMARK(oneEstimate)->ArgName("threads")->Arg(1)->Arg(2)->Unit(benchmark::kMillisecond)->UseRealTime();

void allDetails(benchmark::State& state) {
  setThreads(static_cast<int>(state.range(0)));
  for (auto _ : state) {
    state.PauseTiming();
    forgetShapes();
    state.ResumeTiming();
    benchmark::DoNotOptimize(estimateOne(true));
  }
  setThreads(0);
}
BENCHMARK(allDetails)->ArgName("threads")->Arg(1)->Arg(2)->Unit(benchmark::kMillisecond)->UseRealTime();

// A rounded plate with a rounded pocket, chords as fine as those of a section; each ring a little further in.
Region finePlate() {
  return subtract(offset(rectangle({0, 0}, {90, 20}), 3.0, 5e-5), offset(rectangle({20, 6}, {40, 14}), 1.5, 5e-5));
}
constexpr double kTolerance = 0.005;
Region plainOffset(const Region& region, double distance) {
  constexpr double kScale = 1e5;
  ClipperLib::Paths paths;
  for (const Ring& ring : region.rings) {
    ClipperLib::Path path;
    for (Vec2 p : ring) path.emplace_back(std::llround(p.x * kScale), std::llround(p.y * kScale));
    paths.push_back(std::move(path));
  }
  ClipperLib::ClipperOffset worker(2.0, kTolerance * kScale);
  worker.AddPaths(paths, ClipperLib::jtRound, ClipperLib::etClosedPolygon);
  ClipperLib::Paths out;
  worker.Execute(out, distance * kScale);
  Region moved;
  for (const ClipperLib::Path& path : out) {
    Ring ring;
    for (const auto& p : path) ring.push_back({static_cast<double>(p.X) / kScale, static_cast<double>(p.Y) / kScale});
    moved.rings.push_back(std::move(ring));
  }
  return moved;
}
void rings(benchmark::State& state) {
  const Region plate = finePlate();
  if (std::abs(perimeter(offset(plate, 4.0, kTolerance)) / perimeter(plainOffset(plate, 4.0)) - 1.0) > 1e-3)
    throw std::runtime_error("rings differ");
  static double moved = 3.0;  // never the same twice: nothing is remembered, in later repetitions neither
  for (auto _ : state) benchmark::DoNotOptimize(offset(plate, moved += 1e-6, kTolerance));
}
void ringsPlain(benchmark::State& state) {
  const Region plate = finePlate();
  for (auto _ : state) benchmark::DoNotOptimize(plainOffset(plate, 4.0));
}
BENCHMARK(rings)->Unit(benchmark::kMicrosecond);
BENCHMARK(ringsPlain)->Unit(benchmark::kMicrosecond);

}  // namespace

BENCHMARK_MAIN();
