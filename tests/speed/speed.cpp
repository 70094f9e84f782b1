// Timings of the operating point and its neighbours. Not a test: tests/speed/run prints
// ratios to the SciPy peer of the same run.
#include <benchmark/benchmark.h>

#include <cmath>

#include "libloop/files/read.hpp"
#include "libloop/model/predict.hpp"

namespace {

using namespace libloop;

constexpr Duty duty{.load = 180.0, .ambient = 296.15};

Model model() {
  const std::string examples = std::string(LIBLOOP_SOURCE) + "/examples/";
  return {read_cooler(examples + "dense-280.toml"), read_bench(examples + "bench-invented.toml")};
}

// Geometry prepared, cold start, solved.
void cold_point(benchmark::State& state) {
  const Model m = model();
  Solver solver(m);
  const std::vector<double> values = m.typical(duty);
  for (auto _ : state) {
    solver.forget();
    benchmark::DoNotOptimize(solver.resolve(values));
  }
}
BENCHMARK(cold_point);

// The same with notes and the gain of leakage.
void cold_point_with_notes(benchmark::State& state) {
  const Model m = model();
  Solver solver(m);
  const std::vector<double> values = m.typical(duty);
  for (auto _ : state) benchmark::DoNotOptimize(solver.solve_at(values));
}
BENCHMARK(cold_point_with_notes);

// Geometry prepared, started from the last point: as in a sample.
void warm_point(benchmark::State& state) {
  const Model m = model();
  Solver solver(m);
  std::vector<double> values = m.typical(duty);
  solver.solve_at(values);
  double sign = 1.0;
  for (auto _ : state) {
    values[0] *= 1.0 + 1e-4 * sign;
    sign = -sign;
    benchmark::DoNotOptimize(solver.resolve(values));
  }
}
BENCHMARK(warm_point);

// Exact slopes of all answers by all quantities.
void slopes(benchmark::State& state) {
  Solver solver(model());
  solver.solve(duty);
  for (auto _ : state) benchmark::DoNotOptimize(solver.slopes());
}
BENCHMARK(slopes);

// The same by central differences, each solve started from the point.
void central_differences(benchmark::State& state) {
  const Model m = model();
  Solver solver(m);
  const std::vector<double> values = m.typical(duty);
  solver.solve_at(values);
  for (auto _ : state) {
    for (std::size_t q = 0; q < values.size(); ++q) {
      std::vector<double> moved = values;
      const double h = 1e-5 * std::max(std::abs(values[q]), 1e-6);
      moved[q] = values[q] + h;
      benchmark::DoNotOptimize(solver.resolve(moved));
      moved[q] = values[q] - h;
      benchmark::DoNotOptimize(solver.resolve(moved));
    }
  }
}
BENCHMARK(central_differences)->Unit(benchmark::kMicrosecond);

// One predicted point with its interval, 400 samples.
void predicted_point(benchmark::State& state) {
  const Model m = model();
  const Duty duties[] = {duty};
  for (auto _ : state) benchmark::DoNotOptimize(predict(m, duties));
}
BENCHMARK(predicted_point)->Unit(benchmark::kMillisecond);

}  // namespace

BENCHMARK_MAIN();
