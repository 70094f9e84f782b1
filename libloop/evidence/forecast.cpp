#include "libloop/evidence/forecast.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/error.hpp"
#include "libloop/evidence/courses.hpp"
#include "libloop/evidence/expected_wait.hpp"
#include "libloop/evidence/hidden_mode.hpp"
#include "libloop/evidence/log.hpp"
#include "libloop/evidence/weighing.hpp"

namespace libloop {
namespace {

constexpr int fewest = 15;            // readings that say anything
constexpr double longest = 4 * 3600;  // s; nobody waits so long for a point
// Of six squares of independent standard normals: passed by chance once in 30,000.
constexpr double too_much_unexplained = 30.0;

void check(std::span<const double> times, std::span<const double> rise, const Courses& courses) {
  if (times.size() != rise.size()) {
    refuse(Code::call, fmt::format("{} times and {} readings", times.size(), rise.size()),
           "Each reading has its time.");
  }
  for (std::size_t i = 0; i < times.size(); ++i) {
    const bool falls = i > 0 && !(times[i] > times[i - 1]);
    if (!std::isfinite(times[i]) || falls || std::isinf(rise[i])) {
      refuse(Code::call,
             fmt::format("reading {}: time {:.6g} s, {:.6g} K", i + 1, times[i], rise[i]),
             "Times rise, and readings are numbers or none.");
    }
  }
  if (courses.all.empty()) refuse(Code::call, "no course to go by", "Take exponential_courses().");
}

// Mean square of what is left about the best single course, under white noise.
double scatter(const Blocks& blocks, const Courses& courses, double step) {
  double sum = 0.0;
  for (Eigen::Index i = 1; i < blocks.values.size(); ++i) {
    const double d = blocks.values[i] - blocks.values[i - 1];
    sum += 0.5 * d * d;
  }
  const double steps = std::max<double>(static_cast<double>(blocks.values.size()) - 1.0, 1.0);
  const double m = blocks.per_block;
  const double first = std::max({std::sqrt(sum / steps * m), 0.3 * step, 1e-3});
  const Weighed white = weigh(blocks, courses, {{first}});
  if (white.all.empty()) return first;
  const Explanation& best = white.all.front();
  sum = 0.0;
  for (Eigen::Index i = 0; i < blocks.values.size(); ++i) {
    const Course& course = courses.all[best.course];
    const double t = blocks.times[i];
    const double d = blocks.values[i] - best.mean[0] -
                     best.mean[1] * (1.0 - left_at(courses, course, t)) -
                     best.mean[2] * best.swing * quicker_at(courses, course, t);
    sum += d * d;
  }
  return std::max(std::sqrt(sum / std::max(steps - 2.0, 1.0) * m), 1e-3);
}

// White and correlated noises around what the readings scatter.
std::vector<Noise> noises_of(const Blocks& blocks, const Courses& courses,
                             const ForecastOptions& options) {
  const double rounding = options.step / std::sqrt(12.0);
  const double seen = scatter(blocks, courses, options.step);
  const double own = std::sqrt(std::max(seen * seen - rounding * rounding, 0.01 * seen * seen));
  std::vector<Noise> noises;
  for (const double time : {0.0, 2.0, 5.0, 12.0, 30.0}) {
    if (time > 0.0 && time < blocks.spacing) continue;
    // Means of blocks scatter more the longer noise hangs together.
    const double m = blocks.per_block;
    const Noise unit{1.0, time};
    Blocks one = blocks;
    one.times = blocks.times.head(1);
    const double of_block = std::sqrt(covariance(one, unit)(0, 0) * m);
    for (const double factor : {0.5, 0.7, 0.9, 1.15, 1.5, 2.0}) {
      noises.push_back({own * factor / of_block, time, rounding, options.floor});
    }
  }
  return noises;
}

double average(const Weighed& weighed, const std::function<double(const Explanation&)>& what) {
  double sum = 0.0;
  for (const Explanation& e : weighed.all) sum += e.weight * what(e);
  return sum;
}

// What a mean of rounded readings may be off however many there are: the amplitude of the first
// wave of the error under Gaussian noise (Widrow & Kollar 2008, chapter 5, from memory), which
// meets a uniform error of one step where there is none: taken as a normal one with the same 5 and
// 95 % points, 0.45 steps either way.
double rounding_left(double step, double noise) {
  if (step <= 0.0) return 0.0;
  const double ratio = noise / step;
  return 0.45 / 1.645 * step * std::exp(-2.0 * M_PI * M_PI * ratio * ratio);
}

class Forecaster {
 public:
  Forecaster(const Blocks& blocks, const Courses& courses, const ForecastOptions& options)
      : blocks_(blocks),
        courses_(courses),
        options_(options),
        weighed_(weigh(blocks, courses, noises_of(blocks, courses, options))),
        now_(blocks.times[blocks.times.size() - 1]) {}

  bool failed() const { return weighed_.all.empty(); }

