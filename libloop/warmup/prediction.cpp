#include "libloop/warmup/prediction.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "libloop/base/error.hpp"
#include "libloop/model/draws.hpp"
#include "libloop/warmup/waiting.hpp"

namespace libloop {
namespace {

constexpr double never = std::numeric_limits<double>::infinity();
// Of samples: waits are then exact to some 0.5 % (docs/theory/warm-up.md).
double sample_tolerance(const WarmupPredictOptions& options) {
  double least = 1.0;
  for (const double band : options.bands) least = std::min(least, band);
  return std::clamp(0.005 * least, 1e-4, 1e-3);
}

// Everything of one warm-up that gets an interval.
struct Told {
  double rise = 0.0, coolant = 0.0;
  std::vector<double> settling, coolant_settling;  // by band
  std::vector<double> habit_time, habit_error;     // by habit
  // Of the chips beside the first, and then by band.
  std::vector<double> other_rise;
  std::vector<std::vector<double>> other_settling;
};

Told told(const Trajectory& t, const WarmupPredictOptions& options) {
  Told all;
  all.rise = t.settled_value(Trace::rise);
  all.coolant = t.settled_value(Trace::coolant_rise);
  for (const double band : options.bands) {
    all.settling.push_back(t.settles(Trace::rise, all.rise, band).value_or(never));
    all.coolant_settling.push_back(
        t.settles(Trace::coolant_rise, all.coolant, band).value_or(never));
  }
  for (std::size_t chip = 1; chip < t.chips(); ++chip) {
    all.other_rise.push_back(t.settled_chip_rise(chip));
    all.other_settling.emplace_back();
    for (const double band : options.bands) {
      all.other_settling.back().push_back(t.chip_settles(chip, band).value_or(never));
    }
  }
  for (const Habit& habit : options.habits) {
    const std::optional<double> end = habit_ends(t, habit);
    all.habit_time.push_back(end.value_or(never));
    all.habit_error.push_back(end ? all.rise - t.at(Trace::rise, t.last_change() + *end)
                                  : no_answer);
  }
  return all;
}

// The interval of one number over all samples.
template <class Pick>
Interval interval(const std::vector<Told>& samples, const Told& typical, Pick pick) {
  std::vector<double> values;
  for (const Told& sample : samples) values.push_back(pick(sample));
  Interval i = interval_of(std::move(values), pick(typical));
  // Between two that never settle, never.
  for (double* point : {&i.p05, &i.p50, &i.p95}) {
    if (std::isnan(*point)) *point = never;
  }
  return i;
}

void fill(WarmupPoint& point, const std::vector<Told>& samples, const Told& typical,
          const WarmupPredictOptions& options) {
  point.settled_rise = interval(samples, typical, [](const Told& t) { return t.rise; });
  point.settled_coolant_rise = interval(samples, typical, [](const Told& t) { return t.coolant; });
  for (std::size_t b = 0; b < options.bands.size(); ++b) {
    point.settling.push_back(
        {options.bands[b], interval(samples, typical, [b](const Told& t) { return t.settling[b]; }),
         interval(samples, typical, [b](const Told& t) { return t.coolant_settling[b]; })});
  }
  for (std::size_t c = 0; c < typical.other_rise.size(); ++c) {
    ChipWait wait;
    wait.name = point.typical->settled().chips[c + 1].name;
    wait.settled_rise = interval(samples, typical, [c](const Told& t) { return t.other_rise[c]; });
    for (std::size_t b = 0; b < options.bands.size(); ++b) {
      wait.time.push_back(
          interval(samples, typical, [c, b](const Told& t) { return t.other_settling[c][b]; }));
    }
    point.other_chips.push_back(std::move(wait));
  }
  for (std::size_t h = 0; h < options.habits.size(); ++h) {
    point.habits.push_back(
        {options.habits[h],
         interval(samples, typical, [h](const Told& t) { return t.habit_time[h]; }),
         interval(samples, typical, [h](const Told& t) { return t.habit_error[h]; })});
  }
}

void check(std::span<const WarmupCase> cases, const WarmupPredictOptions& options) {
  if (cases.empty()) refuse(Code::call, "no warm-up to predict", "Give at least one load.");
  check_samples(options.samples);
  for (const double band : options.bands) {
    if (!(band >= 0.02 && band <= 100.0)) {
      refuse(Code::call, fmt::format("a band of {:.6g} K", band),
             "Bands lie between 0.02 K and 100 K.");
    }
  }
  for (const Habit& habit : options.habits) {
    if (!(habit.change > 0.0 && habit.change <= 100.0 && habit.over >= 1.0 &&
          habit.over <= 86400.0)) {
      refuse(Code::call, fmt::format("unchanged by {:.6g} K in {:.6g} s", habit.change, habit.over),
             "A habit has a change of up to 100 K and a time between 1 s and a day.");
    }
  }
  if (!(options.run.duration >= 0.0 && options.run.duration <= 1e8)) {
    refuse(Code::call, fmt::format("a duration of {:.6g} s", options.run.duration), "Up to 1e8 s.");
  }
  for (const WarmupCase& asked : cases) {
    if (options.run.duration > 0.0 && options.run.duration <= asked.profile.end()) {
      refuse(Code::call,
             fmt::format("a duration of {:.6g} s ends before the profile's last row at {:.6g} s",
                         options.run.duration, asked.profile.end()),
             "Waits count from the last row on: take a longer one.");
    }
  }
}

}  // namespace

WarmupPrediction predict_warmup(const Model& model, std::span<const WarmupCase> cases,
                                const WarmupPredictOptions& options) {
  check(cases, options);
  PredictOptions sampling;
  sampling.samples = options.samples;
  sampling.seed = options.seed;
  const std::vector<Draw> drawn = draws(model, sampling);
  WarmupPrediction prediction;
  prediction.bands = options.bands;
  WarmupOptions quick = options.run;
  quick.tolerance = std::max(quick.tolerance, sample_tolerance(options));
  quick.quick = true;
  for (const WarmupCase& asked : cases) {
    WarmupPoint point;
    point.asked = asked;
    Warmup warmup(model);
    std::vector<double> values = model.typical(asked.duty);
    const Trajectory typical = warmup.run_at(values, asked.profile, asked.start, options.run);
    point.typical = typical;
    if (typical.summary().usable && typical.settled().summary.usable) {
      point.slow = warmup.modes();
      point.creep = creep_of(typical);
      std::vector<Told> samples;
      for (int s = 0; s < options.samples; ++s) {
        apply(drawn, s, values);
        model.set_duty(asked.duty, values);
        const Trajectory t = warmup.run_at(values, asked.profile, asked.start, quick);
        const bool answered = t.summary().usable && t.settled().summary.usable;
        if (answered) samples.push_back(told(t, options));
        if (!answered) {
          ++point.without_answer;
          point.why_without = t.summary().usable ? t.settled().summary.why : t.summary().why;
        }
      }
      point.samples = static_cast<int>(samples.size());
      fill(point, samples, told(typical, options), options);
    }
    prediction.points.push_back(std::move(point));
  }
  return prediction;
}

}  // namespace libloop
