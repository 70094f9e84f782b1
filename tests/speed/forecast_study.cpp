// How well forecasts come true: logs simulated by full warm-ups of a loop whose quantities are
// drawn from their ranges, with noise and rounding, cut off after so many slow time constants.
//
//   libloop_forecast_study [truths [known|blind]]     prints a table in Markdown
#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <random>
#include <string>
#include <vector>

#include "libloop/evidence/forecast.hpp"
#include "libloop/files/read.hpp"
#include "libloop/model/draws.hpp"
#include "libloop/warmup/warmup.hpp"

namespace {

using namespace libloop;

struct Truth {
  std::vector<double> rise;  // K, each second
  double settled = 0.0, time_constant = 0.0;
};

// The mode that brings most of what comes late.
double slow_time(const SlowModes& slow) {
  double most = 0.0, time = 0.0;
  for (const SlowMode& mode : slow.modes) {
    const double weight = std::abs(mode.amplitude) * mode.time_constant;
    if (mode.time_constant > 300.0 && std::abs(mode.amplitude) < 1.0) continue;  // board
    if (weight > most) most = weight, time = mode.time_constant;
  }
  return time;
}

std::vector<Truth> truths(const Model& model, const Duty& duty, int count) {
  PredictOptions sampling;
  sampling.samples = count;
  sampling.seed = 20261128;  // other draws than the forecast's own
  const std::vector<Draw> drawn = draws(model, sampling);
  Warmup warmup(model);
  std::vector<double> values = model.typical(duty);
  std::vector<Truth> all;
  for (int s = 0; s < count; ++s) {
    apply(drawn, s, values);
    model.set_duty(duty, values);
    const Trajectory t = warmup.run_at(values, steady(duty), {}, {});
    if (!t.summary().usable || !t.settled().summary.usable) continue;
    Truth truth;
    truth.settled = t.settled_value(Trace::rise);
    truth.time_constant = slow_time(warmup.modes());
    for (double at = 0.0; at <= 3.2 * truth.time_constant + 5.0; at += 1.0) {
      truth.rise.push_back(t.at(Trace::rise, std::min(at, t.end())));
    }
    all.push_back(std::move(truth));
  }
  return all;
}

struct Noisy {
  double deviation, correlation_time, step;
};

std::vector<double> log_of(const Truth& truth, std::size_t length, const Noisy& noise,
                           std::mt19937_64& random) {
  std::normal_distribution<double> normal;
  const double fade = noise.correlation_time > 0.0 ? std::exp(-1.0 / noise.correlation_time) : 0.0;
  double state = normal(random);
  std::vector<double> read;
  for (std::size_t i = 0; i < length; ++i) {
    if (i > 0) state = fade * state + std::sqrt(1.0 - fade * fade) * normal(random);
    const double value = truth.rise[i] + noise.deviation * state;
    read.push_back(std::round(value / noise.step) * noise.step);
  }
  return read;
}

struct Cell {
  int count = 0, inside = 0, above = 0, stopped = 0;
  double squares = 0.0, errors = 0.0, half = 0.0;
};

Cell study(const std::vector<Truth>& all, const Courses& courses, double spans,
           const Noisy& noise) {
  std::mt19937_64 random(7);
  Cell cell;
  for (const Truth& truth : all) {
    const std::size_t length = std::min<std::size_t>(
        truth.rise.size(), static_cast<std::size_t>(spans * truth.time_constant));
    const std::vector<double> rise = log_of(truth, length, noise, random);
    std::vector<double> times(length);
    for (std::size_t i = 0; i < length; ++i) times[i] = static_cast<double>(i);
    ForecastOptions options;
    options.step = noise.step;
    const Forecast f = forecast(times, rise, courses, options);
    if (!std::isfinite(f.settled.p50)) continue;
    const double error = f.settled.p50 - truth.settled;
    ++cell.count;
    cell.squares += error * error;
    cell.errors += error;
    cell.half += 0.5 * (f.settled.p95 - f.settled.p05);
    cell.inside += f.settled.p05 <= truth.settled && truth.settled <= f.settled.p95;
    cell.above += truth.settled > f.settled.p95;
    cell.stopped += f.verdict == Verdict::stop;
  }
  return cell;
}

void print_row(const char* by, double fan, const std::string& name, double spans,
               const Cell& cell) {
  const double n = cell.count;
  fmt::print(
      "| {} | {:.0f} | {} | {:.1f} | {:.2f} | {:+.2f} | {:.2f} | {:.0f} | {:.0f} | {:.0f} |\n", by,
      100 * fan, name, spans, std::sqrt(cell.squares / n), cell.errors / n, cell.half / n,
      100.0 * cell.inside / n, 100.0 * cell.above / n, 100.0 * cell.stopped / n);
  std::fflush(stdout);
}

}  // namespace

int main(int argc, char** argv) {
  const int count = argc > 1 ? std::atoi(argv[1]) : 80;
  const std::string only = argc > 2 ? argv[2] : "";
  const Model model(read_cooler("examples/dense-280.toml"),
                    read_bench("examples/bench-invented.toml"), usual_cells);
  fmt::print(
      "| courses | fans [%] | noise | time constants | rmse [K] | bias [K] | half width [K] | "
      "inside [%] | above [%] | stop [%] |\n|---|---|---|---|---|---|---|---|---|---|\n");
  for (const double fan : {1.0, 0.5, 0.3}) {
    Duty duty;
    duty.load = 180.0;
    duty.fan = fan;
    const std::vector<Truth> all = truths(model, duty, count);
    const Courses physical = physical_courses(model, duty, std::nullopt);
    const Courses exponential = exponential_courses();
    struct {
      const char* name;
      double spans;
      Noisy noise;
    } const cells[] = {{"white 0.7 K, step 1 K", 1.5, {0.7, 0.0, 1.0}},
                       {"white 0.7 K, step 1 K", 2.5, {0.7, 0.0, 1.0}},
                       {"5 s 0.7 K, step 1 K", 3.0, {0.7, 5.0, 1.0}},
                       {"white 0.1 K, step 0.1 K", 2.0, {0.1, 0.0, 0.1}}};
    for (const bool known : {true, false}) {
      if (!only.empty() && only != (known ? "known" : "blind")) continue;
      for (const auto& cell : cells) {
        print_row(known ? "cooler and bench" : "exponential", fan, cell.name, cell.spans,
                  study(all, known ? physical : exponential, cell.spans, cell.noise));
      }
    }
  }
}
