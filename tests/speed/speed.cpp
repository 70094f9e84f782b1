// Timings of the operating point and its neighbours. Not a test: tests/speed/run prints
// ratios to the SciPy peer of the same run.
#include <benchmark/benchmark.h>

#include <cmath>

#include "libloop/files/read.hpp"
#include "libloop/model/predict.hpp"
#include "network/thermal_elements.hpp"

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

// ---- any graph: flows and temperatures from a cold start, against the number of elements

enum class Shape { chain, parallel, ladder };

// Half of the elements are coolant, half the walls that it warms.
network::Circuit graph(Shape shape, int elements) {
  testing::HeatBuilder h;
  const int cells = elements / 2;
  const auto cell = [&](int from, int to, double rise) {
    h.cell(from, to, h.wall(), {5e4, 20.0, 10.0, rise});
  };
  const auto node = [&] { return h.c.add_node(h.coolant); };
  const int first = node();
  int left = first, right = node();
  cell(first, right, 1e4);
  if (shape == Shape::parallel) {
    for (int i = 1; i < cells; ++i) cell(right, first, 0.0);
  } else if (shape == Shape::chain) {
    for (int i = 1; i < cells; ++i) {
      const int next = i + 1 < cells ? node() : first;
      cell(right, next, i % 20 == 0 ? 1e4 : 0.0);
      right = next;
    }
  } else {
    for (int i = 1; i + 2 < cells; i += 3) {
      const int lower = node(), upper = node();
      cell(lower, left, 0.0);
      cell(right, upper, 0.0);
      cell(upper, lower, 0.0);
      left = lower;
      right = upper;
    }
  }
  return h.done();
}

void solve_graph(benchmark::State& state, Shape shape) {
  const network::Circuit c = graph(shape, static_cast<int>(state.range(0)));
  network::Evaluation work;
  network::SolveOptions options;
  options.load = 10.0 * static_cast<double>(state.range(0));
  int iterations = 0;
  for (auto _ : state) {
    std::vector<double> x = c.start(305.0);
    network::nudge_flows(c, x, work);
    const network::Summary summary = network::solve(c, options, x, work);
    if (!summary.usable) state.SkipWithError(summary.why.c_str());
    iterations = summary.iterations;
  }
  state.counters["unknowns"] = c.unknowns();
  state.counters["steps"] = iterations;
  state.SetComplexityN(state.range(0));
}
BENCHMARK_CAPTURE(solve_graph, chain, Shape::chain)
    ->Arg(10)
    ->Arg(30)
    ->Arg(100)
    ->Arg(300)
    ->Arg(1000)
    ->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(solve_graph, parallel, Shape::parallel)
    ->Arg(10)
    ->Arg(30)
    ->Arg(100)
    ->Arg(300)
    ->Arg(1000)
    ->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(solve_graph, ladder, Shape::ladder)
    ->Arg(10)
    ->Arg(30)
    ->Arg(100)
    ->Arg(300)
    ->Arg(1000)
    ->Unit(benchmark::kMicrosecond);

}  // namespace

BENCHMARK_MAIN();
