// Candidate courses of a step, from warm-ups over all that is not known of the loop.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/error.hpp"
#include "libloop/evidence/courses.hpp"
#include "libloop/model/draws.hpp"
#include "libloop/warmup/warmup.hpp"

namespace libloop {
namespace {

constexpr double skip = 8.0;          // s; sensor, plate and first lap: judgement
constexpr double least_swing = 0.05;  // K: below, a course has no shape to speak of
// Beside every sample stand loops like it that hold less or more coolant than any sample does, and
// between samples the truth may run quicker or slower than the next. Judgement.
struct Relative {
  double time, weight;
};
constexpr Relative relatives[] = {{0.6, 0.1}, {1.6, 0.1}};
constexpr double u_between = 0.08;
// Spread of the level beyond that of the samples, for what the laws do not know: judgement.
constexpr double level_spread = 1.5;
constexpr double u_left = 0.05;  // of what is still to come: judgement

std::vector<Trajectory> warm_ups(const Model& model, const Duty& duty,
                                 const std::optional<Duty>& before, int samples,
                                 unsigned long long seed) {
  PredictOptions sampling;
  sampling.samples = samples;
  sampling.seed = seed;
  const std::vector<Draw> drawn = draws(model, sampling);
  WarmupOptions quick;
  quick.tolerance = 1e-3;
  quick.quick = true;
  Warmup warmup(model);
  std::vector<double> values = model.typical(duty);
  std::vector<Trajectory> all;
  for (int s = 0; s < samples; ++s) {
    apply(drawn, s, values);
    model.set_duty(duty, values);
    Trajectory t = warmup.run_at(values, steady(duty), {before}, quick);
    if (t.summary().usable && t.settled().summary.usable) all.push_back(std::move(t));
  }
  return all;
}

// Area under what is left: a time constant of a course of any shape.
double area(const std::vector<double>& times, const std::vector<double>& left) {
  double sum = 0.0;
  for (std::size_t i = 1; i < times.size(); ++i) {
    sum += 0.5 * (left[i] + left[i - 1]) * (times[i] - times[i - 1]);
  }
  return sum;
}

std::optional<Course> course_of(const Trajectory& t, const std::vector<double>& times) {
  Course course;
  const double settled = t.settled_value(Trace::rise);
  course.level = t.at(Trace::rise, skip);
  course.swing = settled - course.level;
  if (std::abs(course.swing) < least_swing) return std::nullopt;
  for (const double at : times) {
    course.left.push_back(at >= t.end() ? 0.0 : (settled - t.at(Trace::rise, at)) / course.swing);
  }
  course.time_constant = area(times, course.left);
  if (!(course.time_constant > 1.0)) return std::nullopt;
  return course;
}

// A long time constant and a large swing go together: each expects the swing that the samples of
// its time constant have (a straight line of logarithms), and as much doubt as is left then.
void expect_swings(Courses& courses) {
  std::vector<Course>& all = courses.all;
  const double n = static_cast<double>(all.size());
  double mean_level = 0.0, mean_x = 0.0, mean_y = 0.0, rising = 0.0;
  for (const Course& course : all) {
    mean_level += course.level / n;
    mean_x += std::log(course.time_constant) / n;
    mean_y += std::log(std::abs(course.swing)) / n;
    rising += course.swing > 0.0 ? 1.0 / n : 0.0;
  }
  double xx = 0.0, xy = 0.0, yy = 0.0, ll = 0.0;
  for (const Course& course : all) {
    const double x = std::log(course.time_constant) - mean_x;
    const double y = std::log(std::abs(course.swing)) - mean_y;
    xx += x * x / n;
    xy += x * y / n;
    yy += y * y / n;
    ll += (course.level - mean_level) * (course.level - mean_level) / n;
  }
  const double slope = xx > 0.0 ? xy / xx : 0.0;
  const double doubt = std::sqrt(std::max(yy - slope * xy, 0.0025));
  const double sign = rising >= 0.5 ? 1.0 : -1.0;
  for (Course& course : all) {
    course.swing = sign * std::exp(mean_y + slope * (std::log(course.time_constant) - mean_x));
    course.u_swing = std::abs(course.swing) * doubt;
    course.level = mean_level;
  }
  courses.u_log_time = std::sqrt(xx);
  courses.u_level = level_spread * std::max(std::sqrt(ll), 0.5);
}

void add_relatives(Courses& courses) {
  const std::size_t count = courses.all.size();
  for (const Relative& relative : relatives) {
    for (std::size_t i = 0; i < count; ++i) {
      Course course = courses.all[i];
      for (std::size_t k = 0; k < course.left.size(); ++k) {
        const double since = courses.times[k] - skip;
        course.left[k] = left_at(courses, courses.all[i], skip + since / relative.time);
      }
      course.time_constant *= relative.time;
      course.weight = relative.weight;
      courses.all.push_back(std::move(course));
    }
  }
}

}  // namespace

Courses physical_courses(const Model& model, const Duty& duty, const std::optional<Duty>& before,
                         int samples, unsigned long long seed) {
  if (samples < 50) refuse(Code::call, fmt::format("{} samples", samples), "Take 50 or more.");
  const std::vector<Trajectory> runs = warm_ups(model, duty, before, samples, seed);
  Courses courses;
  courses.skip = skip;
  courses.u_left = u_left;
  courses.u_between = u_between;
  courses.physical = true;
  double end = 10.0 * skip;
  for (const Trajectory& t : runs) end = std::max(end, t.end());
  courses.times = course_times(skip, 2.0 * end);
  for (const Trajectory& t : runs) {
    if (std::optional<Course> course = course_of(t, courses.times)) {
      courses.all.push_back(std::move(*course));
    }
  }
  // Too few answers say that such a point hardly exists: nothing is known beforehand.
  if (courses.all.size() < static_cast<std::size_t>(samples) / 4) return exponential_courses();
  expect_swings(courses);
  add_relatives(courses);
  return courses;
}

}  // namespace libloop
