// Sweeps as ratios: two threads against one, a point against a price run of its own (part read anew, once without and
// once with the prices of its details); and one re-price after a change, on the cells of the part, against an estimate
// of the part as drawn that starts from nothing. Rows of one and two threads are compared before anything is timed.
#include <benchmark/benchmark.h>
#include <chipledger/detail/change.hpp>
#include <chipledger/estimate/drawn_part.hpp>
#include <chipledger/estimate/replan.hpp>
#include <chipledger/geometry/polygon.hpp>
#include <chipledger/parallel/parallel.hpp>
#include <chipledger/part/read.hpp>
#include <chipledger/shop/load.hpp>
#include <chipledger/vary/csv.hpp>
#include <chipledger/vary/sweep.hpp>

#include <memory>
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
part::Part readOne(const char* name = "medlar-islands") { return must(part::readPart(kSamples + name + ".step")); }
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

// A change of one dimension, or of the batch alone.
struct OneChange {
  const char *part, *detail;
  detail::Dimension dimension;
  double from_mm, step_mm;  // a new value each time: nothing of it is remembered
};
constexpr OneChange kOneChange[] = {{"medlar-islands", "island-1", detail::Dimension::Height, 3.0, 0.0007},
                                    {"medlar-pocketed", "pocket-1", detail::Dimension::Depth, 0.6, 0.0007},
                                    {"medlar-pocketed", "pocket-1", detail::Dimension::Radius, 1.6, 0.0007},
                                    {"medlar-islands", nullptr, detail::Dimension::Height, 0, 0}};

// Shapes are remembered between estimates: the memory is flushed by other shapes before one that is to be the first.
void forgetShapes() {
  for (int k = 0; k < 3000; ++k) benchmark::DoNotOptimize(offset(disc({0.001 * k, 0.0}, 20.0, 1e-5), 0.5));
}

/// A part as drawn, planned on its own cells or on those of details and sweeps, ready to be priced again.
class Ready {
public:
  Ready(const char* name, bool coarse) : part_(readOne(name)) {
    drawn_ = must(estimate::drawnPart(part_.bodies.front(), theShop(), options(false)));
    request_.body = drawn_.body;
    request_.setups = &drawn_.setups;
    request_.details = &drawn_.details;
    request_.solid = drawn_.solid.get();
    request_.holes = estimate::holeOrders(drawn_.details);
    request_.shop = &theShop();
    request_.material = &drawn_.material;
    request_.cell_um = coarse ? estimate::coarser(drawn_.cell_um) : drawn_.cell_um;
    replanner_ = std::make_unique<estimate::Replanner>(must(estimate::Replanner::make(request_, {50})));
  }
  Ready(const Ready&) = delete;

  Money priceOf(const OneChange& change, double value_mm, int batch) const {
    if (change.detail == nullptr) {
      const estimate::PriceInput input{&replanner_->base(), &drawn_.details, {}, request_.holes, &theShop()};
      return estimate::bookPiece(input, batch).cost();
    }
    int index = -1;
    for (std::size_t k = 0; k < drawn_.details.list.size(); ++k)
      if (drawn_.details.list[k].name == change.detail) index = static_cast<int>(k);
    if (index < 0) throw std::runtime_error(std::string("no ") + change.detail);
    auto changed =
        must(detail::withDimension({drawn_.body, drawn_.setups.partToPlate, drawn_.solid.get(), &drawn_.details}, index,
                                   change.dimension, mm(value_mm)));
    estimate::Variant variant;
    variant.changes = std::move(changed.changes);
    variant.details = std::make_shared<const detail::Details>(std::move(changed.details));
    const estimate::Replanned answer = replanner_->changed(variant);
    if (answer.differences.empty()) throw std::runtime_error(answer.failure);
    return answer.differences.front().money;
  }

private:
  part::Part part_;
  estimate::DrawnPart drawn_;
  estimate::PlanRequest request_;
  std::unique_ptr<estimate::Replanner> replanner_;
};

// One thread, so that the figure is the work and not the share of a busy machine.
void repriceOne(benchmark::State& state) {
  const OneChange& change = kOneChange[state.range(0)];
  setThreads(1);
  const Ready ready(change.part, state.range(1) != 0);
  double value = change.from_mm;
  int batch = 20;
  for (auto _ : state) benchmark::DoNotOptimize(ready.priceOf(change, value += change.step_mm, ++batch));
  setThreads(0);
}
BENCHMARK(repriceOne)
    ->ArgNames({"change", "coarse"})
    ->ArgsProduct({{0, 1, 2, 3}, {0, 1}})
    ->Unit(benchmark::kMillisecond);

void firstEstimate(benchmark::State& state) {
  const OneChange& change = kOneChange[state.range(0)];
  setThreads(1);
  const part::Part part = readOne(change.part);
  for (auto _ : state) {
    state.PauseTiming();
    forgetShapes();
    state.ResumeTiming();
    benchmark::DoNotOptimize(must(estimate::estimateBody(part, part.bodies.front(), theShop(), options(false))));
  }
  setThreads(0);
}
BENCHMARK(firstEstimate)->ArgName("change")->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond);

}  // namespace

BENCHMARK_MAIN();
