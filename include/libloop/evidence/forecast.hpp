// Where a reading will settle, from the log so far, and how long it is worth waiting.
//
//   const libloop::Forecast f = libloop::forecast(times, rises);
//   f.settled.p50, f.verdict, f.wait
//
// Given a cooler and a bench, candidate courses come from warm-ups of the loop over all that is
// not known of it; without, from single exponentials of every time constant. Either way a reading
// is a level plus a swing that fades by one of these courses, plus correlated noise, plus rounding;
// all is weighed by how well it fits what was read. docs/theory/forecast.md.
#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "libloop/model/predict.hpp"

namespace libloop {

// One way a step may go on: the share of its swing that is still to come, by time since the step;
// 1 until the end of `skip`, 0 in the end.
struct Course {
  std::vector<double> left;    // at the times of its Courses
  double time_constant = 0.0;  // s, of its slow end
  double weight = 1.0;         // how likely before any reading, against the others
  // What it expects: the level when `skip` is over, and the swing from there on, K.
  double level = 0.0, swing = 0.0;
  double u_swing = 0.0;  // standard deviation about the swing, K
};

struct Courses {
  std::vector<double> times;  // s, rising, from `skip` on; at the last all has settled
  std::vector<Course> all;
  // Standard deviation about the level that each expects, K; infinite: nothing is known.
  double u_level = 0.0;
  double u_log_time = 0.0;  // of the logarithm of the time constant, over all courses
  // Of the logarithm of the time, by which the truth may run quicker or slower than the course next
  // to it: fills the gaps between courses.
  double u_between = 0.0;
  // What is left of the swing may end so much off, of itself: no course is quite true.
  double u_left = 0.0;
  double skip = 0.0;      // s after the step that say nothing: sensor, plate, first lap
  bool physical = false;  // from a cooler and a bench
};

// Warm-ups of the model over all its doubts, from the duty before (nothing: at ambient, all off).
Courses physical_courses(const Model& model, const Duty& duty, const std::optional<Duty>& before,
                         int samples = 240, unsigned long long seed = 1);
// Exponentials of any time constant between 10 s and 2000 s, alone or with a slower tail.
Courses exponential_courses();

enum class Verdict { stop, wait, cannot_tell };

struct Forecast {
  Interval settled;  // K; p05 and p95 with noise, rounding and model error
  // K by which a slow mode that the log cannot show yet (board, room) may move the settled value on
  // in the direction of the swing: beyond p95 when it rises, and negative, below p05, when it
  // falls.
  double allowance = 0.0;
  // Where the settled value may lie with it: beyond the end of the interval on that side.
  double furthest() const { return (allowance < 0.0 ? settled.p05 : settled.p95) + allowance; }
  double now = 0.0;  // K, the level of the reading at the end of the log, noise taken off
  Interval left;     // K still to come
  Verdict verdict = Verdict::cannot_tell;
  double wait = 0.0;              // s until the verdict is expected to be stop
  std::string why;                // of wait and cannot_tell, one sentence
  double time_constant = 0.0;     // s, likely
  double noise = 0.0;             // K, standard deviation of a reading about the course
  double correlation_time = 0.0;  // s, of the noise
  double step = 0.0;              // K, rounding
  int used = 0;                   // readings
  // The fan of courses, for a picture: by time since the step.
  std::vector<double> times, p05, p50, p95;
};

struct ForecastOptions {
  double within = 0.5;  // K: stop when the settled value is known to so much, either way
  double step = 0.0;    // K, rounding of the reading
  double floor = 0.1;   // K, what any of these courses may be off in the end; judgement
};

// `times` in s since the step began; `rise` the reading over ambient, K; no_reading is passed
// over. Throws InputError (code call) when sizes differ or times fall.
Forecast forecast(std::span<const double> times, std::span<const double> rise,
                  const Courses& courses, const ForecastOptions& options = {});

}  // namespace libloop
