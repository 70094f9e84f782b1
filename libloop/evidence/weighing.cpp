#include "libloop/evidence/weighing.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include "libloop/evidence/courses.hpp"

namespace libloop {
namespace {

using Eigen::Index, Eigen::MatrixXd, Eigen::Matrix2d, Eigen::Matrix3d;
using Eigen::Vector2d, Eigen::Vector3d, Eigen::VectorXd;

// At the times of the blocks, a column a course: what is gone of the swing, and how much more for
// one that runs quicker.
struct Columns {
  MatrixXd gone, quicker;
};

Columns columns_of(const Blocks& blocks, const Courses& courses) {
  const Index rows = blocks.times.size(), count = static_cast<Index>(courses.all.size());
  Columns columns{MatrixXd(rows, count), MatrixXd(rows, count)};
  for (Index k = 0; k < count; ++k) {
    const Course& course = courses.all[static_cast<std::size_t>(k)];
    for (Index i = 0; i < rows; ++i) {
      columns.gone(i, k) = 1.0 - left_at(courses, course, blocks.times[i]);
      columns.quicker(i, k) = quicker_at(courses, course, blocks.times[i]);
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
  Columns columns;
  double log_volume = 0.0;  // of the noise
};

// Nothing where the noise has no such factor: covariances of next to nothing.
std::optional<Whitened> whiten(const Blocks& blocks, const Columns& columns, const Noise& noise) {
  const Eigen::LLT<MatrixXd> factor(covariance(blocks, noise));
  if (factor.info() != Eigen::Success) return std::nullopt;
  const auto lower = factor.matrixL();
  Whitened w;
  w.values = lower.solve(blocks.values);
  w.ones = lower.solve(VectorXd::Ones(blocks.values.size()));
  w.columns = {lower.solve(columns.gone), lower.solve(columns.quicker)};
  const MatrixXd& stored = factor.matrixLLT();
  for (Index i = 0; i < stored.rows(); ++i) w.log_volume += std::log(stored(i, i));
  return w;
}

// Level and swing alone, with what was expected as two more readings.
Vector2d roughly(const Whitened& w, const Course& course, Index k, double p_level, double p_swing) {
  const auto gone = w.columns.gone.col(k);
  Matrix2d m;
  m << w.ones.squaredNorm() + p_level, w.ones.dot(gone), w.ones.dot(gone),
      gone.squaredNorm() + p_swing;
  return m.inverse() * Vector2d(w.ones.dot(w.values) + p_level * course.level,
                                gone.dot(w.values) + p_swing * course.swing);
}

// All three by weighted least squares about that swing; `weight` becomes the logarithm of the
// likelihood.
Explanation explain(const Whitened& w, const Courses& courses, std::size_t number) {
  const Course& course = courses.all[number];
  const Index k = static_cast<Index>(number);
  const Vector3d expected(course.level, course.swing, 0.0);
  const Vector3d p(information(courses.u_level), information(course.u_swing),
                   information(courses.u_between));
  Explanation e;
  e.course = number;
  e.swing = roughly(w, course, k, p[0], p[1])[1];
  MatrixXd x(w.values.size(), 3);
  x << w.ones, w.columns.gone.col(k), e.swing * w.columns.quicker.col(k);
  Matrix3d m = x.transpose() * x;
  m.diagonal() += p;
  e.spread = m.inverse();
  e.mean = e.spread * (x.transpose() * w.values + p.cwiseProduct(expected));
  // Squares from residuals, not from differences of large sums.
  const Vector3d off = e.mean - expected;
  const double misfit = (w.values - x * e.mean).squaredNorm() + off.dot(p.cwiseProduct(off));
  e.weight = std::log(course.weight) + 0.5 * std::log(p[1]) - 0.5 * misfit -
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
  const Columns columns = columns_of(blocks, courses);
  Weighed weighed{{}, noises};
  for (std::size_t n = 0; n < noises.size(); ++n) {
    const std::optional<Whitened> w = whiten(blocks, columns, noises[n]);
    if (!w) continue;
    for (std::size_t k = 0; k < courses.all.size(); ++k) {
      Explanation e = explain(*w, courses, k);
      e.noise = n;
      if (std::isfinite(e.weight)) weighed.all.push_back(e);
    }
  }
  normalise(weighed.all);
  return weighed;
}

std::vector<Share> mixture(const Weighed& weighed,
                           const std::function<Vector3d(const Explanation&)>& direction,
                           const std::function<double(const Explanation&)>& extra) {
  constexpr double least = 1e-16;  // K2
  std::vector<Share> all;
  all.reserve(weighed.all.size());
  for (const Explanation& e : weighed.all) {
    const Vector3d x = direction(e);
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
  Courses one = courses;
  one.all = {courses.all[best.course]};
  const std::optional<Whitened> w =
      whiten(blocks, columns_of(blocks, one), weighed.noises[best.noise]);
  if (!w) return 0.0;
  const VectorXd left = w->values - best.mean[0] * w->ones - best.mean[1] * w->columns.gone.col(0) -
                        best.mean[2] * best.swing * w->columns.quicker.col(0);
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
