#include "libloop/math/curve.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <vector>

#include "libloop/base/error.hpp"
#include "support/published.hpp"

namespace libloop {
namespace {

using testing::published;

// Data RPN 14 of Fritsch & Carlson 1980 (from memory).
constexpr std::array<double, 9> rpn_x = {7.99, 8.09, 8.19, 8.7, 9.2, 10.0, 12.0, 15.0, 20.0};
constexpr std::array<double, 9> rpn_y = {0.0,      2.76429e-5, 4.37498e-2, 0.169183, 0.469428,
                                         0.943740, 0.998636,   0.999919,   0.999994};

TEST_CASE("curve agrees with SciPy's PCHIP interpolator") {
  const MonotoneCurve curve(rpn_x, rpn_y);
  const char* source = "SciPy 1.10.1 PchipInterpolator on Fritsch & Carlson 1980 data RPN 14";
  published("monotone curve at 8.15", source, 0.023528278365786123, curve.at(8.15), 1e-12);
  published("monotone curve at 9.0", source, 0.33753432684619816, curve.at(9.0), 1e-12);
  published("monotone curve at 11", source, 0.9860433625350502, curve.at(11.0), 1e-12);
  published("monotone curve slope at 8.5", source, 0.20580225251505585, curve.slope(8.5), 1e-10);
  published("monotone curve slope at 18", source, 1.1544101238271221e-05, curve.slope(18.0), 1e-10);
}

TEST_CASE("curve passes through its points and never turns between them") {
  const MonotoneCurve curve(rpn_x, rpn_y);
  for (std::size_t i = 0; i < rpn_x.size(); ++i) {
    CHECK(curve.at(rpn_x[i]) == doctest::Approx(rpn_y[i]).epsilon(1e-14));
  }
  double before = curve.at(7.0);
  for (double x = 7.0; x < 22.0; x += 0.01) {
    CHECK(curve.at(x) >= before);
    before = curve.at(x);
  }
}

TEST_CASE("curve goes on straight beyond its ends, value and slope continuous") {
  const MonotoneCurve curve(rpn_x, rpn_y);
  CHECK(curve.slope(1.0) == curve.slope(7.99));
  CHECK(curve.slope(100.0) == curve.slope(20.0));
  for (const double x : rpn_x) {
    CHECK(curve.at(x + 1e-9) == doctest::Approx(curve.at(x - 1e-9)).epsilon(1e-7));
    CHECK(curve.slope(x + 1e-9) == doctest::Approx(curve.slope(x - 1e-9)).epsilon(1e-5));
  }
}

TEST_CASE("curve carries derivatives") {
  const MonotoneCurve curve(rpn_x, rpn_y);
  const Gradient x = Gradient::variable(9.5, 3);
  const double difference = (curve.at(9.5 + 1e-6) - curve.at(9.5 - 1e-6)) / 2e-6;
  CHECK(curve.at(x).slope[3] == doctest::Approx(difference).epsilon(1e-8));
  CHECK(curve.at(x).slope[0] == 0.0);
}

// A fan's stall dip, flat at its end, and a droop at the start.
constexpr std::array<double, 7> dip_x = {0.0, 1.0, 2.0, 2.5, 4.0, 4.5, 7.0};
constexpr std::array<double, 7> dip_y = {9.0, 9.6, 6.0, 6.0, 7.5, 7.0, 0.0};

TEST_CASE("curve that turns keeps its turning points and never overshoots") {
  const MonotoneCurve curve(dip_x, dip_y);
  for (std::size_t i = 0; i + 1 < dip_x.size(); ++i) {
    const double low = std::min(dip_y[i], dip_y[i + 1]), high = std::max(dip_y[i], dip_y[i + 1]);
    double before = curve.at(dip_x[i]);
    for (int step = 1; step <= 200; ++step) {
      const double y = curve.at(dip_x[i] + (dip_x[i + 1] - dip_x[i]) * step / 200.0);
      CHECK(y >= low - 1e-13);
      CHECK(y <= high + 1e-13);
      CHECK((dip_y[i + 1] >= dip_y[i] ? y >= before - 1e-13 : y <= before + 1e-13));
      before = y;
    }
  }
  for (const double turning : {1.0, 2.0, 2.5, 4.0}) CHECK(curve.slope(turning) == 0.0);
  CHECK(curve.slope(0.0) > 0.0);
  CHECK(curve.slope(7.0) < 0.0);
}

TEST_CASE("curve that turns is continuous in value and slope, as SciPy's") {
  const MonotoneCurve curve(dip_x, dip_y);
  for (const double x : dip_x) {
    CHECK(curve.at(x + 1e-9) == doctest::Approx(curve.at(x - 1e-9)).epsilon(1e-7));
    CHECK(curve.slope(x + 1e-9) == doctest::Approx(curve.slope(x - 1e-9)).epsilon(1e-6));
  }
  const char* source = "SciPy 1.10.1 PchipInterpolator";
  published("curve with a dip at 0.3", source, 9.3942, curve.at(0.3), 1e-12);
  published("curve with a dip at 1.7", source, 6.7776, curve.at(1.7), 1e-12);
  published("curve with a dip at 3.1", source, 6.5280000000000005, curve.at(3.1), 1e-12);
  published("curve with a dip at 6.0", source, 3.692, curve.at(6.0), 1e-12);
  published("curve with a dip, slope at 0", source, 1.799999999999999, curve.slope(0.0), 1e-10);
}

TEST_CASE("two points make a straight line") {
  const std::vector<double> x = {0.0, 2.0};
  const std::vector<double> y = {1.0, 0.0};
  const MonotoneCurve curve(x, y);
  CHECK(curve.at(0.5) == doctest::Approx(0.75));
  CHECK(curve.at(3.0) == doctest::Approx(-0.5));
}

TEST_CASE("points that make no curve are refused") {
  const std::vector<double> one = {0.0};
  const std::vector<double> two = {0.0, 1.0};
  const std::vector<double> twice = {1.0, 1.0};
  CHECK_THROWS_AS(MonotoneCurve(one, one), InputError);
  CHECK_THROWS_AS(MonotoneCurve(two, one), InputError);
  CHECK_THROWS_AS(MonotoneCurve(twice, two), InputError);
}

}  // namespace
}  // namespace libloop
