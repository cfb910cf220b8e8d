// Time per segment of the planner, and how much faster it is than the plain twin. One thread.
#include <benchmark/benchmark.h>
#include <sys/resource.h>
#include <chipledger/motion/planner.hpp>
#include <support/reference/plain_motion.hpp>

#include <chrono>
#include <random>

using namespace chipledger;

namespace {

// Corners of 12 to 60 degrees, sides of 0.05 to 0.55 mm: the worst input the planner gets, nothing to join.
std::vector<Vec3> corners(std::size_t segments) {
  std::mt19937 random(1);
  std::uniform_real_distribution<double> turn(0.21, 1.05), side(0.05, 0.55);
  std::vector<Vec3> points{{0, 0, 0}};
  double heading = 0;
  for (std::size_t i = 0; i < segments; ++i) {
    heading += random() % 2 == 0 ? turn(random) : -turn(random);
    const double l = side(random);
    points.push_back(points.back() + Vec3{l * std::cos(heading), l * std::sin(heading), 0});
  }
  return points;
}

std::vector<path::Move> asMoves(const std::vector<Vec3>& points, double feed) {
  std::vector<path::Move> moves;
  moves.reserve(points.size());
  for (std::size_t i = 1; i < points.size(); ++i) {
    path::Move m;
    m.segment = line(points[i - 1], points[i]);
    m.feed = mmPerSecond(feed);
    moves.push_back(m);
  }
  return moves;
}

double seconds(auto&& work) {
  const auto start = std::chrono::steady_clock::now();
  work();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

constexpr double kFeed = 40;

void plannerAgainstTwin(benchmark::State& state) {
  const auto points = corners(static_cast<std::size_t>(state.range(0)));
  const auto moves = asMoves(points, kFeed);
  const motion::Machine machine = motion::smallVerticalMill();
  const reference::PlainMotion twin(machine);
  const double fast = toSeconds(motion::planTimes(moves, machine)->likely), slow = twin.likely(points, kFeed);
  if (std::abs(fast - slow) > 1e-6 * slow) {
    state.SkipWithError("planner and twin disagree");
    return;
  }
  double planner = 0, plain = 0;
  for (auto _ : state) {
    planner += seconds([&] { benchmark::DoNotOptimize(motion::planTimes(moves, machine)->likely); });
    plain += seconds([&] { benchmark::DoNotOptimize(twin.likely(points, kFeed)); });
    state.SetIterationTime(planner + plain);
  }
  state.counters["times_faster"] = plain / planner;
  state.counters["us_per_segment"] =
      1e6 * planner / static_cast<double>(state.iterations()) / static_cast<double>(moves.size());
}
BENCHMARK(plannerAgainstTwin)->Arg(1000)->Arg(30000)->Unit(benchmark::kMillisecond);

void aMillionSegments(benchmark::State& state) {
  const auto moves = asMoves(corners(1'000'000), kFeed);
  const motion::Machine machine = motion::smallVerticalMill();
  rusage before{}, after{};
  getrusage(RUSAGE_SELF, &before);
  for (auto _ : state) benchmark::DoNotOptimize(motion::planTimes(moves, machine)->likely);
  getrusage(RUSAGE_SELF, &after);
  state.counters["us_per_segment"] =
      benchmark::Counter(1e-6 * static_cast<double>(moves.size()),
                         benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
  state.counters["more_memory_kB"] = static_cast<double>(after.ru_maxrss - before.ru_maxrss);
}
BENCHMARK(aMillionSegments)->Unit(benchmark::kMillisecond);

}  // namespace

BENCHMARK_MAIN();
