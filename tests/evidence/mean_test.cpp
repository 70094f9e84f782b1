#include <doctest/doctest.h>

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <vector>

#include "evidence/noise_maker.hpp"
#include "libloop/evidence/correlated.hpp"
#include "support/published.hpp"

namespace libloop {
namespace {

using testing::correlated_noise;
using testing::published_range;

// Variance of the mean of n readings of AR(1) noise, over that of one.
double closed_form(double phi, int n) {
  double sum = n;
  for (int k = 1; k < n; ++k) sum += 2.0 * (n - k) * std::pow(phi, k);
  return sum / n / n;
}

struct Study {
  double mean_square = 0.0;   // of u
  double true_square = 0.0;   // of the mean
  double covered = 0.0;       // share of 95 % intervals that hold the truth
  double typical_time = 0.0;  // median of correlation times
};

// Of every four readings so many are lost.
Study study(double time, int n, int seeds, int lost_of_four = 0) {
  Study s;
  std::vector<double> times;
  for (int seed = 0; seed < seeds; ++seed) {
    std::vector<double> x = correlated_noise(n, time, 1.0, 1000u + static_cast<unsigned>(seed));
    for (std::size_t i = 0; i < x.size(); ++i) {
      if (static_cast<int>(i * 7 % 4) < lost_of_four) x[i] = no_reading;
    }
    const Mean m = mean_of(x, 1.0);
    const double wide = quantile(boost::math::students_t(m.freedom), 0.975) * m.u;
    s.mean_square += m.u * m.u / seeds;
    s.true_square += m.value * m.value / seeds;
    s.covered += (std::abs(m.value) < wide ? 1.0 : 0.0) / seeds;
    times.push_back(m.correlation_time);
  }
  std::sort(times.begin(), times.end());
  s.typical_time = times[times.size() / 2];
  return s;
}

TEST_CASE("uncertainty of a mean of AR(1) noise is the closed form's") {
  const char* source =
      "Variance of the mean of AR(1) noise: Priestley 1981, 5.3 (from memory), summed exactly";
  for (const auto& [time, n] : {std::pair{2.0, 300}, {5.0, 300}, {5.0, 600}, {10.0, 600}}) {
    CAPTURE(time);
    CAPTURE(n);
    const Study s = study(time, n, 200);
    const double truth = closed_form(std::exp(-1.0 / time), n);
    CHECK(s.true_square == doctest::Approx(truth).epsilon(0.3));  // the noise is what it should be
    published_range("u2 of the mean of AR(1) noise over the closed form, time " +
                        std::to_string(static_cast<int>(time)) + " s, " + std::to_string(n) +
                        " readings",
                    source, 0.85, 1.3, s.mean_square / truth);
    CHECK(s.covered > 0.92);
    CHECK(s.covered < 0.99);
    CHECK(s.typical_time == doctest::Approx(time).epsilon(0.25));
  }
}

TEST_CASE("white noise gives s over root n") {
  const Study s = study(0.0, 400, 200);
  CHECK(s.mean_square == doctest::Approx(1.0 / 400).epsilon(0.06));
  CHECK(s.covered > 0.92);
  CHECK(s.typical_time < 0.3);
}

TEST_CASE("few correlated readings still give honest intervals") {
  const Study s = study(5.0, 100, 200);
  CHECK(s.covered > 0.92);
}

TEST_CASE("missing readings are passed over, and the rest keep their distances") {
  const Study all = study(5.0, 400, 100), half = study(5.0, 400, 100, 2);
  // Of noise that remembers 5 s, every second reading tells nearly as much.
  CHECK(half.mean_square == doctest::Approx(all.mean_square).epsilon(0.1));
  CHECK(half.typical_time == doctest::Approx(5.0).epsilon(0.25));
  CHECK(half.covered > 0.90);
}

TEST_CASE("readings all alike have a mean without scatter") {
  const Mean m = mean_of(std::vector<double>(100, 343.15), 1.0);
  CHECK(m.value == 343.15);
  CHECK(m.u == 0.0);
  CHECK(m.scatter == 0.0);
  CHECK(m.correlation_time == 0.0);
  CHECK(m.independent == 100.0);
  CHECK(m.readings == 100);
}

TEST_CASE("too few readings for an uncertainty") {
  CHECK(mean_of(std::vector<double>{}, 1.0).readings == 0);
  CHECK(mean_of(std::vector<double>{no_reading, no_reading}, 1.0).readings == 0);
  const Mean two = mean_of(std::vector<double>{1.0, no_reading, 2.0}, 1.0);
  CHECK(two.value == 1.5);
  CHECK(two.readings == 2);
  CHECK(two.u == 0.0);
  const Mean three = mean_of(std::vector<double>{1.0, 2.0, 4.0}, 1.0);
  CHECK(three.u > 0.5);
  CHECK(std::isfinite(three.u));
  CHECK(three.freedom > 0.0);
}

TEST_CASE("a mean moves and stretches with its readings") {
  std::vector<double> x = correlated_noise(200, 3.0, 1.0, 5);
  const Mean m = mean_of(x, 1.0);
  for (double& one : x) one = 300.0 + 4.0 * one;
  const Mean moved = mean_of(x, 2.0);
  CHECK(moved.value == doctest::Approx(300.0 + 4.0 * m.value));
  CHECK(moved.u == doctest::Approx(4.0 * m.u).epsilon(1e-6));
  CHECK(moved.correlation_time == doctest::Approx(2.0 * m.correlation_time).epsilon(1e-6));
}

TEST_CASE("a slope under correlated noise is told with its uncertainty") {
  int covered = 0;
  double squares = 0.0, off = 0.0;
  const int seeds = 200;
  for (int seed = 0; seed < seeds; ++seed) {
    std::vector<double> x = correlated_noise(300, 5.0, 1.0, 500u + static_cast<unsigned>(seed));
    std::vector<double> t;
    for (std::size_t i = 0; i < x.size(); ++i) {
      t.push_back(static_cast<double>(i));
      x[i] += 320.0 + 0.002 * t[i];
    }
    const Trend trend = trend_of(t, x);
    const double wide = quantile(boost::math::students_t(trend.freedom), 0.975) * trend.u;
    covered += std::abs(trend.slope - 0.002) < wide ? 1 : 0;
    squares += trend.u * trend.u / seeds;
    off += (trend.slope - 0.002) * (trend.slope - 0.002) / seeds;
  }
  CHECK(covered > 0.92 * seeds);
  CHECK(covered < 0.995 * seeds);
  CHECK(squares == doctest::Approx(off).epsilon(0.35));
}

TEST_CASE("a straight line without noise has its slope exactly") {
  std::vector<double> t, x;
  for (int i = 0; i < 2000; ++i) {
    t.push_back(0.5 * i);
    x.push_back(300.0 + 0.01 * t.back());
  }
  const Trend trend = trend_of(t, x);
  CHECK(trend.slope == doctest::Approx(0.01).epsilon(1e-9));
  CHECK(trend.u < 1e-9);
  CHECK(trend.scatter < 1e-9);
  CHECK(trend_of(std::vector<double>{0, 1, 2}, std::vector<double>{0, 1, 2}).u == 0.0);
}

TEST_CASE("a swing whose period divides a block leaves a number") {
  for (const double low : {180.0, 0.0, 60.1}) {
    for (const std::size_t rows : {1200u, 2400u, 12000u}) {
      std::vector<double> values(rows);
      for (std::size_t i = 0; i < rows; ++i) values[i] = low + (i % 2 ? 1.0 : 0.0);
      const Mean mean = mean_of(values, 1.0);
      CAPTURE(rows);
      CHECK(mean.value == doctest::Approx(low + 0.5));
      CHECK(std::isfinite(mean.u));
      CHECK(mean.u > 0.0);
      CHECK(mean.u < 0.1);
      CHECK(std::isfinite(mean.freedom));
      CHECK(std::isfinite(mean.correlation_time));
      CHECK(mean.independent == static_cast<double>(rows));
    }
  }
}

}  // namespace
}  // namespace libloop
