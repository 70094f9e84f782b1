#include "libloop/evidence/expected_wait.hpp"

#include <algorithm>
#include <cmath>

#include "libloop/evidence/courses.hpp"

namespace libloop {
namespace {

constexpr double half_of_normal = 1.645;  // half of 5 to 95 %, in standard deviations

// What readings tell of level, swing and time constant of one course: a matrix of information to
// which every reading adds (Fisher information of the linearised course).
class Information {
 public:
  Information(const Courses& courses, const Explanation& e, const Noise& noise)
      : courses_(courses), course_(courses.all[e.course]), swing_(e.mean[1]) {
    if (std::isfinite(courses.u_level)) sum_(0, 0) = 1.0 / (courses.u_level * courses.u_level);
    sum_(1, 1) = 1.0 / (course_.u_swing * course_.u_swing);
    const double of_time = std::max(courses.u_log_time, 1e-3);
    sum_(2, 2) = 1.0 / (of_time * of_time);
    variance_ = noise.deviation * noise.deviation;
    white_ = noise.white * noise.white;
    time_ = noise.correlation_time;
  }

  // Readings from `from` to `to`, `spacing` apart.
  void add(double from, double to, double spacing) {
    constexpr int pieces = 24;
    const double readings = (to - from) / spacing;
    if (readings <= 0.0) return;
    // So many readings are worth one of independent noise.
    const double fade = time_ > 0.0 ? std::exp(-spacing / time_) : 0.0;
    const double variance = variance_ * (1.0 + fade) / (1.0 - fade) + white_;
    for (int i = 0; i < pieces; ++i) {
      const double t = from + (to - from) * (i + 0.5) / pieces;
      const Eigen::Vector3d slope(1.0, 1.0 - left_at(courses_, course_, t),
                                  swing_ * quicker_at(courses_, course_, t));
      sum_ += slope * slope.transpose() * (readings / pieces / variance);
    }
  }

  // Variance of level + swing.
  double settled() const {
    const Eigen::Vector3d end(1.0, 1.0, 0.0);
    return end.dot(sum_.ldlt().solve(end));
  }

 private:
  const Courses& courses_;
  const Course& course_;
  double swing_, variance_ = 0.0, white_ = 0.0, time_ = 0.0;
  Eigen::Matrix3d sum_ = Eigen::Matrix3d::Zero();
};

}  // namespace

std::optional<double> expected_wait(const Blocks& blocks, const Courses& courses,
                                    const Weighed& weighed, double half,
                                    const ForecastOptions& options, double rounding,
                                    double longest) {
  const Explanation& best = weighed.all.front();
  const Course& course = courses.all[best.course];
  const double begin = blocks.times[0], now = blocks.times[blocks.times.size() - 1];
  const auto own = [&](double t) {
    const double left = courses.u_left * best.mean[1] * left_at(courses, course, t);
    return options.floor * options.floor + left * left + rounding * rounding;
  };
  const double seen = half / half_of_normal;
  const double by_readings = std::max(seen * seen - own(now), 0.0);
  Information information(courses, best, weighed.noises[best.noise]);
  information.add(begin, now, blocks.spacing);
  const double first = information.settled();
  // The linearised course is taken for how fast the doubt falls, not for how large it is.
  double t = now;
  for (double step = std::max(0.02 * now, 1.0); t - now < longest; step *= 1.03) {
    information.add(t, t + step, blocks.spacing);
    t += step;
    const double variance = by_readings * information.settled() / first + own(t);
    if (half_of_normal * std::sqrt(variance) <= options.within) return t - now;
  }
  return std::nullopt;
}

}  // namespace libloop