  Forecast tell() {
    Forecast f;
    f.used = blocks_.readings;
    f.step = options_.step;
    f.noise = average(weighed_, [&](const Explanation& e) { return noise(e).deviation; });
    f.correlation_time =
        average(weighed_, [&](const Explanation& e) { return noise(e).correlation_time; });
    f.time_constant = std::exp(
        average(weighed_, [&](const Explanation& e) { return std::log(course(e).time_constant); }));
    rounding_ = rounding_left(options_.step, f.noise);
    f.settled = at(INFINITY);
    f.now = at(now_).typical;
    f.left = interval_of(remaining());
    f.allowance = hidden_mode(blocks_, courses_, weighed_, f.settled.p50);
    decide(f);
    draw(f);
    return f;
  }

 private:
  const Noise& noise(const Explanation& e) const { return weighed_.noises[e.noise]; }
  const Course& course(const Explanation& e) const { return courses_.all[e.course]; }
  double left(const Course& course, double t) const {
    return std::isinf(t) ? 0.0 : left_at(courses_, course, t);
  }

  // The course at a time, linear in level, swing and how much quicker it runs.
  Eigen::Vector3d direction(const Explanation& e, double t) const {
    if (std::isinf(t)) return {1.0, 1.0, 0.0};
    return {1.0, 1.0 - left(course(e), t), e.swing * quicker_at(courses_, course(e), t)};
  }

  // What no course knows of itself: a floor, a share of what is still to come, rounding.
  double model_error(const Explanation& e, double from) const {
    const double to_come = courses_.u_left * e.mean[1] * left(course(e), from);
    return options_.floor * options_.floor + to_come * to_come + rounding_ * rounding_;
  }

  Interval at(double t, bool roughly = false) const {
    std::vector<Share> all = mixture(
        weighed_, [&](const Explanation& e) { return direction(e, t); },
        [&](const Explanation& e) {
          const double full = model_error(e, now_);
          // Where there are readings the course is held by them.
          if (t <= now_) return rounding_ * rounding_;
          const double share = 1.0 - left(course(e), t) / std::max(left(course(e), now_), 1e-12);
          return full * std::clamp(share, 0.0, 1.0);
        });
    return interval_of(roughly ? merged(weighed_, std::move(all)) : all);
  }

  std::vector<Share> remaining() const {
    return mixture(
        weighed_,
        [&](const Explanation& e) -> Eigen::Vector3d {
          return direction(e, INFINITY) - direction(e, now_);
        },
        [&](const Explanation& e) { return model_error(e, now_); });
  }

  void decide(Forecast& f) const {
    const double half = 0.5 * (f.settled.p95 - f.settled.p05);
    if (unexplained(blocks_, courses_, weighed_) > too_much_unexplained) {
      f.why =
          "the reading follows no course that settles: something else moves (load, fans, "
          "ambient)";
      return;
    }
    if (half <= options_.within) {
      f.verdict = Verdict::stop;
      return;
    }
    const std::optional<double> wait =
        expected_wait(blocks_, courses_, weighed_, half, options_, rounding_, longest);
    if (!wait) {
      f.why = fmt::format(
          "noise, rounding and what no course knows leave more than {:.2g} K, however long it runs",
          options_.within);
      return;
    }
    f.verdict = Verdict::wait;
    f.wait = *wait;
    f.why = fmt::format("settles at {:.1f} K, known to {:.1f} K either way, {:.2g} K are wanted",
                        f.settled.p50, half, options_.within);
  }

  // From the end of what says nothing to where next to nothing is left.
  void draw(Forecast& f) const {
    constexpr int count = 50;
    const double end = std::max(1.3 * now_, courses_.skip + 5.0 * f.time_constant);
    for (int i = 0; i < count; ++i) {
      const double t = courses_.skip + (end - courses_.skip) * i / (count - 1.0);
      const Interval there = at(t, true);
      f.times.push_back(t);
      f.p05.push_back(there.p05);
      f.p50.push_back(there.p50);
      f.p95.push_back(there.p95);
    }
  }

  const Blocks& blocks_;
  const Courses& courses_;
  const ForecastOptions& options_;
  Weighed weighed_;
  double now_ = 0.0, rounding_ = 0.0;
};

Forecast nothing(const Blocks& blocks, const ForecastOptions& options, std::string why) {
  Forecast f;
  f.used = blocks.readings;
  f.step = options.step;
  f.settled = {-INFINITY, no_reading, INFINITY, no_reading};
  f.left = f.settled;
  f.now = no_reading;
  f.why = std::move(why);
  return f;
}

}  // namespace

Forecast forecast(std::span<const double> times, std::span<const double> rise,
                  const Courses& courses, const ForecastOptions& options) {
  check(times, rise, courses);
  const Blocks blocks = blocks_of(times, rise, courses.skip);
  if (blocks.readings < fewest) {
    return nothing(blocks, options,
                   fmt::format("{} readings later than {:.0f} s after the step; {} are needed",
                               blocks.readings, courses.skip, fewest));
  }
  Forecaster forecaster(blocks, courses, options);
  if (forecaster.failed())
    return nothing(blocks, options, "no course explains the readings at all");
  return forecaster.tell();
}

}  // namespace libloop
