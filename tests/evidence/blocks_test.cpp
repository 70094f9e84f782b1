#include "libloop/evidence/blocks.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "libloop/evidence/log.hpp"

using namespace libloop;

namespace {

Blocks counted(int readings, int most) {
  std::vector<double> t, y;
  for (int i = 0; i < readings; ++i) {
    t.push_back(2.0 * i);
    y.push_back(i);
  }
  return blocks_of(t, y, 0.0, most);
}

// Covariance of the means of readings [a, a + m) and [b, b + m), summed reading by reading.
double summed(int a, int b, int m, double spacing, const Noise& noise) {
  double sum = 0.0;
  for (int i = a; i < a + m; ++i) {
    for (int j = b; j < b + m; ++j) {
      const double lag = std::abs(i - j) * spacing;
      sum += noise.deviation * noise.deviation *
             (noise.correlation_time > 0.0 ? std::exp(-lag / noise.correlation_time)
                                           : (i == j ? 1.0 : 0.0));
      if (i == j) sum += noise.white * noise.white;
    }
  }
  return sum / (m * m);
}

}  // namespace

TEST_CASE("blocks are means of as many readings each; the first few may be left") {
  const Blocks b = counted(103, 20);
  CHECK(b.per_block == 6);
  REQUIRE(b.times.size() == 17);  // 102 of 103
  CHECK(b.spacing == doctest::Approx(2.0));
  CHECK(b.values[0] == doctest::Approx(3.5));  // of 1 to 6
  CHECK(b.times[16] == doctest::Approx(2.0 * 99.5));
  CHECK(b.readings == 103);
  CHECK(blocks_of({}, {}, 0.0).times.size() == 0);
}

TEST_CASE("what is missing or too early is in no block") {
  const std::vector<double> t{0, 1, 2, 3, 4}, y{9, 9, no_reading, 5, 7};
  const Blocks b = blocks_of(t, y, 1.5);
  REQUIRE(b.times.size() == 2);
  CHECK(b.times[0] == 3.0);
  CHECK(b.values[1] == 7.0);
}

TEST_CASE("covariance is definite where the rate of readings changes") {
  std::vector<double> t, y;
  for (int i = 0; i < 350; ++i) t.push_back(i);
  for (int i = 0; i < 300; ++i) t.push_back(350.0 + 0.4 * i);
  y.assign(t.size(), 1.0);
  const Blocks b = blocks_of(t, y, 0.0);
  for (const double time : {2.0, 5.0, 12.0, 30.0}) {
    const Eigen::LLT<Eigen::MatrixXd> factor(covariance(b, {0.5, time, 0.0, 0.0}));
    CHECK(factor.info() == Eigen::Success);
  }
}

TEST_CASE("covariance of blocks is the sum over their readings") {
  const Blocks b = counted(60, 10);  // six readings each, 2 s apart
  for (const Noise& noise : {Noise{0.7, 5.0, 0.3}, Noise{0.4, 30.0, 0.0}, Noise{0.5, 0.0, 0.2}}) {
    const Eigen::MatrixXd c = covariance(b, noise);
    for (const int j : {0, 1, 2, 7}) {
      CHECK(c(0, j) == doctest::Approx(summed(0, 6 * j, 6, 2.0, noise)).epsilon(1e-9));
      CHECK(c(j, 0) == c(0, j));
    }
  }
}
