#include "libloop/evidence/blocks.hpp"

#include <algorithm>
#include <cmath>

#include "libloop/evidence/log.hpp"

namespace libloop {
namespace {

// The usual distance of readings: gaps do not count.
double usual_spacing(const std::vector<double>& times) {
  std::vector<double> gaps;
  for (std::size_t i = 1; i < times.size(); ++i) gaps.push_back(times[i] - times[i - 1]);
  if (gaps.empty()) return 1.0;
  const auto middle = gaps.begin() + static_cast<std::ptrdiff_t>(gaps.size() / 2);
  std::nth_element(gaps.begin(), middle, gaps.end());
  return std::max(*middle, 1e-6);
}

}  // namespace

Blocks blocks_of(std::span<const double> times, std::span<const double> values, double from,
                 int most) {
  std::vector<double> t, y;
  for (std::size_t i = 0; i < times.size(); ++i) {
    if (times[i] < from || !is_reading(values[i])) continue;
    t.push_back(times[i]);
    y.push_back(values[i]);
  }
  Blocks blocks;
  blocks.readings = static_cast<int>(t.size());
  blocks.spacing = usual_spacing(t);
  const std::size_t m =
      (t.size() + static_cast<std::size_t>(most) - 1) / static_cast<std::size_t>(std::max(most, 1));
  const std::size_t per = std::max<std::size_t>(m, 1);
  blocks.per_block = static_cast<int>(per);
  const std::size_t count = t.size() / per;  // the last few complete no block: the first are left
  const std::size_t first = t.size() - count * per;
  blocks.times.resize(static_cast<Eigen::Index>(count));
  blocks.values.resize(static_cast<Eigen::Index>(count));
  blocks.read_at.assign(t.begin() + static_cast<std::ptrdiff_t>(first), t.end());
  for (std::size_t b = 0; b < count; ++b) {
    double time = 0.0, value = 0.0;
    for (std::size_t k = 0; k < per; ++k) {
      time += t[first + b * per + k];
      value += y[first + b * per + k];
    }
    blocks.times[static_cast<Eigen::Index>(b)] = time / static_cast<double>(per);
    blocks.values[static_cast<Eigen::Index>(b)] = value / static_cast<double>(per);
  }
  return blocks;
}

namespace {

// Of the readings of one block, under noise that fades with `time`: sums of exp(-lag/time) over all
// pairs, to its first reading, to its last. Sums over two blocks are products of these.
struct Sums {
  double pairs = 0.0, to_first = 0.0, to_last = 0.0, first = 0.0, last = 0.0;
};

Sums sums_of(std::span<const double> times, double time) {
  Sums sums{.first = times.front(), .last = times.back()};
  double before = 0.0;  // of exp(-lag/time) from a reading to all before it
  for (std::size_t i = 0; i < times.size(); ++i) {
    if (i > 0) before = (before + 1.0) * std::exp(-(times[i] - times[i - 1]) / time);
    sums.pairs += 1.0 + 2.0 * before;
    sums.to_first += std::exp(-(times[i] - sums.first) / time);
    sums.to_last += std::exp(-(sums.last - times[i]) / time);
  }
  return sums;
}

void add_correlated(const Blocks& blocks, const Noise& noise, Eigen::MatrixXd& c) {
  const double m = blocks.per_block;
  const double share = noise.deviation * noise.deviation / (m * m);
  const std::span<const double> all = blocks.read_at;
  std::vector<Sums> sums;
  for (Eigen::Index i = 0; i < c.rows(); ++i) {
    const std::size_t per = static_cast<std::size_t>(blocks.per_block);
    sums.push_back(
        sums_of(all.subspan(static_cast<std::size_t>(i) * per, per), noise.correlation_time));
  }
  for (Eigen::Index i = 0; i < c.rows(); ++i) {
    const Sums& later = sums[static_cast<std::size_t>(i)];
    c(i, i) += share * later.pairs;
    for (Eigen::Index j = 0; j < i; ++j) {
      const Sums& earlier = sums[static_cast<std::size_t>(j)];
      const double lag = later.first - earlier.last;
      const double between =
          share * later.to_first * earlier.to_last * std::exp(-lag / noise.correlation_time);
      c(i, j) += between;
      c(j, i) += between;
    }
  }
}

}  // namespace

Eigen::MatrixXd covariance(const Blocks& blocks, const Noise& noise) {
  const Eigen::Index n = blocks.times.size();
  const double m = blocks.per_block;
  const bool correlated = noise.correlation_time > 0.0;
  const double own = correlated ? 0.0 : noise.deviation * noise.deviation / m;
  Eigen::MatrixXd c(n, n);
  for (Eigen::Index i = 0; i < n; ++i) {
    for (Eigen::Index j = 0; j < n; ++j) {
      const double lag = std::abs(blocks.times[i] - blocks.times[j]);
      c(i, j) = noise.drift * noise.drift * std::exp(-lag / drift_time);
    }
    c(i, i) += own + noise.white * noise.white / m;
  }
  if (correlated) add_correlated(blocks, noise, c);
  return c;
}

}  // namespace libloop
