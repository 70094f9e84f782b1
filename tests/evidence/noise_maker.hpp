// Noise with a memory, the same on every machine: for tests of what is read from logs.
#pragma once

#include <cmath>
#include <numbers>
#include <random>
#include <vector>

namespace libloop::testing {

// std::normal_distribution differs from one standard library to the next.
class NormalNoise {
 public:
  explicit NormalNoise(unsigned seed) : random_(seed) {}
  double operator()() {
    const double radius = std::sqrt(-2.0 * std::log(uniform()));
    return radius * std::cos(2.0 * std::numbers::pi * uniform());
  }

 private:
  double uniform() { return (static_cast<double>(random_()) + 0.5) / 4294967296.0; }
  std::mt19937 random_;
};

// AR(1) of standard deviation 1 that falls to 1/e within `time` (0: white), read at `interval`.
inline std::vector<double> correlated_noise(int n, double time, double interval, unsigned seed) {
  NormalNoise normal(seed);
  const double phi = time > 0.0 ? std::exp(-interval / time) : 0.0;
  std::vector<double> noise;
  double now = normal();
  for (int i = 0; i < n; ++i) {
    noise.push_back(now);
    now = phi * now + std::sqrt(1.0 - phi * phi) * normal();
  }
  return noise;
}

}  // namespace libloop::testing
