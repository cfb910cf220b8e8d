// Sweeps as ratios: two threads against one, a point against a price run of its own (part read anew, once without and
// once with the prices of its details). Rows of one and two threads are compared before anything is timed.
#include <benchmark/benchmark.h>
#include <chipledger/parallel/parallel.hpp>
#include <chipledger/part/read.hpp>
#include <chipledger/shop/load.hpp>
#include <chipledger/vary/csv.hpp>
#include <chipledger/vary/sweep.hpp>

#include <stdexcept>
#include <string>

namespace {
using namespace chipledger;

const std::string kSamples = CHIPLEDGER_SOURCE_DIR "/step_samples/";
constexpr int kPoints = 100;

template <class T>
T must(Result<T> result) {
  if (!result) throw std::runtime_error(sentence(result.error()));
  return std::move(*result);
}
part::Part readOne() { return must(part::readPart(kSamples + "medlar-islands.step")); }
const shop::Shop& theShop() {
  static const shop::Shop shop = must(shop::loadShop(kSamples + "shop-medlar.toml"));
  return shop;
}
estimate::Options options(bool details) {
  estimate::Options o;
  o.batches = {50};
  o.priceDetails = details;
  return o;
}

// Heights of one island over three plate steps.
std::string sweepRows() {
  const part::Part part = readOne();
  const vary::Sweep sweep = must(vary::Sweep::make(part, part.bodies.front(), theShop(), options(false),
                                                   {must(vary::readAxis("island-1.height=1.52:4.49:0.03"))}));
  if (sweep.table().size() != kPoints) throw std::runtime_error("not a hundred points");
  const vary::Table table = sweep.run({}, {});
  std::string text;
  for (std::size_t r = 0; r < table.rows.size(); ++r) text += vary::csvRow(table, r);
  return text;
}
void sweepOfHundred(benchmark::State& state) {
  static const std::string alone = (setThreads(1), sweepRows());
  setThreads(static_cast<int>(state.range(0)));
  for (auto _ : state)
    if (sweepRows() != alone) throw std::runtime_error("rows differ by threads");
  setThreads(0);
}
BENCHMARK(sweepOfHundred)->ArgName("threads")->Arg(1)->Arg(2)->Unit(benchmark::kMillisecond)->UseRealTime();

// One of a hundred; in one process, so the start of the program is not even counted.
void priceRun(benchmark::State& state) {
  setThreads(static_cast<int>(state.range(0)));
  for (auto _ : state) {
    const part::Part part = readOne();
    benchmark::DoNotOptimize(
        must(estimate::estimateBody(part, part.bodies.front(), theShop(), options(state.range(1) != 0))));
  }
  setThreads(0);
}
BENCHMARK(priceRun)
    ->ArgNames({"threads", "details"})
    ->Args({1, 0})
    ->Args({2, 0})
    ->Args({1, 1})
    ->Args({2, 1})
    ->Unit(benchmark::kMillisecond)
    ->UseRealTime();

}  // namespace

BENCHMARK_MAIN();
