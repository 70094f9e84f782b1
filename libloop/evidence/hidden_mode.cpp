#include "libloop/evidence/hidden_mode.hpp"

#include <algorithm>
#include <cmath>

#include "libloop/evidence/courses.hpp"

namespace libloop {
namespace {

// Judgement, after warm-ups of loops with boards of 100 to 800 J/K: a second slow mode of some six
// minutes with up to about 2 % of the rise.
constexpr double time_constant = 350.0;  // s
constexpr double share = 0.02;           // standard deviation of its swing, of the rise

}  // namespace

double hidden_mode(const Blocks& blocks, const Courses& courses, const Weighed& weighed,
                   double settled) {
  const Explanation& best = weighed.all.front();
  const Course& course = courses.all[best.course];
  const Eigen::Index n = blocks.times.size();
  Eigen::MatrixXd columns(n, 4);
  for (Eigen::Index i = 0; i < n; ++i) {
    columns(i, 0) = 1.0;
    columns(i, 1) = 1.0 - left_at(courses, course, blocks.times[i]);
    columns(i, 2) = best.swing * quicker_at(courses, course, blocks.times[i]);
    columns(i, 3) = 1.0 - std::exp(-(blocks.times[i] - courses.skip) / time_constant);
  }
  const Eigen::LLT<Eigen::MatrixXd> noise(covariance(blocks, weighed.noises[best.noise]));
  if (noise.info() != Eigen::Success) return 0.0;
  noise.matrixL().solveInPlace(columns);
  Eigen::Matrix4d m = columns.transpose() * columns;
  const double swing = share * std::max({std::abs(settled), std::abs(best.mean[1]), 1.0});
  if (std::isfinite(courses.u_level)) m(0, 0) += 1.0 / (courses.u_level * courses.u_level);
  m(1, 1) += 1.0 / (course.u_swing * course.u_swing);
  if (courses.u_between > 0.0) m(2, 2) += 1.0 / (courses.u_between * courses.u_between);
  m(3, 3) += 1.0 / (swing * swing);
  // It lifts the level of the end by what of it is still to come; level and swing are read anew.
  const double now = blocks.times[n - 1];
  const double to_come = std::exp(-(now - courses.skip) / time_constant);
  const double variance = m.inverse()(3, 3);
  const double direction = best.mean[1] < 0.0 ? -1.0 : 1.0;
  return direction * 1.645 * std::sqrt(variance) * to_come;
}

}  // namespace libloop
