#include "libloop/evidence/courses.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace libloop {

std::vector<double> course_times(double first, double last) {
  constexpr int count = 250;  // neighbours some 3 % apart: straight lines between are fine enough
  std::vector<double> times(count);
  for (int i = 0; i < count; ++i) {
    times[static_cast<std::size_t>(i)] = first * std::pow(last / first, i / (count - 1.0));
  }
  return times;
}

double left_at(const Courses& courses, const Course& course, double t) {
  const std::vector<double>& times = courses.times;
  if (t <= times.front()) return course.left.front();
  if (t >= times.back()) return course.left.back();
  const auto above = std::upper_bound(times.begin(), times.end(), t);
  const std::size_t i = static_cast<std::size_t>(above - times.begin());
  const double share = (t - times[i - 1]) / (times[i] - times[i - 1]);
  return course.left[i - 1] + share * (course.left[i] - course.left[i - 1]);
}

double quicker_at(const Courses& courses, const Course& course, double t) {
  constexpr double part = 0.02;
  const double since = t - courses.skip;
  const double later = left_at(courses, course, courses.skip + since * (1.0 + part));
  const double earlier = left_at(courses, course, courses.skip + since * (1.0 - part));
  return (earlier - later) / (2.0 * part);
}

namespace {

// A part of the swing that takes so many times longer: sums of exponentials, as loops, boards and
// rooms make them. Judgement, as are the weights.
struct Tail {
  double share, slower, weight;
};
constexpr Tail tails[] = {{0.0, 1.0, 0.5}, {0.1, 3.0, 0.3}, {0.3, 3.0, 0.15}, {0.1, 8.0, 0.05}};

Course exponential(const std::vector<double>& times, double skip, double time_constant,
                   const Tail& tail) {
  Course course;
  course.time_constant = time_constant * (1.0 + tail.share * (tail.slower - 1.0));
  course.weight = tail.weight;
  for (const double t : times) {
    const double x = (t - skip) / time_constant;
    course.left.push_back((1.0 - tail.share) * std::exp(-x) +
                          tail.share * std::exp(-x / tail.slower));
  }
  return course;
}

}  // namespace

Courses exponential_courses() {
  // Judgement: plates, first laps and cold slugs are over after 20 s; loops, rooms and boards lie
  // between the ends; swings are small or large, equally likely. What is left may be off by a
  // tenth.
  constexpr double fastest = 10.0, slowest = 2000.0;
  constexpr double usual_swings[] = {3.0, 10.0, 30.0};
  constexpr int count = 70;
  Courses courses;
  courses.skip = 20.0;
  courses.times = course_times(courses.skip, 40.0 * slowest);
  courses.u_level = std::numeric_limits<double>::infinity();
  courses.u_log_time = std::log(slowest / fastest) / std::sqrt(12.0);
  courses.u_left = 0.1;
  // Half the distance of neighbours: overlapping, so that there is no gap.
  courses.u_between = 0.5 * std::log(slowest / fastest) / (count - 1.0);
  for (const Tail& tail : tails) {
    for (int i = 0; i < count; ++i) {
      const double time_constant = fastest * std::pow(slowest / fastest, i / (count - 1.0));
      Course course = exponential(courses.times, courses.skip, time_constant, tail);
      for (const double swing : usual_swings) {
        course.u_swing = swing;
        courses.all.push_back(course);
      }
    }
  }
  return courses;
}

}  // namespace libloop
