#include "libloop/evidence/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace libloop {

double rounding_of_mean(double step, double noise) {
  if (step <= 0.0) return 0.0;
  const double dither = std::numbers::pi * noise / step;
  if (dither < 1e-3) return step / std::sqrt(12.0);
  double sum = 0.0;
  for (int k = 1; k <= 2000; ++k) {
    const double harmonic = std::exp(-4.0 * dither * dither * k * k) / k / k;
    sum += harmonic;
    if (harmonic < 1e-12 * sum) break;
  }
  return step / std::numbers::pi * std::sqrt(sum / 2.0);
}

double noise_before_rounding(std::span<const double> values, double scatter, double step) {
  const double square = std::max(scatter * scatter - step * step / 12.0, 0.0);
  const auto [low, high] = std::minmax_element(values.begin(), values.end());
  const bool few = values.empty() || *high - *low < 1.5 * step;
  return few ? std::min(std::sqrt(square), 0.2 * step) : std::sqrt(square);
}

}  // namespace libloop
