#include "libloop/evidence/rounding.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

#include "evidence/noise_maker.hpp"
#include "support/published.hpp"

namespace libloop {
namespace {

using testing::NormalNoise;
using testing::published;

TEST_CASE("rounding without noise is rectangular, and noise takes it away") {
  published("rounding to 1 K, nothing else known, K", "JCGM 100:2008, F.2.2.1 (from memory)",
            0.2887, rounding_of_mean(1.0, 0.0), 2e-4);
  CHECK(rounding_of_mean(0.0, 0.3) == 0.0);
  CHECK(rounding_of_mean(0.5, 0.0) == doctest::Approx(0.5 / std::sqrt(12.0)));
  CHECK(rounding_of_mean(1.0, 1e-6) == doctest::Approx(rounding_of_mean(1.0, 0.0)).epsilon(1e-3));
  CHECK(rounding_of_mean(1.0, 2e-3) == doctest::Approx(rounding_of_mean(1.0, 0.0)).epsilon(1e-2));
  double before = 1.0;
  for (double noise = 0.0; noise < 1.0; noise += 0.01) {
    CHECK(rounding_of_mean(1.0, noise) <= before);
    before = rounding_of_mean(1.0, noise);
  }
  CHECK(rounding_of_mean(1.0, 0.5) < 0.003);
}

// The closed form against rounding itself, at many places between two steps.
TEST_CASE("rounding of a mean is what rounding does") {
  for (const double noise : {0.1, 0.2, 0.3}) {
    NormalNoise normal(17);
    double squares = 0.0;
    const int places = 40, readings = 4000;
    for (int p = 0; p < places; ++p) {
      const double truth = (p + 0.5) / places;
      double sum = 0.0;
      for (int i = 0; i < readings; ++i) sum += std::round(truth + noise * normal());
      squares += std::pow(sum / readings - truth, 2) / places;
    }
    CHECK(std::sqrt(squares) == doctest::Approx(rounding_of_mean(1.0, noise)).epsilon(0.05));
  }
}

TEST_CASE("noise before rounding is told only from readings that show it") {
  NormalNoise normal(3);
  std::vector<double> values;
  double sum = 0.0, squares = 0.0;
  for (int i = 0; i < 5000; ++i) values.push_back(std::round(70.3 + 0.6 * normal()));
  for (const double v : values) sum += v / 5000.0;
  for (const double v : values) squares += (v - sum) * (v - sum) / 4999.0;
  CHECK(noise_before_rounding(values, std::sqrt(squares), 1.0) ==
        doctest::Approx(0.6).epsilon(0.03));
  const std::vector<double> alike(50, 70.0), toggling = {70, 71, 70, 71, 71, 70, 71, 70};
  CHECK(noise_before_rounding(alike, 0.0, 1.0) == 0.0);
  CHECK(noise_before_rounding(toggling, 0.53, 1.0) == doctest::Approx(0.2));
  CHECK(noise_before_rounding({}, 0.0, 1.0) == 0.0);
}

}  // namespace
}  // namespace libloop
