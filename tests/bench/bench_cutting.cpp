// The search for the cheapest cut against every point of a grid over speed, chip load, axial and radial step.
#include <benchmark/benchmark.h>

#include <cstdio>
#include <cstdlib>

#include "support/reference/grid_cut.hpp"

namespace chipledger::cutting {
namespace {

constexpr int kGridCount = 28;  // points along each of the four ways: about as fine as the 1 % it is held to

struct Task {
  const char* name;
  const char* cutter;
  double depth_mm, stickOut_mm;
};
// Nothing but the table and wear; bending governs with the depth given; bending governs and the depth is free.
constexpr Task kTasks[] = {
    {"table", "flat-6", 6, 21}, {"bending", "flat-6", 9, 40}, {"bending, free depth", "flat-6", 0, 45}};

struct Bench {
  Material material = *findMaterial(builtInTables(), "Ti-6Al-4V");
  Cutter cutter;
  CutRequest request;
  SpindleLimits spindle{rpm(200), rpm(24000), kilowatts(5), newtonMetres(20)};
  explicit Bench(const Task& task) : cutter(*findCutter(builtInTables(), task.cutter)) {
    cutter.stickOut = mm(task.stickOut_mm);
    request.kind = CutKind::Rough;
    request.depth = mm(task.depth_mm);
  }
  Conditions ours() const { return *chooseConditions(material, cutter, request, spindle, builtInTables()); }
  test::GridCut grid() const {
    return test::RoughingByGrid(material, cutter, request, spindle, builtInTables()).search(kGridCount);
  }
};

void search(benchmark::State& state) {
  const Bench bench(kTasks[state.range(0)]);
  state.SetLabel(kTasks[state.range(0)].name);
  if (bench.ours().moneyPerCm3 > 1.01 * bench.grid().money) state.SkipWithError("dearer than the best of the grid");
  for (auto _ : state) benchmark::DoNotOptimize(bench.ours());
}
void everyPoint(benchmark::State& state) {
  const Bench bench(kTasks[state.range(0)]);
  state.SetLabel(kTasks[state.range(0)].name);
  for (auto _ : state) benchmark::DoNotOptimize(bench.grid());
}
BENCHMARK(search)->DenseRange(0, 2);
BENCHMARK(everyPoint)->DenseRange(0, 2)->Unit(benchmark::kMicrosecond);

}  // namespace
}  // namespace chipledger::cutting

BENCHMARK_MAIN();
