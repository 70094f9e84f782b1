#include "libloop/evidence/noise_likelihood.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace libloop {
namespace {

constexpr std::array<double, 3> white_shares = {0.0, 0.2, 0.5};
constexpr int times_in_grid = 14;

// exp(-gap/time), remembered for the next equal gap: most are.
class Fading {
 public:
  explicit Fading(double time) : time_(time) {}
  double operator()(double gap) {
    if (gap != gap_) {
      gap_ = gap;
      kept_ = time_ > 0.0 ? std::exp(-gap / time_) : 0.0;
    }
    return kept_;
  }

 private:
  double time_, gap_ = -1.0, kept_ = 0.0;
};

// Sum over all pairs of their correlation, by one pass: what reading i has to do with all before.
double mean_share(std::span<const double> times, const NoiseShape& noise) {
  const double n = static_cast<double>(times.size());
  Fading fading(noise.time);
  double before = 0.0, pairs = 0.0;
  for (std::size_t i = 1; i < times.size(); ++i) {
    before = (before + 1.0) * fading(times[i] - times[i - 1]);
    pairs += before;
  }
  return (n * noise.white + (1.0 - noise.white) * (n + 2.0 * pairs)) / (n * n);
}

// Sums of products of what each reading adds that was not foreseen.
struct Sums {
  double log_spread = 0.0;
  double yy = 0.0, y1 = 0.0, yt = 0.0, one = 0.0, t = 0.0, tt = 0.0;
};

// Kalman's filter of a fading and a white part, run on values, ones and times at once.
Sums innovations(std::span<const double> times, std::span<const double> values, double level,
                 double middle, const NoiseShape& noise) {
  const double fading_share = 1.0 - noise.white;
  Fading fading(noise.time);
  Sums sums;
  double known = 0.0, y = 0.0, one = 0.0, t = 0.0, product = 1.0;
  double unknown = fading_share;
  for (std::size_t i = 0; i < times.size(); ++i) {
    if (i > 0) {
      const double kept = fading(times[i] - times[i - 1]);
      y *= kept, one *= kept, t *= kept;
      unknown = kept * kept * known + (1.0 - kept * kept) * fading_share;
    }
    const double spread = unknown + noise.white, w = 1.0 / spread, gain = unknown * w;
    const double dy = values[i] - level - y, d1 = 1.0 - one, dt = times[i] - middle - t;
    y += gain * dy, one += gain * d1, t += gain * dt;
    known = unknown * (1.0 - gain);
    sums.yy += w * dy * dy, sums.y1 += w * dy * d1, sums.yt += w * dy * dt;
    sums.one += w * d1 * d1, sums.t += w * d1 * dt, sums.tt += w * dt * dt;
    product *= spread;
    if (product < 1e-100 || i + 1 == times.size()) {
      sums.log_spread += std::log(product);
      product = 1.0;
    }
  }
  return sums;
}

// Fills all but the noise and returns the logarithm of the likelihood.
double fit(const Sums& s, double n, bool with_slope, double least, WeighedNoise& out) {
  double left = s.yy, log_known = std::log(s.one);
  const double level = s.y1 / s.one;
  left -= level * s.y1;
  if (with_slope) {
    const double spread = s.tt - s.t * s.t / s.one;
    out.slope = (s.yt - level * s.t) / spread;
    out.slope_share = 1.0 / spread;
    left -= out.slope * (s.yt - level * s.t);
    log_known += std::log(spread);
  }
  const double freedom = n - (with_slope ? 2.0 : 1.0);
  out.variance = std::max(left, 0.0) / freedom;
  return -0.5 * (freedom * std::log(std::max(out.variance, least)) + s.log_spread + log_known);
}

std::vector<NoiseShape> grid(std::span<const double> times) {
  std::vector<NoiseShape> shapes = {NoiseShape{}};
  const double span = times.back() - times.front();
  const double interval = span / static_cast<double>(times.size() - 1);
  const double shortest = interval, longest = span / 4.0;
  if (longest <= shortest) return shapes;
  for (int k = 0; k < times_in_grid; ++k) {
    const double time = shortest * std::pow(longest / shortest, k / (times_in_grid - 1.0));
    for (const double white : white_shares) shapes.push_back({.time = time, .white = white});
  }
  return shapes;
}

// Before any reading: white as likely as all of the grid that fades within a few readings, and the
// slower the less so. Judgement; a few tens of independent readings outweigh it.
double expected(double time, double interval) { return time > 0.0 ? interval / time : 10.0; }

}  // namespace

std::vector<WeighedNoise> weighed(std::span<const double> times, std::span<const double> values,
                                  bool with_slope) {
  const double n = static_cast<double>(values.size());
  const double level = values[values.size() / 2];
  const double middle = (times.front() + times.back()) / 2.0;
  // Below this, what is left over is rounding of the arithmetic.
  const double least = 1e-24 * std::max(level * level, 1e-12);
  std::vector<WeighedNoise> all;
  std::vector<double> logs;
  for (NoiseShape& noise : grid(times)) {
    WeighedNoise one;
    noise.mean_share = mean_share(times, noise);
    one.noise = noise;
    logs.push_back(
        fit(innovations(times, values, level, middle, noise), n, with_slope, least, one));
    all.push_back(one);
  }
  const double best = *std::max_element(logs.begin(), logs.end());
  const double interval = (times.back() - times.front()) / (n - 1.0);
  double sum = 0.0;
  for (std::size_t k = 0; k < all.size(); ++k) {
    all[k].weight = expected(all[k].noise.time, interval) * std::exp(logs[k] - best);
    sum += all[k].weight;
  }
  for (WeighedNoise& one : all) one.weight /= sum;
  return all;
}

}  // namespace libloop
