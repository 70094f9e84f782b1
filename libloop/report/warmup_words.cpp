#include "libloop/report/warmup_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "libloop/base/error.hpp"
#include "libloop/base/text.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

constexpr double minute = 60.0, hour = 3600.0;

// What a time is rounded to: a tenth of its doubt, as a clock shows it.
double step_of(double seconds, double width) {
  if (!(width > 0.0) || !std::isfinite(width)) {
    return seconds < 10.0 ? 0.1 : seconds < 2.0 * hour ? 1.0 : minute;
  }
  constexpr std::array<double, 8> steps = {0.1, 1.0, 5.0, 10.0, 30.0, 60.0, 300.0, 600.0};
  double step = steps.front();
  for (const double longer : steps) {
    if (longer <= 0.1 * width) step = longer;
  }
  return step;
}

double width_of(const Interval& interval) {
  return std::isfinite(interval.p95) ? interval.p95 - interval.p05 : interval.p50 - interval.p05;
}

// "2 min 40 s", without what is zero.
std::string two_units(long long large, const char* large_unit, long long small,
                      const char* small_unit) {
  if (small == 0) return fmt::format("{} {}", large, large_unit);
  return fmt::format("{} {} {} {}", large, large_unit, small, small_unit);
}

std::string clock_at(double seconds, double width) {
  const double step = std::max(1.0, step_of(seconds, width));
  const long long whole = std::llround(std::round(seconds / step) * step);
  return fmt::format("{}:{:02}", whole / 60, whole % 60);
}

std::string in_kelvins(double kelvins) { return text::number(kelvins, 3) + " K"; }

const WarmupPoint* by_wait(const WarmupPrediction& prediction, bool longest) {
  const std::size_t band = first_band(prediction);
  const WarmupPoint* found = nullptr;
  for (const WarmupPoint& point : prediction.points) {
    if (!usable(point) || band >= point.settling.size()) continue;
    const double wait = point.settling[band].reading.p50;
    const double best = found == nullptr ? wait : found->settling[band].reading.p50;
    if (found == nullptr || (longest ? wait > best : wait < best)) found = &point;
  }
  return found;
}

}  // namespace

bool usable(const WarmupPoint& point) {
  return point.typical && point.typical->summary().usable &&
         point.typical->settled().summary.usable;
}

std::string why_not(const WarmupPoint& point) {
  if (!point.typical) return "it was not solved";
  const network::Summary& run = point.typical->summary();
  return run.usable ? point.typical->settled().summary.why : run.why;
}

double followed(const WarmupPoint& point) {
  if (!point.typical) return 0.0;
  return std::max(0.0, point.typical->end() - point.typical->last_change());
}

std::string time_words(double seconds, double width) {
  if (!std::isfinite(seconds)) return "never";
  const double step = step_of(seconds, width);
  const double told = std::round(seconds / step) * step;
  if (told < 10.0 && step < 1.0) return text::number(told, 2) + " s";
  const long long whole = std::llround(told);
  if (told < minute) return fmt::format("{} s", whole);
  if (told < 2.0 * hour) return two_units(whole / 60, "min", whole % 60, "s");
  const long long minutes = std::llround(told / minute);
  return two_units(minutes / 60, "h", minutes % 60, "min");
}

std::string time_range(const Interval& interval, double followed) {
  const double width = width_of(interval);
  const auto end = [&](double seconds) {
    return std::isfinite(seconds) ? time_words(seconds, width)
                                  : "more than " + time_words(followed, width);
  };
  return end(interval.p05) + " to " + end(interval.p95);
}

std::string clock(const Interval& interval, double seconds, double followed) {
  const double width = width_of(interval);
  return std::isfinite(seconds) ? clock_at(seconds, width) : '>' + clock_at(followed, width);
}

std::string clock_range(const Interval& interval, double followed) {
  return clock(interval, interval.p05, followed) + " to " + clock(interval, interval.p95, followed);
}

std::string habit_words(const Habit& habit) {
  return fmt::format("{} in {}", in_kelvins(habit.change), time_words(habit.over));
}

bool moves(const WarmupPoint& point) { return point.asked.profile.times.size() > 1; }

std::string case_words(const Model& model, const WarmupPoint& point) {
  const std::string to = duty_words(model, point.asked.duty);
  if (moves(point)) {
    return fmt::format("From the profile's last row on ({}, at {})", to,
                       time_words(point.asked.profile.end()));
  }
  if (!point.asked.start.soak) return "From ambient to " + to;
  return fmt::format("From a soak at {} to {}", duty_words(model, *point.asked.start.soak), to);
}

std::string reading_words(const WarmupPoint& point) {
  const std::vector<ChipPoint>& chips = point.typical->settled().chips;
  return chips.size() > 1 ? "the reading of " + chips.front().name : "the reading";
}

std::size_t first_band(const WarmupPrediction& prediction) {
  constexpr double usual = 0.5;
  const auto asked = std::find(prediction.bands.begin(), prediction.bands.end(), usual);
  if (asked != prediction.bands.end()) {
    return static_cast<std::size_t>(asked - prediction.bands.begin());
  }
  std::vector<std::size_t> order(prediction.bands.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return prediction.bands[a] > prediction.bands[b];
  });
  return order.empty() ? 0 : order[order.size() / 2];
}

const WarmupPoint* slowest(const WarmupPrediction& prediction) { return by_wait(prediction, true); }

const WarmupPoint* quickest(const WarmupPrediction& prediction) {
  return by_wait(prediction, false);
}

int asked_samples(const WarmupPrediction& prediction) {
  int most = 0;
  for (const WarmupPoint& point : prediction.points) {
    most = std::max(most, point.samples + point.without_answer);
  }
  return most;
}

Prediction settled_points(const WarmupPrediction& prediction) {
  Prediction settled;
  for (const WarmupPoint& point : prediction.points) {
    PredictedPoint one;
    one.duty = point.asked.duty;
    if (point.typical) {
      one.typical = point.typical->settled();
      const std::vector<Note>& way = point.typical->notes();
      one.typical.notes.insert(one.typical.notes.end(), way.begin(), way.end());
    }
    if (!usable(point)) {
      one.typical.summary.usable = false;
      one.typical.summary.why = why_not(point);
    }
    // Of a point that failed at typical values none was drawn; the others were.
    one.samples = usable(point) ? point.samples : asked_samples(prediction);
    one.without_answer = point.without_answer;
    one.why_without = point.why_without;
    settled.points.push_back(std::move(one));
  }
  return settled;
}

void need_points(const WarmupPrediction& prediction) {
  if (prediction.points.empty()) {
    throw InputError(Problem{Code::call, "no warm-up to report", "Predict at least one.", {}});
  }
}

}  // namespace libloop::report
