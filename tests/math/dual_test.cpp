#include "libloop/math/dual.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <type_traits>

namespace libloop {
namespace {

// The derivative a Dual gives, against a central difference of the same text.
template <class Function>
void check_derivative(const Function& f, double at) {
  CAPTURE(at);
  const double step = 1e-6 * std::max(1.0, std::abs(at));
  const double difference = (f(at + step) - f(at - step)) / (2.0 * step);
  const Dual<1> y = f(Dual<1>::variable(at, 0));
  CHECK(y.value == doctest::Approx(f(at)).epsilon(1e-15));
  CHECK(y.slope[0] == doctest::Approx(difference).epsilon(1e-7));
}

TEST_CASE("dual: arithmetic") {
  for (const double x : {-2.5, -0.3, 0.7, 4.0}) {
    check_derivative([](auto t) { return t + t * t - 3.0 * t / (t * t + 2.0); }, x);
    check_derivative([](auto t) { return 1.0 / (t * t + 1.0) - t / 7.0 + (2.0 - t) * 5.0; }, x);
    check_derivative([](auto t) { return -t * (t - 4.0) + (t + 1.0) * (3.0 + t); }, x);
  }
}

TEST_CASE("dual: assignment operators") {
  check_derivative(
      [](auto t) {
        auto y = t;
        y += t * t;
        y -= 2.0;
        y *= t;
        y /= t + 3.0;
        return y;
      },
      1.3);
}

TEST_CASE("dual: functions") {
  for (const double x : {0.2, 0.9, 3.0}) {
    check_derivative(
        [](auto t) {
          using std::sqrt;
          return sqrt(t);
        },
        x);
    check_derivative(
        [](auto t) {
          using std::exp;
          return exp(t);
        },
        x);
    check_derivative(
        [](auto t) {
          using std::expm1;
          return expm1(t);
        },
        x);
    check_derivative(
        [](auto t) {
          using std::log;
          return log(t);
        },
        x);
    check_derivative(
        [](auto t) {
          using std::log1p;
          return log1p(t);
        },
        x);
    check_derivative(
        [](auto t) {
          using std::log10;
          return log10(t);
        },
        x);
    check_derivative(
        [](auto t) {
          using std::tanh;
          return tanh(t);
        },
        x);
    check_derivative(
        [](auto t) {
          using std::sin;
          return sin(t);
        },
        x);
    check_derivative(
        [](auto t) {
          using std::cos;
          return cos(t);
        },
        x);
    check_derivative(
        [](auto t) {
          using std::atan;
          return atan(t);
        },
        x);
    check_derivative(
        [](auto t) {
          using std::erf;
          return erf(t);
        },
        x);
    check_derivative(
        [](auto t) {
          using std::erfc;
          return erfc(t);
        },
        x);
    check_derivative(
        [](auto t) {
          using std::pow;
          return pow(t, 1.7);
        },
        x);
    check_derivative(
        [](auto t) {
          using std::pow;
          return pow(t, t);
        },
        x);
    check_derivative(
        [](auto t) {
          using std::pow;
          return pow(2.5, t);
        },
        x);
  }
}

TEST_CASE("dual: power is finite at zero for powers of one and more") {
  const Dual<1> zero = Dual<1>::variable(0.0, 0);
  CHECK(pow(zero, 1.0).slope[0] == 1.0);
  CHECK(pow(zero, 2.5).slope[0] == 0.0);
}

TEST_CASE("dual: several variables at once") {
  const Gradient x = Gradient::variable(2.0, 0);
  const Gradient y = Gradient::variable(5.0, 7);
  const Gradient z = x * x * y + x / y;
  CHECK(z.slope[0] == doctest::Approx(2.0 * 2.0 * 5.0 + 0.2));
  CHECK(z.slope[7] == doctest::Approx(4.0 - 2.0 / 25.0));
  CHECK(z.slope[3] == 0.0);
}

TEST_CASE("dual: comparison looks at the value, a number has no slope") {
  const Dual<1> x = Dual<1>::variable(2.0, 0);
  CHECK(x < 3.0);
  CHECK(x >= 2.0);
  CHECK_FALSE(x > Dual<1>(2.0));
  CHECK(Dual<1>(4.0).slope[0] == 0.0);
  CHECK(value_of(x) == 2.0);
  CHECK(value_of(2.0) == 2.0);
  static_assert(std::is_same_v<Promote<double, Gradient>, Gradient>);
  static_assert(std::is_same_v<Promote<Gradient, double>, Gradient>);
  static_assert(std::is_same_v<Promote<double, double>, double>);
}

}  // namespace
}  // namespace libloop
