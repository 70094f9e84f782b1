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

Eigen::MatrixXd covariance(const Blocks& blocks, const Noise& noise) {
  const Eigen::Index n = blocks.times.size();
  const double m = blocks.per_block;
  const double variance = noise.deviation * noise.deviation;
  double own = variance / m, between = 0.0;
  if (noise.correlation_time > 0.0) {
    const double step = blocks.spacing / noise.correlation_time;
    for (int lag = 1; lag < blocks.per_block; ++lag) {
      own += 2.0 * variance * (m - lag) / (m * m) * std::exp(-lag * step);
    }
    // Blocks much longer than the correlation time have next to nothing in common.
    constexpr double far = 600.0;
    const double ratio =
        m * step > far ? 0.0 : std::sinh(0.5 * m * step) / (m * std::sinh(0.5 * step));
    between = variance * ratio * ratio;
  }
  Eigen::MatrixXd c(n, n);
  for (Eigen::Index i = 0; i < n; ++i) {
    c(i, i) = own + noise.white * noise.white / m;
    for (Eigen::Index j = 0; j < i; ++j) {
      const double lag = std::abs(blocks.times[i] - blocks.times[j]);
      c(i, j) = c(j, i) =
          noise.correlation_time > 0.0 ? between * std::exp(-lag / noise.correlation_time) : 0.0;
    }
  }
  return c;
}

}  // namespace libloop
