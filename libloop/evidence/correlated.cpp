#include "libloop/evidence/correlated.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "libloop/evidence/noise_likelihood.hpp"

namespace libloop {
namespace {

// Beyond so many, neighbours are taken together as means: what counts for a mean or a slope is
// noise at long distances, which such means keep. Slopes are asked for more often.
constexpr std::size_t most_for_mean = 600, most_for_slope = 300;

double mean(std::span<const double> x) {
  // Against the first value: equal readings have exactly their own mean.
  double sum = 0.0;
  for (const double one : x) sum += one - x.front();
  return x.front() + sum / static_cast<double>(x.size());
}

double variance_about(std::span<const double> x, double level) {
  double sum = 0.0;
  for (const double one : x) sum += (one - level) * (one - level);
  return sum / static_cast<double>(x.size() - 1);
}

struct Points {
  std::vector<double> time, value;
};

Points taken_together(std::span<const double> times, std::span<const double> values,
                      std::size_t most) {
  const std::size_t n = values.size(), size = (n + most - 1) / most;
  Points points;
  for (std::size_t i = 0; i + size <= n; i += size) {
    points.time.push_back(mean(times.subspan(i, size)));
    points.value.push_back(mean(values.subspan(i, size)));
  }
  return points;
}

// The time after which AR(1) noise, read at `interval`, has faded to 1/e, if `readings` of it are
// worth `independent`: readings/independent = (1 + phi)/(1 - phi).
double fading_time(double readings, double independent, double interval) {
  const double phi = (readings - independent) / (readings + independent);
  return phi > 0.0 ? -interval / std::log(phi) : 0.0;
}

double interval_of(std::span<const double> times) {
  return (times.back() - times.front()) / static_cast<double>(times.size() - 1);
}

// An uncertain variance: its geometric mean over all noises, and degrees of freedom of as wide a
// spread. The arithmetic mean would be ruled by noises that are unlikely and very slow.
struct Spread {
  double weight = 0.0, logs = 0.0, squares = 0.0;
  void add(double share, double variance) {
    const double one = std::log(variance);
    weight += share;
    logs += share * one;
    squares += share * one * one;
  }
  double variance() const { return std::exp(logs / weight); }
  // The logarithm of a variance known with n degrees of freedom has variance 2/n, nearly.
  double freedom(double at_most) const {
    const double mean = logs / weight;
    return 2.0 / (std::max(squares / weight - mean * mean, 0.0) + 2.0 / at_most);
  }
};

}  // namespace

Mean mean_of(std::span<const double> times, std::span<const double> values) {
  Mean result;
  result.readings = static_cast<long long>(values.size());
  if (values.empty()) return result;
  result.value = mean(values);
  if (values.size() < 3) return result;
  const double n = static_cast<double>(values.size());
  result.freedom = n - 1.0;
  result.independent = n;
  const double variance = variance_about(values, result.value);
  if (variance <= 1e-24 * result.value * result.value) return result;  // all alike
  result.scatter = std::sqrt(variance);
  const Points points = taken_together(times, values, most_for_mean);
  Spread spread;
  // A swing whose period divides a block leaves blocks that are all alike. A thousandth of what
  // white noise would leave stands in, so that the logarithm of a variance is a number.
  const double least = variance / n * 1e-6;
  for (const WeighedNoise& one : weighed(points.time, points.value, false)) {
    spread.add(one.weight, std::max(one.variance * one.noise.mean_share, least));
  }
  result.u = std::sqrt(spread.variance());
  result.freedom = spread.freedom(n - 1.0);
  result.independent = std::clamp(variance / spread.variance(), 1.0, n);
  result.correlation_time = fading_time(n, result.independent, interval_of(times));
  return result;
}

Trend trend_of(std::span<const double> times, std::span<const double> values) {
  Trend result;
  if (values.size() < 4) return result;
  const double n = static_cast<double>(values.size());
  result.independent = n;
  result.freedom = n - 2.0;
  const Points points = taken_together(times, values, most_for_slope);
  Spread spread;
  double share = 0.0, variance = 0.0;
  for (const WeighedNoise& one : weighed(points.time, points.value, true)) {
    result.slope += one.weight * one.slope;
    if (one.variance > 0.0) spread.add(one.weight, one.variance * one.slope_share);
    share += one.weight * one.noise.mean_share * one.variance;
    variance += one.weight * one.variance;
  }
  if (spread.weight > 0.0) {
    // The slope itself differs from one noise to the next by less than its uncertainty in each.
    result.u = std::sqrt(spread.variance());
    result.freedom = spread.freedom(n - 2.0);
  }
  const double level = mean(values), middle = mean(times);
  double about = 0.0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    const double off = values[i] - level - result.slope * (times[i] - middle);
    about += off * off;
  }
  result.scatter = std::sqrt(about / (n - 2.0));
  if (share > 0.0) {
    result.independent = std::clamp(result.scatter * result.scatter / share, 1.0, n);
    result.correlation_time = fading_time(n, result.independent, interval_of(times));
  }
  return result;
}

Mean mean_of(const std::vector<double>& values, double interval) {
  std::vector<double> times, read;
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (!is_reading(values[i])) continue;
    times.push_back(static_cast<double>(i) * interval);
    read.push_back(values[i]);
  }
  return mean_of(times, read);
}

}  // namespace libloop
