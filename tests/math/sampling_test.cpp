#include "libloop/math/sampling.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "support/published.hpp"

using namespace libloop;

TEST_CASE("normal quantiles") {
  testing::published("normal quantile at 0.95", "tables of the normal distribution, from memory",
                     1.6448536, normal_quantile(0.95), 1e-7);
  CHECK(normal_quantile(0.5) == doctest::Approx(0.0));
  CHECK(normal_quantile(0.05) == doctest::Approx(-normal_quantile(0.95)));
}

TEST_CASE("a Latin column has one draw in each slice and depends on its name alone") {
  const int size = 400;
  const std::vector<double> column = latin_column("radiator.fin_density", 1, size);
  std::vector<int> slices;
  for (const double z : column) {
    slices.push_back(static_cast<int>(0.5 * std::erfc(-z / std::sqrt(2.0)) * size));
  }
  std::sort(slices.begin(), slices.end());
  for (int i = 0; i < size; ++i) CHECK(slices[static_cast<std::size_t>(i)] == i);
  CHECK(column == latin_column("radiator.fin_density", 1, size));
  CHECK(column != latin_column("radiator.fin_density", 2, size));
  CHECK(column != latin_column("radiator.fin_height", 1, size));
}

TEST_CASE("columns of unlike names are all but uncorrelated") {
  const int size = 400;
  const std::vector<double> a = latin_column("a", 1, size), b = latin_column("b", 1, size);
  double sum = 0.0;
  for (std::size_t i = 0; i < a.size(); ++i) sum += a[i] * b[i];
  CHECK(std::abs(sum / size) < 0.15);  // three standard errors
}

TEST_CASE("sample quantiles interpolate order statistics") {
  const std::vector<double> sorted{0.0, 1.0, 2.0, 3.0, 4.0};
  CHECK(sample_quantile(sorted, 0.5) == 2.0);
  CHECK(sample_quantile(sorted, 0.95) == doctest::Approx(3.8));
  CHECK(sample_quantile({7.0}, 0.05) == 7.0);
}
