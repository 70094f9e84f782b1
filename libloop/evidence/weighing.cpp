#include "libloop/evidence/weighing.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "libloop/evidence/courses.hpp"

namespace libloop {
namespace {

using Eigen::Index, Eigen::MatrixXd, Eigen::Matrix2d, Eigen::Vector2d, Eigen::VectorXd;

// What each course says is gone of the swing at the times of the blocks, a column a course.
MatrixXd gone(const Blocks& blocks, const Courses& courses) {
  MatrixXd columns(blocks.times.size(), static_cast<Index>(courses.all.size()));
  for (Index k = 0; k < columns.cols(); ++k) {
    for (Index i = 0; i < columns.rows(); ++i) {
      columns(i, k) =
          1.0 - left_at(courses, courses.all[static_cast<std::size_t>(k)], blocks.times[i]);
    }
  }
  return columns;
}

// Weight of what was expected: one over variance, nothing where nothing is known.
double information(double deviation) {
  return std::isfinite(deviation) ? 1.0 / (deviation * deviation) : 0.0;
}

// Readings in units of independent noise.
struct Whitened {
  VectorXd values, ones;
  MatrixXd gone;
  double log_volume = 0.0;  // of the noise
};

Whitened whiten(const Blocks& blocks, const MatrixXd& columns, const Noise& noise) {
  const Eigen::LLT<MatrixXd> factor(covariance(blocks, noise));
  const auto lower = factor.matrixL();
  Whitened w;
  w.values = lower.solve(blocks.values);
  w.ones = lower.solve(VectorXd::Ones(blocks.values.size()));
  w.gone = lower.solve(columns);
  const MatrixXd& stored = factor.matrixLLT();
  for (Index i = 0; i < stored.rows(); ++i) w.log_volume += std::log(stored(i, i));
  return w;
}

// Level and swing by weighted least squares with what was expected as two more readings; `weight`
// becomes the logarithm of the likelihood.
Explanation explain(const Whitened& w, const Courses& courses, std::size_t k) {
  const Course& course = courses.all[k];
  const auto column = w.gone.col(static_cast<Index>(k));
  const double p_level = information(courses.u_level), p_swing = information(course.u_swing);
  Matrix2d m;
  m << w.ones.squaredNorm() + p_level, w.ones.dot(column), w.ones.dot(column),
      column.squaredNorm() + p_swing;
  const Vector2d b(w.ones.dot(w.values) + p_level * course.level,
                   column.dot(w.values) + p_swing * course.swing);
  Explanation e;
  e.course = k;
  e.spread = m.inverse();
  e.mean = e.spread * b;
  // Squares from residuals, not from differences of large sums.
  const double misfit = (w.values - e.mean[0] * w.ones - e.mean[1] * column).squaredNorm() +
                        p_level * (e.mean[0] - course.level) * (e.mean[0] - course.level) +
                        p_swing * (e.mean[1] - course.swing) * (e.mean[1] - course.swing);
  e.weight = std::log(course.weight) + 0.5 * std::log(p_swing) - 0.5 * misfit -
             0.5 * std::log(m.determinant()) - w.log_volume;
  return e;
}

void normalise(std::vector<Explanation>& all) {
  constexpr double nothing = 1e-7;  // of the heaviest
  double highest = -INFINITY, sum = 0.0;
  for (const Explanation& e : all) highest = std::max(highest, e.weight);
  for (Explanation& e : all) e.weight = std::exp(e.weight - highest);
  std::erase_if(all, [](const Explanation& e) { return !(e.weight > nothing); });
  for (const Explanation& e : all) sum += e.weight;
  for (Explanation& e : all) e.weight /= sum;
  std::sort(all.begin(), all.end(),
            [](const Explanation& a, const Explanation& b) { return a.weight > b.weight; });
}

double below(const std::vector<Share>& mixture, double x) {
  double sum = 0.0;
  for (const Share& s : mixture) {
    sum += s.weight * 0.5 * std::erfc((s.mean - x) / std::sqrt(2.0 * s.variance));
  }
  return sum;
}

double quantile(const std::vector<Share>& mixture, double p) {
  double low = INFINITY, high = -INFINITY;
  for (const Share& s : mixture) {
    const double reach = 9.0 * std::sqrt(s.variance);
    low = std::min(low, s.mean - reach);
    high = std::max(high, s.mean + reach);
  }
  for (int i = 0; i < 40; ++i) {
    const double middle = 0.5 * (low + high);
    (below(mixture, middle) < p ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

}  // namespace

Weighed weigh(const Blocks& blocks, const Courses& courses, const std::vector<Noise>& noises) {
  const MatrixXd columns = gone(blocks, courses);
  Weighed weighed{{}, noises};
  for (std::size_t n = 0; n < noises.size(); ++n) {
    const Whitened w = whiten(blocks, columns, noises[n]);
    for (std::size_t k = 0; k < courses.all.size(); ++k) {
      Explanation e = explain(w, courses, k);
      e.noise = n;
      if (std::isfinite(e.weight)) weighed.all.push_back(e);
    }
  }
  normalise(weighed.all);
  return weighed;
}

std::vector<Share> mixture(const Weighed& weighed, const std::function<double(std::size_t)>& share,
                           const std::function<double(const Explanation&)>& extra) {
  constexpr double least = 1e-16;  // K2
  std::vector<Share> all;
  all.reserve(weighed.all.size());
  for (const Explanation& e : weighed.all) {
    const Vector2d x(1.0, share(e.course));
    all.push_back({e.weight, x.dot(e.mean), x.dot(e.spread * x) + extra(e) + least});
  }
  return all;
}

std::vector<Share> merged(const Weighed& weighed, std::vector<Share> mixture) {
  constexpr double least = 1e-5;
  std::map<std::size_t, Share> by_course;  // sums of weight, weight x mean, weight x square
  for (std::size_t i = 0; i < mixture.size(); ++i) {
    const Share& s = mixture[i];
    Share& sum = by_course[weighed.all[i].course];
    sum.weight += s.weight;
    sum.mean += s.weight * s.mean;
    sum.variance += s.weight * (s.variance + s.mean * s.mean);
  }
  std::vector<Share> all;
  for (const auto& [course, sum] : by_course) {
    if (sum.weight < least) continue;
    const double mean = sum.mean / sum.weight;
    all.push_back({sum.weight, mean, std::max(sum.variance / sum.weight - mean * mean, 1e-12)});
  }
  return all;
}

Interval interval_of(const std::vector<Share>& mixture) {
  Interval i;
  i.p05 = quantile(mixture, 0.05);
  i.p50 = quantile(mixture, 0.5);
  i.p95 = quantile(mixture, 0.95);
  for (const Share& s : mixture) i.typical += s.weight * s.mean;
  return i;
}

double unexplained(const Blocks& blocks, const Courses& courses, const Weighed& weighed) {
  constexpr int waves = 6;
  const Explanation& best = weighed.all.front();
  const MatrixXd columns = gone(blocks, courses);
  const Whitened w =
      whiten(blocks, columns.col(static_cast<Index>(best.course)), weighed.noises[best.noise]);
  const VectorXd left = w.values - best.mean[0] * w.ones - best.mean[1] * w.gone.col(0);
  const double n = static_cast<double>(left.size());
  double sum = 0.0;
  for (int k = 1; k <= waves; ++k) {
    double projected = 0.0;
    for (Index i = 0; i < left.size(); ++i) {
      projected += left[i] * std::cos(M_PI * k * (static_cast<double>(i) + 0.5) / n);
    }
    sum += projected * projected * 2.0 / n;
  }
  return sum;
}

}  // namespace libloop
